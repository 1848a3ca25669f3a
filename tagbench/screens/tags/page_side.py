"""The page that tags will be printed on: stock, first free label, where to, and a preview."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from labels.stock.geometry import Stock
from labels.stock.sheet import check_first, page_count
from tagbench.screens.shared.destination import HINT, file_named
from tagbench.screens.tags.page import PagePreview, page_of
from tagbench.screens.widgets.bar import bar
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownPaths

BAR_WIDTH = 20


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
        self._pages = f"{count}   ▒ used   · free"
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
