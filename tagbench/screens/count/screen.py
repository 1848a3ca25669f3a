"""Count: nothing missing, nothing left over; and closing the machine."""

from __future__ import annotations

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations.care import old_piece_gone
from tagbench.book.operations.closing import reopen_machine
from tagbench.book.operations.machines import chosen
from tagbench.records import Machine
from tagbench.rules.bins import kept_in_words
from tagbench.rules.count.closing import OpenLine, open_lines
from tagbench.rules.count.identity import Bag, Count, ThreadCount, count
from tagbench.rules.count.mixed_threads import mixed_threads
from tagbench.screens.count.lists import (
    BAGS,
    OPEN,
    SAYS,
    THREADS,
    Line,
    Row,
    balance,
    closed_words,
    row_key,
    rows,
    subject,
    views,
)
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.frame.styles import look
from tagbench.screens.shared.base import TagbenchScreen
from tagbench.screens.shared.cards import open_card, open_fit
from tagbench.screens.shared.grouped import Heading
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.group_rows import GroupRows
from tagbench.screens.widgets.views import Views

LONG = 8
"""A kind with more open lines than this is folded at first, so that none hides the others."""


class CountScreen(TagbenchScreen):
    """What is open, the fasteners by thread, the bags."""

    place = "count"
    CSS_PATH = look("field", "rebuild")
    AUTO_FOCUS = "#count-rows"
    actions = (
        Action("enter", "", "Put right", "Goes to where the line is put right; folds a heading."),
        Action("right", "turn(1)", "Lists", "Goes to the next list."),
        Action("left", "turn(-1)", "List before", "Goes to the list before.", in_bar=False),
        Action("f", "found", "Found one", "Which part misses the fastener that you found?"),
        Action("c", "close_machine", "Close", "Closes the machine, or opens it again."),
        Action("p", "print", "Print", "Writes the count sheet."),
    )

    def __init__(self) -> None:
        super().__init__()
        self._count: Count | None = None
        self._folded: set[str] | None = None
        self._reasons: dict[str, str] = {}
        """Reasons that were typed for closing, kept while tagbench is open."""

    def body(self) -> ComposeResult:
        yield Static("", id="balance", markup=False)
        yield Views([OPEN, THREADS, BAGS])
        yield Static("", id="says", classes="quiet", markup=False)
        yield GroupRows(self.draw, row_key, id="count-rows", empty="Nothing.")

    @property
    def machine(self) -> Machine | None:
        """The chosen machine."""
        return chosen(self.tables)

    @property
    def rows(self) -> GroupRows[Line]:
        """The open list."""
        return self.query_one("#count-rows", GroupRows)

    # Showing

    def show_book(self) -> None:
        machine = self.machine
        if machine is None:
            return
        self._count = count(self.tables, machine.mark, self.book.now().date())
        if self._folded is None:
            kinds = rows(self._count, OPEN, ())
            self._folded = {
                row.name for row in kinds if isinstance(row, Heading) and row.count > LONG
            }
        words = closed_words(machine, len(open_lines(self._count)))
        self.query_one("#balance", Static).update(f"{balance(self._count)}\n{words}")
        self.query_one(Views).show(views(self._count))
        self._show_rows()

    def _show_rows(self, *, first: bool = False) -> None:
        if self._count is None:
            return
        view = self.query_one(Views).current
        shown = rows(self._count, view, self._folded or ())
        if first or not self.rows.items:
            self.rows.show_first(shown)
        else:
            self.rows.show(shown)
        self.query_one("#says", Static).update(self._says(view))

    def _says(self, view: str) -> str:
        assert self._count is not None
        mixed = list(mixed_threads(one.thread for one in self._count.threads))
        if view == THREADS and mixed:
            return f"{SAYS[view]}\nTake care: {' '.join(mixed)}"
        return SAYS[view]

    def draw(self, row: Row, width: int) -> list[str | Text]:
        """One line."""
        if isinstance(row, Heading):
            return [Text(row.words, style="bold")]
        if isinstance(row, ThreadCount):
            figures = (f"{row.out} out", f"{row.back} back", f"{row.in_bag} in bag")
            cells = [(figure, -11) for figure in (*figures, f"{row.lost} lost")]
            return [columns(width, (row.thread, 0), *cells, gap=1)]
        if isinstance(row, Bag):
            where = kept_in_words(row.bin, self.tables.bins)
            names = ", ".join(part.name for part in row.parts)
            return [columns(width, (where, 0), (names, 0), gap=2)]
        return [f"  {row.words}"]

    # Moving about

    def action_turn(self, by: int) -> None:
        """Goes to the next list or the one before."""
        self.query_one(Views).turn(by)
        self._show_rows(first=True)

    def action_open_view(self, name: str) -> None:
        """Goes to the list that was clicked."""
        self.query_one(Views).open(name)
        self._show_rows(first=True)

    @on(Opened)
    async def open_row(self, message: Opened[Row]) -> None:
        """Goes to where a line is put right; folds or unfolds a heading; opens a bag."""
        row = message.item
        if isinstance(row, Heading):
            self._folded = (self._folded or set()) ^ {row.name}
            self._show_rows()
        elif isinstance(row, OpenLine):
            self._put_right(row)
        elif isinstance(row, Bag) and row.bin:
            await self.bench_app.open_code(row.bin)
        elif isinstance(row, Bag):
            open_fit(self, row.parts[0].code)

    def _put_right(self, line: OpenLine) -> None:
        from tagbench.screens.settings.measure import MeasureDialog

        about = subject(line)
        if about.kind == "setting":
            open_card(self, MeasureDialog(int(about.about)))
        elif about.kind == "old":
            self._ask_for_old_piece(about.about)
        else:
            open_fit(self, about.about)

    def _ask_for_old_piece(self, code: str) -> None:
        from tagbench.screens.shared.confirm import ConfirmDialog

        def answered(sure: bool | None) -> None:
            if sure:
                with self.refusing():
                    old_piece_gone(self.book, [code])
                    self.catch_up()

        words = f"Is the old {self.tables.parts[code].name} {code} out of the workshop?"
        self.bench_app.push_screen(ConfirmDialog("Old piece", words, "It is gone"), answered)

    # Cards

    def action_found(self) -> None:
        """Asks for the fastener and goes to the part that misses it."""
        from tagbench.screens.count.found import FoundDialog

        def chosen_part(code: str | None) -> None:
            if code is not None:
                open_fit(self, code)

        machine = self.machine
        if machine is not None:
            self.bench_app.push_screen(FoundDialog(machine), chosen_part)

    def action_close_machine(self) -> None:
        """Opens the card for closing; a closed machine is opened again."""
        from tagbench.screens.count.closing import ClosingDialog

        machine = self.machine
        if machine is None:
            self.refuse("There is no machine yet; F2 starts one with the first part.")
        elif machine.closed is None:
            open_card(self, ClosingDialog(machine.mark, self._reasons))
        else:
            self._ask_to_reopen(machine)

    def _ask_to_reopen(self, machine: Machine) -> None:
        from tagbench.screens.shared.confirm import ConfirmDialog

        def answered(sure: bool | None) -> None:
            if sure:
                with self.refusing():
                    reopen_machine(self.book, machine.mark)
                    self.catch_up()

        words = f"{machine.name} is closed. Open it again? The written reasons are dropped."
        self.bench_app.push_screen(ConfirmDialog("Open again", words, "Open again"), answered)

    def action_print(self) -> None:
        """Asks for the file and writes the count sheet."""
        from tagbench.screens.shared.report import ReportDialog

        machine = self.machine
        if machine is not None:
            open_card(self, ReportDialog("count", machine))
