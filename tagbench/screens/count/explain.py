"""What was found on the bench is explained: the line that misses it, or a word or two."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations.loose import belongs_to, explain, item_by_number
from tagbench.errors import NotFound
from tagbench.rules.count.loose_items import LineCandidate, candidates
from tagbench.rules.describe.away import loose_words
from tagbench.rules.describe.phrases import named
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.form import PickerDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field


class ExplainDialog(PickerDialog[LineCandidate, str]):
    """The lines it may be of; Enter puts it to the one under the cursor that is short of one.

    Whatever is typed explains it in words instead.
    """

    CSS_PATH = stylesheets("field", "card", "rebuild")
    heading = "Where does it belong?"
    row_height = 2
    actions = (
        Action("enter", "save", "Explain", "Puts it down to that line, or to the words typed."),
    )

    def __init__(self, number: int) -> None:
        super().__init__()
        self._number = number

    def body(self) -> ComposeResult:
        item = item_by_number(self.tables, self._number)
        yield Static(loose_words(item), classes="words", markup=False)
        yield Field("Why", id="why", hint="of the other machine, swept up, …")
        yield self.make_rows()

    def found(self) -> list[LineCandidate]:
        """The lines it may be of, those that are short of one first."""
        try:
            return candidates(self.tables, item_by_number(self.tables, self._number))
        except NotFound:
            return []  # taken back while the card was open

    def key(self, item: LineCandidate) -> str:
        return item.line.key

    def draw(self, item: LineCandidate, width: int) -> list[str]:
        line = item.line
        return [
            columns(width, (named(line.part), 0), (line.spelled, 0), gap=2),
            columns(width, ("", 2), (item.why, 0), gap=2),
        ]

    def take(self, item: LineCandidate | None) -> None:
        why = self["why"].value
        with self.refusing():
            if why:
                explain(self.book, self._number, why)
            elif item is not None and item.sure:
                belongs_to(self.book, self._number, item.line.part.code, item.line.number)
            else:
                self.refuse("Type where it belongs, or choose a line that is short of one.")
                return
            self.dismiss("Explained.")
