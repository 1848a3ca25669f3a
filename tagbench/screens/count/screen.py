"""Count: nothing missing, nothing left over; and closing the machine."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import NamedTuple

from rich.text import Text
from textual import on, work
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations.closing import reopen_machine
from tagbench.book.operations.machines import chosen
from tagbench.records import Machine, Tables
from tagbench.rules.bins import kept_in_words
from tagbench.rules.count.identity import Bag, Count, ThreadCount, machine_count
from tagbench.rules.count.mixed_threads import mixed_threads
from tagbench.rules.describe.count import CountFacts, CountLine, describe_count
from tagbench.screens.count.closing import ClosingDialog
from tagbench.screens.count.explain import ExplainDialog
from tagbench.screens.count.found import FoundDialog
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.frame.registry import FIT, MEASURE_SETTING
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import CARDS, TagbenchScreen
from tagbench.screens.shared.confirm import confirmed
from tagbench.screens.shared.measure_open import (
    MEASURE_OPEN,
    measure_line,
    measure_open,
    question_named,
)
from tagbench.screens.shared.old_piece import OldPieceDialog
from tagbench.screens.shared.report import ReportDialog
from tagbench.screens.shared.several_lists import SeveralLists
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.group_rows import GroupRows
from tagbench.screens.widgets.views import View, Views

REOPENING = "{} is closed. Open it again? The written reasons are dropped."
LONG = 8
"""A kind with more open lines than this is folded at first, so that none hides the others."""
OPEN, THREADS, BAGS = "Open", "Fasteners", "Bags"
SAYS = {
    OPEN: "What is not accounted for yet. Enter goes to where it is put right.",
    THREADS: "Every fastener that came out: out = back + in the bag + away + lost.",
    BAGS: "Bags and boxes that are not empty yet. Enter opens one.",
}
"""List → what it is, in a sentence."""
CountItem = CountLine | ThreadCount | Bag


class CountScreen(TagbenchScreen, SeveralLists):
    """What is open, the fasteners by thread, the bags."""

    screen_name = "count"
    CSS_PATH = stylesheets("field", "rebuild")
    AUTO_FOCUS = "#count-rows"
    actions = (
        Action("enter", "", "Put right", "Goes to where the line is put right; folds a heading."),
        Action("right", "turn(1)", "Lists", "Goes to the next list."),
        Action("left", "turn(-1)", "List before", "Goes to the list before.", show=False),
        Action("f", "found", "Found one", "Which part is missing the fastener that you found?"),
        MEASURE_OPEN,
        Action("c", "close_machine", "Close", "Closes the machine, or opens it again."),
        Action("p", "print", "Print", "Writes the count sheet."),
    )

    def __init__(self) -> None:
        super().__init__()
        self._mixed: list[str] = []
        self._count: Count | None = None
        self._open_lines: tuple[CountLine, ...] = ()
        """What is open."""
        self._reasons: dict[str, str] = {}
        """Reasons that were typed for closing, kept while tagbench is open."""

    def body(self) -> ComposeResult:
        yield Static("", id="balance", markup=False)
        yield Views([OPEN, THREADS, BAGS])
        yield Static("", id="says", classes="quiet", markup=False)
        yield GroupRows(
            self.draw,
            key_of,
            lambda item: item.heading if isinstance(item, CountLine) else "",
            fold_over=LONG,
            id="count-rows",
            empty="Nothing.",
        )

    @property
    def machine(self) -> Machine | None:
        """The chosen machine."""
        return chosen(self.tables)

    @property
    def rows(self) -> GroupRows[CountItem]:
        """The open list."""
        return self.query_one("#count-rows", GroupRows)

    # Showing

    def show_book(self) -> None:
        machine = self.machine
        if machine is not None:
            tables, today = self.tables, self.book.now().date()
            self.beside(lambda: counted_for(tables, machine, today), self._show_counted)

    def _show_counted(self, counted: Counted) -> None:
        self._count, self._mixed = counted.sums, counted.mixed
        told, machine = counted.told, counted.machine
        self._open_lines = (*told.lines, *told.questions)
        way_on = "" if told.lines or machine.closed else " C closes the machine."
        unknown = f"; {told.unknown.words} (T)" if told.unknown.words else ""
        sums = [told.parts.words, told.fasteners.words, f"{told.stands.words}{way_on}{unknown}"]
        self.query_one("#balance", Static).update("\n".join(sums))
        counts = (len(self._open_lines), len(self._count.threads), len(self._count.bags))
        self.query_one(Views).show(list(map(View, (OPEN, THREADS, BAGS), counts)))
        self._show_rows()

    def _show_rows(self, *, first: bool = False) -> None:
        if self._count is None:
            return
        view = self.query_one(Views).current
        items: Mapping[str, Sequence[CountItem]] = {
            OPEN: self._open_lines,
            THREADS: self._count.threads,
            BAGS: self._count.bags,
        }
        self.rows.show_items(items[view], first=first)
        self.query_one("#says", Static).update(self._says(view))

    def _says(self, view: str) -> str:
        if view == THREADS and self._mixed:
            return f"{SAYS[view]}\nTake care: {' '.join(self._mixed)}"
        return SAYS[view]

    def draw(self, row: CountItem, width: int) -> list[str | Text]:
        """One line."""
        if isinstance(row, ThreadCount):
            figures = (f"{row.out} out", f"{row.back} back", f"{row.in_bag} in bag")
            away = [f"{row.away} away"] if row.away else []
            cells = [(figure, -11) for figure in (*figures, *away, f"{row.lost} lost")]
            return [columns(width, (row.thread, 0), *cells, gap=1)]
        if isinstance(row, Bag):
            where = kept_in_words(row.bin, self.tables.bins)
            names = ", ".join(part.said for part in row.parts)
            return [columns(width, (where, 0), (names, 0), gap=2)]
        return [f"  {row.words}"]

    # Moving about

    def show_list(self) -> None:
        self._show_rows(first=True)

    @on(RowOpened)
    async def open_row(self, message: RowOpened[CountItem]) -> None:
        """Goes to where a line is put right; opens a bag."""
        row = message.item
        if isinstance(row, CountLine):
            self._put_right(row)
        elif isinstance(row, Bag) and row.bin:
            await self.bench_app.open_code(row.bin)
        elif isinstance(row, Bag):
            self.open_card(FIT(row.parts[0].code))

    def _put_right(self, line: CountLine) -> None:
        kind = line.key.partition(":")[0]
        if kind == "setting":
            self.open_card(MEASURE_SETTING(int(line.about)))
        elif kind == "old":
            self.open_card(OldPieceDialog([self.tables.parts[line.about]]))
        elif kind == "found":
            self.open_card(ExplainDialog(int(line.about)))
        elif kind == "thread":
            self._measure_line(line.key)
        else:
            self.open_card(FIT(line.about))

    @work(group=CARDS)
    async def _measure_line(self, key: str) -> None:
        with self.refusing():
            self.finished(await measure_line(self, question_named(self, key)))

    @work(group=CARDS)
    async def action_measure_open(self) -> None:
        if self._count is not None:
            self.finished(await measure_open(self, self._count.questions))

    # Cards

    @work(group=CARDS)
    async def action_found(self) -> None:
        if (machine := self.machine) is not None:
            code = await self.ask(FoundDialog(machine))
            if code is not None:
                self.open_card(FIT(code))

    @work(group=CARDS)
    async def action_close_machine(self) -> None:
        machine = self.machine
        if machine is None:
            self.refuse("There is no machine yet; F2 starts one with the first part.")
        elif machine.closed is None:
            self.open_card(ClosingDialog(machine.mark, self._reasons))
        elif await confirmed(self, "Open again", REOPENING.format(machine.name), "Open again"):
            with self.refusing():
                reopen_machine(self.book, machine.mark)
                self.catch_up()

    def action_print(self) -> None:
        machine = self.machine
        if machine is not None:
            self.open_card(ReportDialog("count", machine))


class Counted(NamedTuple):
    """The count of one machine, and what is said of it."""

    sums: Count
    told: CountFacts
    mixed: list[str]
    """What is said of threads that are mixed up."""
    machine: Machine


def counted_for(tables: Tables, machine: Machine, today: date) -> Counted:
    """Counts one machine."""
    counted = machine_count(tables, machine.mark, today)
    mixed = list(mixed_threads(one.thread for one in counted.threads))
    return Counted(counted, describe_count(counted, machine), mixed, machine)


def key_of(row: CountItem) -> str:
    """What a row is known by while the book changes."""
    if isinstance(row, ThreadCount):
        return row.thread
    return row.bin if isinstance(row, Bag) else row.key
