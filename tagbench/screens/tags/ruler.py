"""How is a printer off? The ruler page, printed once, and the four lengths measured on it."""

from __future__ import annotations

from pathlib import Path

from textual import on, work
from textual.app import ComposeResult
from textual.widgets import Input, Static

from labels.errors import LabelError
from labels.output.correction import Correction, correction_from_ruler, ruler_inset
from labels.stock.catalogue import find_stock
from labels.stock.geometry import Stock
from tagbench.book.operations.pages import measured_ruler, print_ruler
from tagbench.book.operations.printing import TO_FILE, set_correction
from tagbench.book.operations.tagging import shelf
from tagbench.errors import BadInput, TagbenchError
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import CARDS, TagbenchDialog
from tagbench.screens.shared.destination import file_named, files_of, may_write
from tagbench.screens.tags.correction import correction_words
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownPaths
from tagbench.trade.quantities.typed import parse_length

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


class RulerDialog(TagbenchDialog[str]):
    """Gives the words that say what was measured. `printer` is empty for files."""

    actions = (
        Action("enter", "save", "Save", "Takes the four lengths, from any field."),
        Action("ctrl+p", "print", "Print it", "Prints the ruler page."),
        Action("ctrl+r", "forget", "No correction", "Prints without a correction again."),
        Action("down", "app.focus_next", "Next", "Goes to the next field.", show=False),
        Action("up", "app.focus_previous", "Up", "Goes to the field before.", show=False),
    )

    def __init__(self, printer: str) -> None:
        super().__init__()
        self._printer = printer
        self.heading = f"How {printer or 'printing from files'} is off"

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

    def __getitem__(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    @property
    def stock(self) -> Stock:
        """The label stock in use, whose page is measured."""
        return find_stock(self.tables.desk.stock, shelf(self.book))

    def _meant(self, name: str) -> float:
        """What the length is on a printer that is not off, mm."""
        stock = self.stock
        near = ruler_inset(stock.page_width, stock.page_height)
        sizes = {"across": stock.page_width, "down": stock.page_height}
        return sizes[name] - 2 * near if name in sizes else near

    # Printing it

    @work(group=CARDS)
    async def action_print(self) -> None:
        """Prints the ruler page."""
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

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Remembers it for this printer."""
        with self.refusing():
            found = measured_ruler(self.book, self.stock.name, self._printer, **self._typed())
            self.dismiss(f"Corrected from now on: {correction_words(found)}.")

    def action_forget(self) -> None:
        """Prints there as if it were exact."""
        with self.refusing():
            set_correction(self.book, self._printer, Correction())
            self.dismiss("Nothing is corrected there any more.")
