"""The first page of labels: which are used, which will be printed, which stay free."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.widget import Widget

from labels.geometry import Stock

USED, FREE = "▒", "·"
GAP = 1


class PagePreview(Widget):
    """One cell for each label of the page, with the code that will be printed on it."""

    def __init__(self) -> None:
        super().__init__()
        self._cells: list[str] = []
        self._across = 1

    def show(self, stock: Stock, first: int, codes: Sequence[str]) -> None:
        """Shows a page that starts at label `first` with these codes."""
        self._cells = cells(stock, first, codes)
        self._across = stock.columns
        self.refresh(layout=True)

    def render(self) -> Content:
        wide = max(1, (self.size.width - GAP * (self._across - 1)) // self._across)
        cells = [_cell(text, wide) for text in self._cells]
        rows = range(0, len(cells), self._across)
        lines = [Content(" " * GAP).join(cells[row : row + self._across]) for row in rows]
        between = "\n\n" if self.screen.has_class("-high") else "\n"
        return Content(between).join(lines)


def cells(stock: Stock, first: int, codes: Sequence[str]) -> list[str]:
    """What stands on each label of the first page: a code, used, or free."""
    page = [USED] * (first - 1) + list(codes)
    page += [FREE] * (stock.labels_per_page - len(page))
    return page[: stock.labels_per_page]


def _cell(text: str, wide: int) -> Content:
    if text == USED:
        return Content.styled(USED * wide, "$rule")
    if text == FREE:
        return Content.styled(FREE.center(wide), "$quiet on $panel")
    # The mark is the same on nearly all tags and gives way first.
    short = text if len(text) <= wide else text.split("-", 1)[1]
    return Content.styled(short[:wide].center(wide), "bold $on-primary on $primary")
