"""Which labels?"""

from __future__ import annotations

from collections.abc import Mapping

from textual import on
from textual.app import ComposeResult

from labels.stock.geometry import Stock
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.rows import Rows


class StockDialog(TagbenchDialog[Stock]):
    """Gives the stock that was chosen; the one in use is marked with an arrow."""

    heading = "Labels"
    actions = (Action("enter", "", "Take", "Takes the labels under the cursor."),)

    def __init__(self, shelf: Mapping[str, Stock], used: str) -> None:
        super().__init__()
        self._shelf = shelf
        self._used = used

    def body(self) -> ComposeResult:
        rows = Rows(self.draw, lambda stock: stock.name, id="stocks")
        rows.show(list(self._shelf.values()))
        yield rows

    def draw(self, stock: Stock, width: int) -> list[str]:
        """One line: name, how many of which size, the kind."""
        used = "→" if stock.name == self._used else ""
        size = f"{stock.label_width:.4g} × {stock.label_height:.4g} mm"
        count = f"{stock.labels_per_page} a page" if stock.labels_per_page > 1 else stock.kind
        return [columns(width, (used, 1), (stock.name, 0), (size, 16), (count, 10), gap=2)]

    @on(Opened)
    def chosen(self, message: Opened[Stock]) -> None:
        """Takes it."""
        self.dismiss(message.item)
