"""Something found on the bench: written down from anywhere, and explained."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations import loose
from tagbench.errors import TagbenchError
from tagbench.records import LooseItem
from tagbench.rules.count.loose_items import LineCandidate, candidates, read_found
from tagbench.rules.describe.away import loose_words
from tagbench.rules.describe.phrases import named
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.form import PickerDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field

WORDS = "What is it and, after a comma, where did it lie? Enter writes it down."


class Candidates(PickerDialog[LineCandidate, str]):
    """A card with the lines that a found fastener may be of."""

    none_found = "No line is short of one like that, and none reads like it."
    row_height = 2

    def draw(self, item: LineCandidate, width: int) -> list[str]:
        line = item.line
        return [
            columns(width, (line.part.code, 9), (line.part.said, 0), gap=2),
            columns(width, ("", 9), (f"{line.spelled}: {item.why}", 0), gap=2),
        ]

    def key(self, item: LineCandidate) -> str:
        return item.line.key


class LeftOverDialog(Candidates):
    """Gives words that say what was written down; it stays on the count until it is explained."""

    heading = "Left over"
    actions = (
        Action("enter", "save", "Write down", "Writes it down; it stays on the count."),
        Action("ctrl+o", "belongs", "Belongs here", "It belongs to the line under the cursor."),
    )

    def __init__(self, mark: str) -> None:
        super().__init__()
        self._mark = mark
        self.unsaved_name = "left over"

    def body(self) -> ComposeResult:
        yield Static(WORDS, classes="words", markup=False)
        yield Field("Found", id="typed", example="M6 bolt 20 long, bench floor")
        yield self.make_rows()

    def found(self) -> Sequence[LineCandidate]:
        """The lines that it may be of, as far as it is typed."""
        try:
            what, where, fastener = read_found(self.typed)
        except TagbenchError:
            return []
        item = LooseItem(id=1, machine=self._mark, what=what, where=where, fastener=fastener)
        return candidates(self.tables, item)

    def take(self, item: LineCandidate | None) -> None:
        """Writes it down, whatever it may be of."""
        with self.refusing():
            found = loose.write_down(self.book, self.typed, self._mark)
            self.dismiss(f"Left over: {found.what}. It stays on the count until it is explained.")

    def action_belongs(self) -> None:
        item = self.rows.current
        if item is None:
            self.refuse("No line is under the cursor; Enter writes it down all the same.")
            return
        with self.refusing():
            loose.refuse_not_short(item.line)
            found = loose.write_down(self.book, self.typed, self._mark)
            loose.belongs_to(self.book, found.id, item.line.part.code, item.line.number)
            self.dismiss(f"{found.what} belongs to {named(item.line.part)}; it is in its bag.")


class ExplainItemDialog(Candidates):
    """Gives words that say where a found thing belongs."""

    label = "Why"
    hint = "in words: from the shelf, of the mower; or choose a line"
    actions = (Action("enter", "save", "Explain", "In words; without any, to the line below."),)

    def __init__(self, item: LooseItem) -> None:
        super().__init__()
        self.heading = loose_words(item)
        self._item = item

    def found(self) -> Sequence[LineCandidate]:
        return candidates(self.tables, self._item)

    def take(self, item: LineCandidate | None) -> None:
        """Explains it in the words typed, else by the line under the cursor."""
        with self.refusing():
            if self.typed or item is None:
                loose.explain(self.book, self._item.id, self.typed)
                self.dismiss(f"{self._item.what}: explained.")
            else:
                line = item.line
                loose.belongs_to(self.book, self._item.id, line.part.code, line.number)
                self.dismiss(f"{self._item.what} belongs to {named(line.part)}; it is in its bag.")
