"""Tags: what waits to be printed, on which labels, from which free one, and where to."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, Static

from labels.errors import LabelError
from labels.geometry import Stock
from labels.output import Printed
from labels.stock import find_stock
from tagbench.book.work.printing import print_tags
from tagbench.book.work.tagging import (
    first_label,
    queued,
    reserve_spare,
    set_sheet,
    shelf,
    unqueue,
)
from tagbench.errors import BadInput, TagbenchError
from tagbench.records import Tables, Tag
from tagbench.screens.actions import Action
from tagbench.screens.base import TagbenchScreen
from tagbench.screens.looks import look
from tagbench.screens.messages import Marked, Opened
from tagbench.screens.widgets.bar import bar
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.page_side import PageSide
from tagbench.screens.widgets.rows import Rows

NOTHING = "No tag waits to be printed."
STEPS = 50
"""So many times at most the progress is said again."""


class TagsScreen(TagbenchScreen):
    """The queue at the left, the page it will be printed on at the right."""

    place = "tags"
    CSS_PATH = look("field", "tags")
    AUTO_FOCUS = "#queue"
    actions = (
        Action("ctrl+p", "print", "Print", "Prints the marked tags, or all of them."),
        Action("ctrl+n", "spare", "Spare tags", "Sets codes aside and queues their tags."),
        Action("ctrl+b", "labels", "Labels", "Chooses the label stock."),
        Action("ctrl+o", "view", "View", "Shows the tag under the cursor as it will be printed."),
        Action("ctrl+r", "take_out", "Take out", "Takes tags out of the queue unprinted."),
        Action("ctrl+y", "printer", "Printer", "Chooses the printer; a file is typed in."),
        Action("space", "", "Mark", "Marks the tag under the cursor.", in_bar=False),
    )

    def __init__(self) -> None:
        super().__init__()
        self._printing = False

    def body(self) -> ComposeResult:
        with Horizontal():
            with Vertical(id="queue-side"):
                yield Static("", classes="section", id="queue-heading", markup=False)
                yield Rows(
                    self.draw_tag,
                    lambda tag: tag.code,
                    id="queue",
                    empty=NOTHING,
                    markable=True,
                    roomy=True,
                )
            yield PageSide()

    def on_mount(self) -> None:
        self.page.to = f"~/tags-{self.book.now():%Y-%m-%d}.pdf"

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
        return find_stock(self.tables.desk.stock, shelf(self.book))

    @on(Marked)
    @on(Input.Changed, "#first")
    def show_page(self) -> None:
        """Shows which labels of the first page are used, which will be, and how many pages."""
        with self.refusing():
            self.page.show_page(self.stock, self.codes)

    @property
    def codes(self) -> list[str]:
        """The codes to print: the marked ones, else all that wait."""
        waiting = [tag.code for tag in self.queue.items]
        return [code for code in waiting if code in self.queue.marked] or waiting

    def draw_tag(self, tag: Tag, width: int) -> list[str]:
        """One line: code and what is on it."""
        return [columns(width, (tag.code, 10), (what(tag, self.tables), 0), gap=2)]

    # Printing

    @on(Input.Submitted)
    def action_print(self) -> None:
        """Asks before a file is written over, then prints."""
        target = self.page.file
        if self._printing or not self.codes:
            self.refuse("It is still printing." if self._printing else NOTHING)
        elif target is not None and target.exists():
            self._ask_to_overwrite(target)
        else:
            self._start()

    def _ask_to_overwrite(self, target: Path) -> None:
        from tagbench.screens.dialogs.confirm import ConfirmDialog

        def answered(sure: bool | None) -> None:
            if sure:
                self._start()

        words = f"{target} is there already."
        self.bench_app.push_screen(ConfirmDialog("Write over it?", words, "Write over"), answered)

    def _start(self) -> None:
        self._printing = True
        file = self.page.file
        printer = "" if file else self.page.to
        self._print(self.codes, self.stock.name, self.page.first, file, printer)

    @work(thread=True, exclusive=True)
    def _print(
        self, codes: Sequence[str], stock: str, first: int, target: Path | None, printer: str
    ) -> None:
        """Beside the screen, since three hundred tags take a while."""
        try:
            if target is None and not printer:
                raise BadInput("Say where to: a file that ends in .pdf or .png, or a printer.")
            printed = print_tags(
                self.book,
                codes,
                stock,
                target=target,
                printer=printer,
                first=first,
                progress=self._progress,
            )
        except (TagbenchError, LabelError) as error:
            self.bench_app.call_from_thread(self._stopped, str(error))
        else:
            self.bench_app.call_from_thread(self._printed, printed, target or printer)

    def _progress(self, done: int, of: int) -> None:
        if done == of or done % max(1, of // STEPS) == 0:
            words = f"Printing {done} of {of}   {bar(30, of, (done, '█'))}"
            self.bench_app.call_from_thread(self.bench_app.tell, words)

    def _stopped(self, why: str) -> None:
        self._printing = False
        self.bench_app.refuse(why)

    def _printed(self, printed: Printed, target: Path | str) -> None:
        self._printing = False
        self.queue.marked.clear()
        self.catch_up()
        self.bench_app.book_changed()
        self.bench_app.tell(printed_words(printed, target))

    # The queue and the labels

    def action_take_out(self) -> None:
        """Takes the marked tags, or the one under the cursor, out of the queue."""
        tag = self.queue.current
        codes = [code for code in self.codes if code in self.queue.marked]
        if tag is None:
            self.refuse(NOTHING)
            return
        with self.refusing():
            gone = unqueue(self.book, codes or [tag.code])
            self.catch_up()
            self.tell(f"{', '.join(one.code for one in gone)} will not be printed.")

    def action_spare(self) -> None:
        """Asks how many and sets codes aside for tags printed ahead."""
        from tagbench.screens.dialogs.spare import SpareDialog

        self.bench_app.push_screen(SpareDialog(), self._set_aside)

    def _set_aside(self, count: int | None) -> None:
        if count is not None:
            with self.refusing():
                spare = reserve_spare(self.book, count)
                self.catch_up()
                self.tell(f"Set aside {spare[0].code} to {spare[-1].code}.")

    def action_labels(self) -> None:
        """Shows the label stock and uses the one that is chosen."""
        from tagbench.screens.dialogs.stock import StockDialog

        with self.refusing():
            dialog = StockDialog(shelf(self.book), self.tables.desk.stock)
            self.bench_app.push_screen(dialog, self._use_stock)

    def _use_stock(self, stock: Stock | None) -> None:
        if stock is not None:
            with self.refusing():
                set_sheet(self.book, stock.name, first_label(self.tables, stock))
                self.catch_up()

    def action_printer(self) -> None:
        """Shows the printers and takes the one that is chosen."""
        from tagbench.screens.dialogs.printer import PrinterDialog

        self.bench_app.push_screen(PrinterDialog(), self._print_to)

    def _print_to(self, name: str | None) -> None:
        if name is not None:
            self.page.to = name

    def action_view(self) -> None:
        """Shows the tag under the cursor as it will be printed."""
        from tagbench.screens.dialogs.tag import TagDialog

        tag = self.queue.current
        if tag is None:
            self.refuse(NOTHING)
            return
        with self.refusing():
            self.bench_app.push_screen(TagDialog(self.tables, tag.code, self.stock))

    @on(Opened)
    async def open_record(self, message: Opened[Tag]) -> None:
        """Opens the part or bin of a tag."""
        with self.refusing():
            await self.bench_app.open_code(message.item.code)


def what(tag: Tag, tables: Tables) -> str:
    """What a tag is on, in words."""
    if tag.kind == "spare":
        return "spare tag"
    if tag.code in tables.parts:
        return tables.parts[tag.code].name
    return tables.bins[tag.code].name if tag.code in tables.bins else ""


def printed_words(printed: Printed, target: Path | str) -> str:
    """What was printed, where the sheet was left, and what had to be cut."""
    tags = f"{printed.tags} tag{'s' * (printed.tags != 1)}"
    pages = f"{printed.pages} page{'s' * (printed.pages != 1)}"
    words = f"Printed {tags} on {pages}: {target}. Next free label: {printed.next_label}."
    if printed.cuts:
        cut = ", ".join(dict.fromkeys(cut.code for cut in printed.cuts))
        words += f" Text was cut on {cut}."
    return words
