"""How many of an item are in the drawer."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.book.operations.stock import count_stock, move_stock
from tagbench.errors import BadInput
from tagbench.rules.buying.single_use import Needed
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.field import Field

WORDS = "Count what is there. “+20” puts twenty in, “-2” takes two out."


class DrawerDialog(TagbenchDialog[str]):
    """Gives the words that say how many there are now."""

    actions = (Action("enter", "save", "Save", "Writes the count down, from any field."),)

    def __init__(self, row: Needed | None) -> None:
        super().__init__()
        self.heading = row.what if row else "In the drawer"
        self._row = row

    def body(self) -> ComposeResult:
        yield Static(WORDS, classes="words", markup=False)
        if self._row is None:
            yield Field("Item", id="item", hint="cotter pin 3.2x32")
        yield Field("How many", id="count", hint=self._hint, restrict=r"[+-]?[0-9]{0,5}")

    @property
    def _hint(self) -> str:
        return str(self._row.in_stock) if self._row is not None else "20"

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Writes the count down."""
        with self.refusing():
            what = self._row.what if self._row else self.query_one("#item-field", Field).value
            typed = self.query_one("#count-field", Field).value
            if typed in ("", "+", "-"):
                raise BadInput("Say how many there are, for example 20.")
            counted = move_stock if typed[0] in "+-" else count_stock
            item = counted(self.book, what, int(typed))
            self.dismiss(f"In the drawer: {item.quantity} × {item.what}.")
