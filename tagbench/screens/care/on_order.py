"""A part is to be used again while a new one is on order: what becomes of the order."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations import care
from tagbench.rules.buying.open_orders import Orders
from tagbench.screens.care.steps import ticked_words
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import TagbenchDialog


class OnOrderDialog(TagbenchDialog[str]):
    """Gives the words that say what was done; Escape leaves part and order as they were."""

    actions = (
        Action("o", "tick_off('off')", "Call off", "The order is called off.", writes=True),
        Action("k", "tick_off('keep')", "Keep", "The order stands, for the drawer.", writes=True),
    )

    def __init__(self, codes: Sequence[str], asks: str) -> None:
        super().__init__()
        self.heading = "On order"
        self._codes, self._asks = codes, asks

    def body(self) -> ComposeResult:
        yield Static(self._asks, classes="words", markup=False)

    def action_tick_off(self, orders: Orders) -> None:
        with self.refusing():
            changed = care.tick_off(self.book, self._codes, "reuse", orders=orders)
            what = "called off" if orders == "off" else "kept for the drawer"
            self.dismiss(f"{ticked_words(changed, 'reuse', '')} The order is {what}.")
