"""Find: type what you remember; the best answer stands first and says where the thing is."""

from __future__ import annotations

from rich.text import Text
from textual import on, work
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.records import Part
from tagbench.rules.describe.where import where_fact
from tagbench.rules.find.index import Found, nothing_fits_all
from tagbench.rules.find.query import LONGEST
from tagbench.screens.frame.actions import NEW_KEY, Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchScreen
from tagbench.screens.widgets.columns import columns, cut
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows
from tagbench.trade.fasteners.spelling import spell

SHOWN = 30
"""How many answers are listed."""
NOTHING = "Nothing like that is in the book. Try fewer words."
HINT = "four backing plate screws"


class FindScreen(TagbenchScreen):
    """One field, the answers beneath it; the arrows move among them while one types."""

    screen_name = "find"
    CSS_PATH = stylesheets("field", "find")
    AUTO_FOCUS = "#words"
    actions = (
        Action("enter", "open_best", "Open", "Opens the answer under the cursor."),
        Action("up", "step(-1)", "Up", "Goes up among the answers.", show=False),
        Action("down", "step(1)", "Down", "Goes down among the answers.", show=False),
        Action(NEW_KEY, "empty", "New search", "Empties the field for a new question."),
    )

    def body(self) -> ComposeResult:
        yield Field("What for?", id="words", example=HINT)
        yield Static("", id="how-many", classes="quiet", markup=False)
        yield Rows(
            self.draw_found,
            lambda found: found.part.code,
            height=3,
            id="answers",
            driven=True,
            roomy=True,
        )

    def on_mount(self) -> None:
        self.get_ready()

    def on_screen_resume(self) -> None:
        """The next question takes the place of the last one, or carries on from it."""
        field = self.query_one("#words", Input)
        field.focus()
        field.action_select_all()

    @work(thread=True)
    def get_ready(self) -> None:
        """Makes the index while the person still thinks of the first word."""
        self.bench_app.index.up_to_date()

    def show_book(self) -> None:
        self.look()

    def turn_to(self, words: str) -> None:
        self.query_one("#words-field", Field).value = words

    @on(Input.Changed, "#words")
    def look(self) -> None:
        """Shows the answers to what stands in the field."""
        words = self.query_one("#words-field", Field).value
        answers = self.bench_app.index.find(words, SHOWN) if words else []
        self.query_one("#answers", Rows).show_first(answers)
        self.query_one("#how-many", Static).update(self._how_many(words, answers))

    def _how_many(self, words: str, answers: list[Found]) -> str:
        count = len(answers)
        if not words:
            return "Name, place, fastener, number or bag, in any order."
        if len(words) > LONGEST:
            return f"Only the first {LONGEST} characters are looked for."
        unknown = self.bench_app.index.up_to_date().unknown_code(words)
        if unknown:
            return f"{unknown}; {count} near it" if count else f"{unknown}."
        if not count:
            return NOTHING
        if partly := nothing_fits_all(answers, words):
            return f"{partly}; {count} in part"
        return f"{count} answer{'s' * (count != 1)}, best first"

    def draw_found(self, found: Found, width: int) -> list[str | Text]:
        """Three lines: what; where it is; where from and its fasteners."""
        return draw_part(found.part, where_fact(self.tables, found.part).words, width)

    def action_step(self, by: int) -> None:
        self.query_one("#answers", Rows).action_step(by)

    @on(Input.Submitted)
    def action_open_best(self) -> None:
        """Opens the answer under the cursor; says why there is none."""
        answers = self.query_one("#answers", Rows)
        if answers.current is not None:
            answers.action_open()
        else:
            self.refuse(self._how_many(self.query_one("#words-field", Field).value, []))

    def action_empty(self) -> None:
        self.turn_to("")

    @on(RowOpened)
    async def open_found(self, message: RowOpened[Found]) -> None:
        """Opens the part."""
        await self.bench_app.open_code(message.item.part.code)


def draw_part(part: Part, kept: str, width: int) -> list[str | Text]:
    """A part in three lines: code, name and count; where it is kept; where it came from."""
    count = f"{part.quantity} ×" if part.quantity > 1 else ""
    side = f", {part.position}" if part.position else ""
    came_from = ",  ".join(filter(None, [part.assembly, *map(spell, part.fasteners)]))
    name = f"{count} {part.name}{side}".strip()
    return [
        Text(columns(width, (part.code, 10), (name, 0), gap=2), style="bold"),
        columns(width, ("", 10), (f"→ {kept}", 0), gap=2),
        columns(width, ("", 10), (cut(came_from, width), 0), gap=2),
    ]
