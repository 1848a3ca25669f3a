"""Which printer?"""

from __future__ import annotations

from textual import on, work
from textual.app import ComposeResult
from textual.widgets import Static

from labels.cups import Printer, list_printers
from labels.errors import PrinterError
from tagbench.screens.actions import Action
from tagbench.screens.base import TagbenchDialog
from tagbench.screens.messages import Opened
from tagbench.screens.widgets.rows import Rows


class PrinterDialog(TagbenchDialog[str]):
    """Gives the name of the printer that was chosen."""

    heading = "Printer"
    actions = (Action("enter", "", "Take", "Takes the printer under the cursor."),)

    def body(self) -> ComposeResult:
        yield Static("asking …", id="asking", classes="words", markup=False)
        yield Rows(draw_printer, lambda printer: printer.name, id="printers")

    def on_mount(self) -> None:
        self._ask()

    @work(thread=True)
    def _ask(self) -> None:
        """Beside the screen, since the printing system may take its time."""
        try:
            printers = list_printers()
        except PrinterError as error:
            self.app.call_from_thread(self._answer, [], str(error))
        else:
            none = "There is no printer set up; write the tags to a PDF file instead."
            words = "" if printers else none
            self.app.call_from_thread(self._answer, printers, words)

    def _answer(self, printers: list[Printer], words: str) -> None:
        self.query_one("#asking", Static).update(words)
        self.query_one("#asking").display = bool(words)
        self.query_one("#printers", Rows).show(printers)

    @on(Opened)
    def chosen(self, message: Opened[Printer]) -> None:
        """Takes it."""
        self.dismiss(message.item.name)


def draw_printer(printer: Printer, width: int) -> list[str]:  # noqa: ARG001 - one short line
    """One line: the name, and whether it is the usual one."""
    return [printer.name + ("   (the usual one)" if printer.is_default else "")]
