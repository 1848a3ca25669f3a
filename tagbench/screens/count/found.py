"""A fastener on the floor: which part misses it? By its name or by measurement."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.errors import TagbenchError
from tagbench.records import Machine
from tagbench.rules.count.fastener_lines import in_bag, lost
from tagbench.rules.count.found_fastener import Missed, which_miss, which_miss_measured
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows
from tagbench.trade.quantities.typed import parse_length
from tagbench.trade.threads import parse_pitch

WORDS = "Which part misses it? Type its name, or what you measure of it."


class FoundDialog(TagbenchDialog[str]):
    """Gives the code of the part that misses it. The answers follow as one types."""

    CSS_PATH = stylesheets("field", "card", "rebuild")
    heading = "Found a fastener"
    actions = (
        Action("enter", "take", "Fit", "Opens the fit card of the part under the cursor."),
        Action("tab", "app.focus_next", "Next field", "Goes to the next field."),
        Action("up", "step(-1)", "Up", "Goes up among the answers.", show=False),
        Action("down", "step(1)", "Down", "Goes down among the answers.", show=False),
    )

    def __init__(self, machine: Machine) -> None:
        super().__init__()
        self._machine = machine

    def body(self) -> ComposeResult:
        yield Static(WORDS, classes="words", markup=False)
        yield Field("Fastener", id="fastener", hint="M6x20, 1/4-20 x 3/4, cotter pin 3.2x32")
        yield Field("Across", id="across", hint="outside diameter, 5.9 mm")
        yield Field("Pitch", id="pitch", hint="1 mm or 20 tpi")
        yield Field("Length", id="length", hint="under the head, 20 mm")
        yield Static("", id="answers", classes="section", markup=False)
        yield Rows(draw_missed, lambda hit: hit.line.key, id="missed", height=2, driven=True)

    def on_mount(self) -> None:
        self["fastener"].input.focus()

    def __getitem__(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    @on(Input.Changed)
    def look(self) -> None:
        """Shows the lines that miss what was typed, or why it is not understood yet."""
        try:
            hits, words = self._hits(), ""
        except TagbenchError as error:
            hits, words = [], str(error)
        else:
            words = self._count_words(len(hits))
        self.query_one("#answers", Static).update(words)
        self.query_one(Rows).show_first(hits)

    def _hits(self) -> list[Missed]:
        mark, usual = self._machine.mark, self._machine.units.length
        if self["fastener"].value:
            return which_miss(self.tables, mark, self["fastener"].value)
        if not self["across"].value:
            return []
        pitch, length = self["pitch"].value, self["length"].value
        return which_miss_measured(
            self.tables,
            mark,
            parse_length(self["across"].value, usual),
            parse_pitch(pitch) if pitch else None,
            parse_length(length, usual) if length else None,
        )

    def _count_words(self, count: int) -> str:
        if not (self["fastener"].value or self["across"].value):
            return ""
        if not count:
            return "Nothing misses one like that, nor anything near it."
        return f"{count} part line{'s miss' if count != 1 else ' misses'} one, likeliest first"

    def action_step(self, by: int) -> None:
        """Moves the cursor without leaving the field."""
        self.query_one(Rows).action_step(by)

    @on(Input.Submitted)
    def action_take(self) -> None:
        """Opens the part under the cursor."""
        hit = self.query_one(Rows).current
        if hit is None:
            self.refuse("No part misses it; type what you found, or close the card with Esc.")
        else:
            self.dismiss(hit.line.part.code)

    @on(Opened)
    def opened(self, message: Opened[Missed]) -> None:
        """Opens the part that was clicked."""
        self.dismiss(message.item.line.part.code)


def draw_missed(hit: Missed, width: int) -> list[str]:
    """Two lines: whether it fits, the part; its fasteners and where they should be."""
    part, fastener = hit.line.part, hit.line.fastener
    fits = "fits" if hit.fits else "near"
    where = f"{lost(fastener)} lost, {in_bag(fastener)} in the bag; {hit.words}"
    return [
        columns(width, (fits, 5), (part.code, 9), (part.name, 0), (hit.line.spelled, 0), gap=2),
        columns(width, ("", 5), (where, 0), gap=2),
    ]
