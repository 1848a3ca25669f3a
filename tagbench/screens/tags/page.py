"""One page of labels: which are used, which will be printed, which stay free."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

from labels.stock.geometry import Stock

USED, FREE = "▒", "·"
POINTER = "▸"
GAP = 1


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
