"""The page that tags will be printed on: stock, first free label, where to, and a preview."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget
from textual.widgets import Static

from labels.stock.geometry import Stock
from labels.stock.sheet import check_first, next_label, page_count
from tagbench.screens.shared.destination import HINT, file_named
from tagbench.screens.widgets.columns import bar
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownPaths

BAR_WIDTH = 20
USED, FREE = "▒", "·"
POINTER = "▸"
GAP = 1


class PageSide(Vertical):
    """What is typed about the page, and what it will look like."""

    def __init__(self) -> None:
        super().__init__()
        self._remembered = ("", 0)
        self._pages = ""
        self._progress = ""
        self.cut_marks = False
        """Whether small crosses are printed at the corners of the labels."""

    def compose(self) -> ComposeResult:
        yield Static("", id="stock", markup=False)
        yield Field("First label", id="first", restrict=r"[0-9]{0,3}")
        yield Field("To", id="target", hint=HINT, suggester=KnownPaths())
        yield PagePreview()
        yield Static("", id="pages", classes="quiet", markup=False)

    def _field(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    def use(self, stock: Stock, first: int) -> None:
        """A first label that was typed stays unless the remembered one changed."""
        if self._remembered != (stock.name, first):
            self._remembered = (stock.name, first)
            self._field("first").value = str(first)

    def show_page(self, stock: Stock, codes: Sequence[str], current: str = "") -> None:
        """Shows the page on which the current code will be printed.

        Raises StockError for a first label that is not on the sheet.
        """
        cuts = ", cut marks" if self.cut_marks else ""
        self.query_one("#stock", Static).update(f"{stock.name}\n{stock_words(stock)}{cuts}")
        check_first(stock, self.first)
        page = page_of(stock, self.first, codes, current)
        self.query_one(PagePreview).show(stock, self.first, codes, page, current)
        pages = page_count(stock, self.first, len(codes))
        count = f"page {page} of {pages}" if pages > 1 else "1 page" if pages else "no page"
        after = next_label(stock, self.first, len(codes))
        then = f", then label {after}" if codes else ""
        self._pages = f"{count}{then}\n▒ used   · free"
        self._say()

    def show_progress(self, done: int, of: int) -> None:
        """Shows how many of how many tags are drawn; (0, 0) when it is over."""
        self._progress = f"{bar(BAR_WIDTH, of, (done, '█'))} {done} of {of}" if of else ""
        self._say()

    def _say(self) -> None:
        self.query_one("#pages", Static).update(self._progress or self._pages)

    @property
    def first(self) -> int:
        """The first free label that was typed."""
        return int(self._field("first").value or 1)

    @property
    def to(self) -> str:
        """Where to print, as it was typed."""
        return self._field("target").value

    @to.setter
    def to(self, text: str) -> None:
        self._field("target").value = text

    @property
    def file(self) -> Path | None:
        """The file that was typed; None when it is the name of a printer."""
        return file_named(self.to)


def stock_words(stock: Stock) -> str:
    """A stock by its geometry."""
    size = f"{stock.label_width:g} × {stock.label_height:g} mm"
    return f"{stock.labels_per_page} labels, {size}" if stock.labels_per_page > 1 else size


class PagePreview(Widget):
    """One cell for each label of the page, with the code that will be printed on it.

    Where the page has more rows than there is room, those around the current code are shown.
    """

    def __init__(self) -> None:
        super().__init__()
        self._cells: list[str] = []
        self._across = 1
        self._current = ""

    def show(
        self, stock: Stock, first: int, codes: Sequence[str], page: int = 1, current: str = ""
    ) -> None:
        """Shows a page of a run that starts at label `first`; `current` is pointed at."""
        self._cells = cells(stock, first, codes, page)
        self._across = stock.columns
        self._current = current
        self.refresh(layout=True)

    @property
    def _rows(self) -> int:
        return -(-len(self._cells) // self._across)

    def _pitch(self, room: int) -> int:
        """Lines from row to row: with a gap where there is room for one."""
        return 2 if self.screen.has_class("-high") and 2 * self._rows - 1 <= room else 1

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return self._pitch(container.height) * (self._rows - 1) + 1

    def render(self) -> Content:
        wide = max(1, (self.size.width - GAP * (self._across - 1)) // self._across)
        cells = [_cell(text, wide, self._current) for text in self._cells]
        rows = range(0, len(cells), self._across)
        lines = [Content(" " * GAP).join(cells[row : row + self._across]) for row in rows]
        start = self._first_row()
        return Content("\n" * self._pitch(self.size.height)).join(lines[start:])

    def _first_row(self) -> int:
        """The row at the top, so that the current code, else the first one, is in sight."""
        room = self.size.height
        if self._rows <= room:
            return 0
        wanted = [at for at, text in enumerate(self._cells) if text == self._current]
        wanted += [at for at, text in enumerate(self._cells) if text not in (USED, FREE)]
        row = wanted[0] // self._across if wanted else 0
        return max(0, min(row - room // 2, self._rows - room))


def cells(stock: Stock, first: int, codes: Sequence[str], page: int = 1) -> list[str]:
    """What stands on each label of a page, counted from 1: a code, used, or free."""
    start = (page - 1) * stock.labels_per_page
    run = [USED] * (first - 1) + list(codes)
    labels = run[start : start + stock.labels_per_page]
    return labels + [FREE] * (stock.labels_per_page - len(labels))


def page_of(stock: Stock, first: int, codes: Sequence[str], code: str) -> int:
    """The page on which a code will be printed; the first one when it will not."""
    if code not in codes:
        return 1
    return (first - 1 + list(codes).index(code)) // stock.labels_per_page + 1


def _cell(text: str, wide: int, current: str) -> Content:
    if text == USED:
        return Content.styled(USED * wide, "$rule")
    if text == FREE:
        return Content.styled(FREE.center(wide), "$quiet on $panel")
    # The mark is the same on nearly all tags and gives way first.
    short = text if len(text) <= wide else text.split("-", 1)[1]
    if text == current and len(short) < wide:
        short = POINTER + short
    look = "bold $primary on $panel" if text == current else "bold $on-primary on $primary"
    return Content.styled(short[:wide].center(wide), look)
