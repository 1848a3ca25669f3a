"""Which printer? And how is it off?"""

from __future__ import annotations

from dataclasses import dataclass

from textual import on, work
from textual.app import ComposeResult
from textual.widgets import Static

from labels.errors import PrinterError
from labels.output.cups import Printer, list_printers
from tagbench.book.operations.printing import TO_FILE, correction
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.tags.correction import correction_words
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.rows import Rows

NONE = "There is no printer set up; write the tags to a PDF file instead."


@dataclass(frozen=True)
class Place:
    """One row: a printer, or a file."""

    name: str
    """Name of the printer; empty for a file."""
    words: str
    """What it is called."""


FILE = Place(TO_FILE, "a PDF or PNG file")


class PrinterDialog(TagbenchDialog[str]):
    """Gives the name of the printer that was chosen, an empty one for a file."""

    heading = "Printer"
    actions = (
        Action("enter", "", "Take", "Takes the printer under the cursor."),
        Action("m", "measure", "Measure", "Prints the ruler page and takes what is measured."),
    )

    def body(self) -> ComposeResult:
        yield Static("asking …", id="asking", classes="words", markup=False)
        yield Rows(self.draw, lambda place: place.name or "file", id="printers")

    def on_mount(self) -> None:
        self.query_one(Rows).show([FILE])
        self._ask()

    @work(thread=True)
    def _ask(self) -> None:
        """Beside the screen, since the printing system may take its time."""
        try:
            printers = list_printers()
        except PrinterError as error:
            self.app.call_later(self._answer, [], str(error))
        else:
            self.app.call_later(self._answer, printers, "" if printers else NONE)

    def _answer(self, printers: list[Printer], words: str) -> None:
        if not self.is_attached:  # the card was closed meanwhile
            return
        self.query_one("#asking", Static).update(words)
        self.query_one("#asking").display = bool(words)
        usual = "   (the usual one)"
        places = [Place(one.name, one.name + usual * one.is_default) for one in printers]
        rows = self.query_one("#printers", Rows)
        rows.show([FILE, *places])
        names = [place.name for place in rows.items]
        last = self.tables.desk.printer
        rows.cursor = names.index(last) if last in names else 0

    def draw(self, place: Place, width: int) -> list[str]:
        """One line: the printer, and how it is corrected."""
        how = correction_words(correction(self.tables, place.name), measured=self._measured(place))
        return [columns(width, (place.words, 0), (how, 38), gap=2)]

    def _measured(self, place: Place) -> bool:
        return place.name in self.tables.desk.printers

    @on(Opened)
    def chosen(self, message: Opened[Place]) -> None:
        """Takes it."""
        self.dismiss(message.item.name)

    def action_measure(self) -> None:
        """Opens the card for the ruler page of the printer under the cursor."""
        from tagbench.screens.tags.ruler import RulerDialog

        place = self.query_one(Rows).current
        if place is not None:
            self.app.push_screen(RulerDialog(place.name), self._was_measured)

    def _was_measured(self, words: str | None) -> None:
        self.query_one(Rows).refresh()
        if words:
            self.tell(words)
