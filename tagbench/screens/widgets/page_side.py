"""The page that tags will be printed on: stock, first free label, where to, and a preview."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from labels.geometry import Stock
from labels.sheet import check_first, page_count
from tagbench.book.work.printing import FILE_ENDINGS
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.page import PagePreview
from tagbench.screens.widgets.suggest import KnownPaths


class PageSide(Vertical):
    """What is typed about the page, and what it will look like."""

    def __init__(self) -> None:
        super().__init__()
        self._remembered = ("", 0)

    def compose(self) -> ComposeResult:
        yield Static("", id="stock", markup=False)
        yield Field("First label", id="first", restrict=r"[0-9]{0,3}")
        yield Field("To", id="target", hint="file.pdf or printer", suggester=KnownPaths())
        yield PagePreview()
        yield Static("", id="pages", classes="quiet", markup=False)

    def _field(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    def use(self, stock: Stock, first: int) -> None:
        """Names the stock; a first label that was typed stays unless the remembered one changed."""
        self.query_one("#stock", Static).update(f"{stock.name}\n{stock_words(stock)}")
        if self._remembered != (stock.name, first):
            self._remembered = (stock.name, first)
            self._field("first").value = str(first)

    def show_page(self, stock: Stock, codes: Sequence[str]) -> None:
        """Shows the first page. Raises StockError for a label that is not on the sheet."""
        check_first(stock, self.first)
        self.query_one(PagePreview).show(stock, self.first, codes)
        pages = page_count(stock, self.first, len(codes))
        words = f"{pages} page{'s' * (pages != 1)}   ▒ used   · free"
        self.query_one("#pages", Static).update(words)

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
        path = Path(self.to).expanduser()
        return path if path.suffix.casefold() in FILE_ENDINGS else None


def stock_words(stock: Stock) -> str:
    """A stock by its geometry."""
    size = f"{stock.label_width:g} × {stock.label_height:g} mm"
    return f"{stock.labels_per_page} labels, {size}" if stock.labels_per_page > 1 else size
