"""Which printer, and how far off it prints: the ruler page, and what is measured on it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from textual import on, work
from textual.app import ComposeResult
from textual.widgets import Input, Static

from labels.errors import LabelError, PrinterError
from labels.output.correction import Correction, correction_from_ruler, ruler_inset
from labels.output.cups import Printer, known_printers
from labels.stock.catalogue import find_stock
from labels.stock.geometry import Stock
from tagbench.book.operations.pages import measured_ruler, print_ruler
from tagbench.book.operations.printing import TO_FILE, correction, set_correction
from tagbench.book.operations.tagging import known_stock
from tagbench.errors import BadInput, TagbenchError
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.shared.base import CARDS, TagbenchDialog
from tagbench.screens.shared.destination import file_named, files_of, may_write
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.suggest import KnownPaths
from tagbench.trade.quantities.typed import parse_length

NONE = "There is no printer set up; write the tags to a PDF file instead."
WORDS = (
    "Ctrl+P prints the ruler page at 100 %. Measure it with a steel rule, in mm, then type the "
    "four lengths; what is printed there is corrected from then on."
)
LENGTHS = (
    ("left", "Left", "paper's left edge to the left line"),
    ("across", "Across", "left line to the right line"),
    ("top", "Top", "paper's top edge to the top line"),
    ("down", "Down", "top line to the bottom line"),
)


@dataclass(frozen=True)
class Destination:
    """One row: a printer, or a file."""

    name: str
    """Name of the printer; empty for a file."""
    words: str
    """What it is called."""


FILE = Destination(TO_FILE, "a PDF or PNG file")


class PrinterDialog(TagbenchDialog[str]):
    """Gives the name of the printer that was chosen, an empty one for a file."""

    heading = "Printer"
    actions = (
        Action("enter", "", "Take", "Takes the printer under the cursor."),
        Action("m", "measure", "Measure", "Prints the ruler page and takes what is measured."),
    )

    def body(self) -> ComposeResult:
        yield Static("asking …", id="asking", classes="words", markup=False)
        yield Rows(self.draw, lambda destination: destination.name or "file", id="printers")

    def on_mount(self) -> None:
        self.query_one(Rows).show([FILE])
        self._ask()

    @work(thread=True)
    def _ask(self) -> None:
        """Beside the screen, since the printing system may take its time."""
        try:
            printers = known_printers()
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
        destinations = [
            Destination(one.name, one.name + usual * one.is_default) for one in printers
        ]
        rows = self.query_one("#printers", Rows)
        rows.show([FILE, *destinations])
        names = [destination.name for destination in rows.items]
        last = self.tables.desk.printer
        rows.cursor = names.index(last) if last in names else 0

    def draw(self, destination: Destination, width: int) -> list[str]:
        """One line: the printer, and how it is corrected."""
        how = correction_words(
            correction(self.tables, destination.name), measured=self._measured(destination)
        )
        return [columns(width, (destination.words, 0), (how, 38), gap=2)]

    def _measured(self, destination: Destination) -> bool:
        return destination.name in self.tables.desk.printers

    @on(RowOpened)
    def chosen(self, message: RowOpened[Destination]) -> None:
        """Takes it."""
        self.dismiss(message.item.name)

    @work(group=CARDS)
    async def action_measure(self) -> None:
        destination = self.query_one(Rows).current
        if destination is not None:
            words = await self.ask(RulerDialog(destination.name))
            self.query_one(Rows).refresh()
            if words:
                self.tell(words)


class RulerDialog(FormDialog[str]):
    """Gives the words that say what was measured. `printer` is empty for files."""

    actions = (
        Action("enter", "save", "Save", "Takes the four lengths, from any field."),
        Action("ctrl+p", "print", "Print it", "Prints the ruler page."),
        Action("ctrl+r", "forget", "No correction", "Prints without a correction again."),
    )

    def __init__(self, printer: str) -> None:
        super().__init__()
        self._printer = printer
        self.heading = f"Measure {printer or 'pages printed from a file'}"

    def body(self) -> ComposeResult:
        yield Static(WORDS, classes="words", markup=False)
        if self._printer == TO_FILE:
            yield Field("Ruler page", id="ruler-file", suggester=KnownPaths())
        for name, label, words in LENGTHS:
            yield Field(label, id=name, hint=f"{words}, {self._meant(name):g}")
        yield Static("", id="found", classes="words", markup=False)

    def on_mount(self) -> None:
        if self._printer == TO_FILE:
            self["ruler-file"].value = f"~/ruler-{self.stock.name}.pdf"
        self["left"].input.focus()

    @property
    def stock(self) -> Stock:
        """The label stock in use, whose page is measured."""
        return find_stock(self.tables.desk.stock, known_stock(self.book))

    def _meant(self, name: str) -> float:
        """What the length is on a printer that is not off, mm."""
        stock = self.stock
        near = ruler_inset(stock.page_width, stock.page_height)
        sizes = {"across": stock.page_width, "down": stock.page_height}
        return sizes[name] - 2 * near if name in sizes else near

    # Printing it

    @work(group=CARDS)
    async def action_print(self) -> None:
        file = file_named(self["ruler-file"].value) if self._printer == TO_FILE else None
        if self._printer == TO_FILE and file is None:
            self.refuse("Type a file that ends in .pdf or .png for the ruler page.")
        elif await may_write(self, files_of(file, 1)):
            self._print(file)

    @work(thread=True, exclusive=True)
    def _print(self, file: Path | None) -> None:
        """Beside the screen, since the printing system may take its time."""
        try:
            print_ruler(self.book, self.stock.name, target=file, printer=self._printer)
        except (TagbenchError, LabelError) as error:
            self.app.call_later(self.bench_app.refuse, str(error))
        else:
            where = file or self._printer
            self.app.call_later(self.bench_app.tell, f"Printed the ruler page: {where}.")

    # What was measured

    @on(Input.Changed)
    def judge(self) -> None:
        """Says what will be corrected, as soon as all four lengths are there."""
        words = ""
        if all(self[name].value for name, *_ in LENGTHS):
            try:
                words = f"To be corrected: {correction_words(self._found())}"
            except (TagbenchError, LabelError) as error:
                words = str(error)
        self.query_one("#found", Static).update(words)

    def _found(self) -> Correction:
        return correction_from_ruler(self.stock.page_width, self.stock.page_height, **self._typed())

    def _typed(self) -> dict[str, float]:
        """The four lengths in mm; raises BadInput for one that is missing or no length."""
        missing = [label for name, label, _ in LENGTHS if not self[name].value]
        if missing:
            raise BadInput(f"Measure all four; missing: {', '.join(missing)}.")
        return {
            name: float(parse_length(self[name].value, "mm").number("mm")) for name, *_ in LENGTHS
        }

    def action_save(self) -> None:
        with self.refusing():
            found = measured_ruler(self.book, self.stock.name, self._printer, **self._typed())
            self.dismiss(f"Corrected from now on: {correction_words(found)}.")

    def action_forget(self) -> None:
        with self.refusing():
            set_correction(self.book, self._printer, Correction())
            self.dismiss("Nothing is corrected there now.")


def correction_words(found: Correction, *, measured: bool = True) -> str:
    """`0.50 mm right, 0.20 mm up, × 1.0021, × 0.9990`; `exact`; `not measured`."""
    if not measured:
        return "not measured"
    moves = [_move(found.shift_x, "right", "left"), _move(found.shift_y, "down", "up")]
    scales = [_scale("widths", found.scale_x), _scale("heights", found.scale_y)]
    return ", ".join(filter(None, [*moves, *scales])) or "exact"


def _move(by: float, plus: str, minus: str) -> str:
    return f"{abs(by):.2f} mm {plus if by > 0 else minus}" if abs(by) >= 0.005 else ""


def _scale(what: str, by: float) -> str:
    return f"{what} × {by:.4f}" if abs(by - 1) >= 0.00005 else ""
