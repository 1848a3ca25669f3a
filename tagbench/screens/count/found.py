"""A fastener on the floor: which part misses it? By its name or by measurement."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations.loose import write_down
from tagbench.errors import TagbenchError
from tagbench.records import Machine
from tagbench.rules.count.fastener_lines import count_lost, in_bag
from tagbench.rules.count.found_fastener import Missed, which_miss, which_miss_measured
from tagbench.rules.count.loose_items import read_found
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.form import PickerDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.quantities.typed import parse_length
from tagbench.trade.threads import parse_pitch

WORDS = "Which part is missing it? Type its name, or what you measure of it."


class FoundDialog(PickerDialog[Missed, str]):
    """Gives the code of the part that misses it. The answers follow as one types."""

    CSS_PATH = stylesheets("field", "card", "rebuild")
    heading = "Found a fastener"
    row_height = 2
    actions = (
        Action("enter", "save", "Fit", "Opens the fit card of the part under the cursor."),
        Action("tab", "app.focus_next", "Next field", "Goes to the next field."),
        Action("ctrl+n", "left_over", "Left over", "Writes down a new left-over for the count."),
    )
    stays_open = True

    def __init__(self, machine: Machine) -> None:
        super().__init__()
        self._machine = machine

    def body(self) -> ComposeResult:
        yield Static(WORDS, classes="words", markup=False)
        yield Field(
            "Fastener",
            id="fastener",
            example="M6x20, cotter pin 3.2x32; where, after a comma",
        )
        yield Field("Across", id="across", hint="outside diameter, 5.9 mm")
        yield Field("Pitch", id="pitch", example="1 mm or 20 tpi")
        yield Field("Length", id="length", hint="under the head, 20 mm")
        yield Static("", id="answers", classes="section", markup=False)
        yield self.make_rows()

    def found(self) -> list[Missed]:
        """The lines that miss what was typed; says how many, or why it is not understood yet."""
        try:
            hits = self._hits()
        except TagbenchError as error:
            hits, words = [], str(error)
        else:
            words = self._count_words(len(hits))
        self.query_one("#answers", Static).update(words)
        return hits

    def _hits(self) -> list[Missed]:
        mark, usual = self._machine.mark, self._machine.units.length
        if typed := self["fastener"].value:
            what, _, fastener = read_found(typed)
            return which_miss(self.tables, mark, spell(fastener) if fastener else what)
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

    def action_left_over(self) -> None:
        with self.refusing():
            item = write_down(self.book, self["fastener"].value, self._machine.mark)
            self.catch_up()
            self.tell(f"Written down: {item.what}. It stays on the count until it is explained.")

    def catch_up(self) -> None:
        self.narrow()

    def _count_words(self, count: int) -> str:
        if not (self["fastener"].value or self["across"].value):
            return ""
        if not count:
            return "No part is missing one like that, or anything near it."
        return f"{count} part line{'s are' if count != 1 else ' is'} missing one, likeliest first"

    def key(self, item: Missed) -> str:
        return item.line.key

    def draw(self, item: Missed, width: int) -> list[str]:
        return draw_missed(item, width)

    def take(self, item: Missed | None) -> None:
        if item is None:
            self.refuse("No part is missing it; type what you found, or close the card with Esc.")
        else:
            self.dismiss(item.line.part.code)


def draw_missed(hit: Missed, width: int) -> list[str]:
    """Two lines: whether it fits, the part; its fasteners and where they should be."""
    part, fastener = hit.line.part, hit.line.fastener
    fits = "fits" if hit.fits else "near"
    where = f"{count_lost(fastener)} lost, {in_bag(fastener)} in the bag; {hit.words}"
    return [
        columns(width, (fits, 5), (part.code, 9), (part.said, 0), (hit.line.spelled, 0), gap=2),
        columns(width, ("", 5), (where, 0), gap=2),
    ]
