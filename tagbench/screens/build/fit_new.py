"""Which single-use items are new?"""

from __future__ import annotations

from collections.abc import Collection

from textual import on
from textual.app import ComposeResult

from tagbench.records import Part
from tagbench.rules.count.fastener_lines import Line, lines_of, renewed_items
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.columns import cut
from tagbench.screens.widgets.rows import Rows


class NewDialog(TagbenchDialog[set[int]]):
    """Gives the numbers of the lines that are new."""

    heading = "New ones"
    actions = (
        Action("space", "", "New", "Marks the item under the cursor as new."),
        Action("enter", "", "Done", "Takes the marked items as new."),
    )

    def __init__(self, part: Part, renewed: Collection[int]) -> None:
        super().__init__()
        self._lines = [line for line in lines_of([part]) if line.fastener.single_use]
        # What is asked is which are new, so those that are to be marked are marked already.
        self._marked = set(renewed) or {line.number for line in self._lines}

    def body(self) -> ComposeResult:
        rows = Rows(draw_line, lambda line: str(line.number), id="new-lines", markable=True)
        rows.show(self._lines)
        rows.marked = {str(number) for number in self._marked}
        yield rows

    @on(Opened)
    def done(self) -> None:
        """Closes the card with what is marked."""
        self.dismiss({int(number) for number in self.query_one(Rows).marked})


def draw_line(line: Line, width: int) -> list[str]:
    """One line: how many of what."""
    items = ", ".join(renewed_items(line))
    return [cut(f"{line.fastener.quantity} × {items}", width)]
