"""A long text: only what is in sight is drawn, and what does not fit is wrapped, never lost."""

from __future__ import annotations

from textual.app import App, ComposeResult

from tagbench.screens.widgets.long_text import LongText
from tests.screens.driver import until

WIDTH, HEIGHT, LINES = 30, 8, 5_000
LONG = "[ ] 3 × cotter pin 3.2x32 for the left and the right brake lever"


class TextApp(App[None]):
    """Nothing but the text."""

    drawn = 0

    def compose(self) -> ComposeResult:
        yield LongText(id="text")


def shown(app: App[None]) -> list[str]:
    """The lines on the screen, without blanks at their ends."""
    return [strip.text.rstrip() for strip in app.screen._compositor.render_strips()]


async def test_long_lines_wrap_and_all_words_stay() -> None:
    """In the order in which they stand, at any width; the keys scroll to the last line."""
    app = TextApp()
    async with app.run_test(size=(WIDTH, HEIGHT)) as pilot:
        text = app.query_one(LongText)
        text.show([LONG, "", "short", *(f"line {at}" for at in range(LINES))])
        assert await until(
            pilot, lambda: " ".join(" ".join(shown(app)[:3]).split()).startswith(LONG)
        )
        lines = shown(app)
        assert all(len(line) <= WIDTH for line in lines)
        text.focus()
        await pilot.press("end")
        text.scroll_end(animate=False)
        assert await until(pilot, lambda: f"line {LINES - 1}" in "\n".join(shown(app)))
        await pilot.resize_terminal(80, HEIGHT)
        text.scroll_home(animate=False)
        assert await until(pilot, lambda: shown(app)[0].startswith(LONG))
