"""Tags: what waits to be printed, on which labels, from which free one, and where to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, Static
from textual.worker import get_current_worker

from labels.errors import LabelError
from labels.stock.catalogue import find_stock
from labels.stock.sheet import check_first, next_label, page_count
from tagbench.book.operations.printing import note_printed
from tagbench.book.operations.tagging import (
    first_label,
    known_stock,
    queued,
    reserve_spare,
    set_sheet,
    unqueue,
)
from tagbench.errors import BadInput, TagbenchError
from tagbench.records import Tag
from tagbench.rules.describe.phrases import plural
from tagbench.screens.frame.actions import NEW_KEY, Action
from tagbench.screens.frame.messages import Moved, RowOpened, SelectionChanged
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import CARDS, TagbenchScreen
from tagbench.screens.shared.confirm import confirmed
from tagbench.screens.shared.destination import (
    files_of,
    fresh_file,
    may_write,
    place_named,
)
from tagbench.screens.tags.cards import AgainDialog, SpareDialog, StockDialog, printed_words, what
from tagbench.screens.tags.page import PageSide
from tagbench.screens.tags.print_job import PrintJob, PrintRun
from tagbench.screens.tags.printers import PrinterDialog
from tagbench.screens.tags.tag import TagDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.rows import Rows

if TYPE_CHECKING:
    from labels.output.files import Printed
    from labels.stock.geometry import Stock

ON_PAPER = (
    "{what} Print at 100 %. Once that is on paper, its tags leave the queue, the labels of {stock} "
    "from {first} on are used up, and label {after} is the next free one."
)
STOPPING = "Then nothing is printed, and every tag still waits."
NOTHING = "No tag waits to be printed."


class TagsScreen(TagbenchScreen):
    """The queue at the left, the page it will be printed on at the right."""

    screen_name = "tags"
    CSS_PATH = stylesheets("field", "tags")
    AUTO_FOCUS = "#queue"
    actions = (
        Action("ctrl+p", "print", "Print", "Prints the selected tags, or all of them."),
        Action(NEW_KEY, "spare", "Spare tags", "Sets new codes aside and queues their tags."),
        Action("ctrl+b,l,L", "labels", "Labels", "Chooses the label stock."),
        Action("ctrl+o", "view", "View", "Shows the tag under the cursor as it will be printed."),
        Action("ctrl+r", "take_out", "Take out", "Takes tags out of the queue unprinted."),
        Action(
            "ctrl+y", "printer", "Printer", "Chooses the printer; corrects how far off it prints."
        ),
        Action(
            "k", "on_paper", "On paper", "Says that a file is on paper: its labels are used up."
        ),
        Action("a", "again", "Again", "Queues tags that were printed before."),
        Action("c", "cut_marks", "Cut marks", "With or without crosses to cut along."),
        Action("space", "", "Select", "Selects the tag under the cursor.", show=False),
    )

    def __init__(self) -> None:
        super().__init__()
        self._run: PrintRun | None = None
        """The run that is being printed."""
        self._written: PrintJob | None = None
        """The last file, until the person says that it is on paper."""
        self._told = ""
        """What was said of that file."""

    def body(self) -> ComposeResult:
        with Horizontal():
            with Vertical(id="queue-side"):
                yield Static("", classes="section", id="queue-heading", markup=False)
                yield Rows(
                    self.draw_tag,
                    lambda tag: tag.code,
                    id="queue",
                    empty=NOTHING,
                    selectable=True,
                    roomy=True,
                )
            yield PageSide()

    def on_mount(self) -> None:
        self._print_to("")

    @property
    def page(self) -> PageSide:
        """The page and where it goes."""
        return self.query_one(PageSide)

    @property
    def queue(self) -> Rows[Tag]:
        """The list of the tags that wait."""
        return self.query_one("#queue", Rows)

    def show_book(self) -> None:
        waiting = queued(self.tables)
        self.queue.show(waiting)
        self.query_one("#queue-heading", Static).update(f"To print: {len(waiting)}")
        with self.refusing():
            self.page.use(self.stock, first_label(self.tables, self.stock))
        self.show_page()

    @property
    def stock(self) -> Stock:
        """The label stock in use; raises StockError when it is gone from the stock file."""
        return find_stock(self.tables.desk.stock, known_stock(self.book))

    @on(SelectionChanged)
    @on(Moved)
    @on(Input.Changed, "#first")
    def show_page(self) -> None:
        """Shows which labels are used, which will be, and how many pages."""
        current = self.queue.current
        with self.refusing():
            self.page.show_page(self.stock, self.codes, current.code if current else "")

    @property
    def codes(self) -> list[str]:
        """The codes to print: the marked ones, else all that wait."""
        waiting = [tag.code for tag in self.queue.items]
        return [code for code in waiting if code in self.queue.selected_keys] or waiting

    def draw_tag(self, tag: Tag, width: int) -> list[str]:
        """One line: code and what is on it."""
        return [columns(width, (tag.code, 10), (what(tag, self.tables), 0), gap=2)]

    # Printing

    @on(Input.Submitted)
    def typed(self) -> None:
        """Enter in a field takes what was typed and goes on to the queue; it never prints."""
        self.queue.focus()

    @work(group=CARDS)
    async def action_print(self) -> None:
        """Prints, after a question before a file is written over; while printing offers to stop."""
        if (run := self._run) is not None:
            if await confirmed(self, "Stop printing?", STOPPING, "Stop", "Go on printing"):
                run.stop()
            return
        with self.refusing():
            if not self.codes:
                raise BadInput(NOTHING)
            job = self._job()
            pages = page_count(self.stock, job.first, len(job.codes))
            if await may_write(self, files_of(job.file, pages)):
                self._run = PrintRun(self.book, job, self._progress)
                self.tell("Printing. Ctrl+P stops it.")
                self._print(self._run)

    def _job(self) -> PrintJob:
        """What is to be printed; raises BadInput or StockError when it cannot be."""
        file, printer = place_named(self.page.to)
        stock, first = self.stock, self.page.first
        check_first(stock, first)
        return PrintJob(tuple(self.codes), stock.name, first, file, printer, self.page.cut_marks)

    @work(thread=True, exclusive=True, description="see its name")
    def _print(self, run: PrintRun) -> None:
        """Beside the screen, since three hundred tags take a while."""
        app = self.bench_app
        try:
            printed = run.print()
        except (TagbenchError, LabelError) as error:
            app.call_later(self._over, str(error))
        else:
            app.call_later(self._printed, printed, run.job)

    def _progress(self, done: int, of: int) -> None:
        if get_current_worker().is_cancelled and self._run is not None:  # the screens are closing
            self._run.stop()
        self.bench_app.call_later(self.page.show_progress, done, of)

    def _over(self, refused: str = "") -> None:
        self._run = None
        if not self.is_attached:  # the screens are closing
            return
        self.page.show_progress(0, 0)
        if refused:
            self.bench_app.refuse(refused)

    def _printed(self, printed: Printed, job: PrintJob) -> None:
        self._over()
        if job.file is None:
            self.queue.selected_keys.clear()
            self.catch_up()
            self.bench_app.book_changed()
            self.bench_app.tell(printed_words(printed, job))
            return
        self._written = job
        self._print_to("")
        self._told = printed_words(printed, job)
        if self.app.screen is self:
            self.action_on_paper()
        else:
            self.bench_app.tell(f"{self._told} Once it is on paper, press K on Tags.")

    @work(group=CARDS)
    async def action_on_paper(self) -> None:
        """Asks whether the last file, or else what waits, is on paper; only then are its labels
        used up and its tags out of the queue."""
        with self.refusing():
            job = self._written or self._job()
            if not job.codes:
                raise BadInput(NOTHING)
            stock = find_stock(job.stock, known_stock(self.book))
            after = next_label(stock, job.first, len(job.codes))
            words = ON_PAPER.format(
                what=self._told if self._written else f"{plural(len(job.codes), 'tag')}.",
                stock=job.stock, first=job.first, after=after,
            )  # fmt: skip
            if await confirmed(self, "Is it on paper?", words, "It is printed", "Not yet"):
                known = [code for code in job.codes if code in self.tables.tags]
                note_printed(self.book, known, stock, after)
                self._written = None
                self.queue.selected_keys.clear()
                self.finished(
                    f"{plural(len(job.codes), 'tag')} noted as printed. "
                    f"Next free label of {job.stock}: {after}."
                )
            elif self._written is not None:
                self.tell("The tags wait, and no label is used up. K says when it is on paper.")

    # The queue and the labels

    def action_take_out(self) -> None:
        tag = self.queue.current
        codes = [code for code in self.codes if code in self.queue.selected_keys]
        if tag is None:
            self.refuse(NOTHING)
            return
        with self.refusing():
            gone = unqueue(self.book, codes or [tag.code])
            self.catch_up()
            self.tell(f"{', '.join(one.code for one in gone)} will not be printed.")

    @work(group=CARDS)
    async def action_spare(self) -> None:
        count = await self.ask(SpareDialog())
        if count is not None:
            with self.refusing():
                spare = reserve_spare(self.book, count)
                self.finished(f"Set aside {spare[0].code} to {spare[-1].code}.")

    def action_again(self) -> None:
        self.open_card(AgainDialog())

    def action_cut_marks(self) -> None:
        self.page.cut_marks = not self.page.cut_marks
        self.show_page()
        self.tell("With cut marks." if self.page.cut_marks else "Without cut marks.")

    @work(group=CARDS)
    async def action_labels(self) -> None:
        with self.refusing():
            stock = await self.ask(StockDialog(known_stock(self.book), self.tables.desk.stock))
            if stock is not None:
                first = first_label(self.tables, stock)
                set_sheet(self.book, stock.name, first)
                self.catch_up()
                self.finished(f"Printing on {stock.name} from label {first}.")

    @work(group=CARDS)
    async def action_printer(self) -> None:
        name = await self.ask(PrinterDialog())
        if name is not None:
            self._print_to(name)

    def _print_to(self, printer: str) -> None:
        self.page.to = printer or fresh_file(f"~/tags-{self.book.now():%Y-%m-%d}.pdf")

    def action_view(self) -> None:
        tag = self.queue.current
        if tag is None:
            self.refuse(NOTHING)
            return
        codes = [tag.code for tag in self.queue.items]
        with self.refusing():
            self.open_card(TagDialog(self.tables, tag.code, self.stock, codes))

    @on(RowOpened)
    async def open_record(self, message: RowOpened[Tag]) -> None:
        """Opens the part or bin of a tag."""
        with self.refusing():
            await self.bench_app.open_code(message.item.code)
