"""Stock: what is in the drawer, what the rebuild wants of it, what is to be bought."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations.machines import chosen
from tagbench.book.operations.stock import drop_stock
from tagbench.book.operations.wanting import want_single_use
from tagbench.rules.buying.single_use import Needed, drawer
from tagbench.screens.buy.words import many, named
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Moved, Opened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchScreen
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.facts import Fact, Facts
from tagbench.screens.widgets.rows import Rows

NOTHING = "The drawer is empty, and nothing is wanted of it. A puts something in."
MARGIN = 2
"""Columns that the list keeps for its cursor."""


class StockScreen(TagbenchScreen):
    """Every item by size: wanted, here, on order, to buy."""

    screen_name = "stock"
    CSS_PATH = stylesheets("field", "buy")
    AUTO_FOCUS = "#drawer-rows"
    actions = (
        Action("enter", "", "Count", "Writes down how many of the item are in the drawer."),
        Action("a", "add", "Add", "Puts an item into the drawer that is not listed."),
        Action("k", "collect", "Collect", "Wants all that is to be bought."),
        Action("delete", "drop", "Drop", "Takes the line of the item away."),
    )

    def body(self) -> ComposeResult:
        yield Static("", id="stock-heading", markup=False)
        yield Rows(draw, lambda row: row.what, id="drawer-rows", empty=NOTHING)
        yield Facts(clipped=True, id="want-facts")

    @property
    def rows(self) -> Rows[Needed]:
        """The items."""
        return self.query_one("#drawer-rows", Rows)

    def show_book(self) -> None:
        machine = chosen(self.tables)
        self.rows.show(drawer(self.tables, machine.mark if machine else ""))
        self.show_heading()
        self.show_facts()

    def on_resize(self) -> None:
        super().on_resize()
        self.call_after_refresh(self.show_heading)

    def show_heading(self) -> None:
        """The names of the columns above the list."""
        width = self.rows.scrollable_content_region.width - MARGIN
        line = columns(width, ("item", 0), *zip(COLUMNS, SIZES, strict=True), gap=2)
        self.query_one("#stock-heading", Static).update(" " * MARGIN + line)

    @on(Moved)
    def show_facts(self) -> None:
        """Says which parts the item is for."""
        row = self.rows.current
        self.query_one("#want-facts").display = row is not None
        if row is not None:
            words = named(row.parts, self.tables) if row.parts else "nothing asks for it now"
            self.query_one("#want-facts", Facts).show([Fact("for", [words])])

    @on(Opened)
    def count(self, message: Opened[Needed]) -> None:
        """Asks how many there are."""
        from tagbench.screens.buy.drawer import DrawerDialog

        self.open_card(DrawerDialog(message.item))

    def action_add(self) -> None:
        """Asks for an item and how many there are."""
        from tagbench.screens.buy.drawer import DrawerDialog

        self.open_card(DrawerDialog(None))

    def action_collect(self) -> None:
        """Wants all that is to be bought."""
        with self.refusing():
            wants = want_single_use(self.book)
            self.catch_up()
            self.tell(f"Wanted: {many(wants)}.")

    def action_drop(self) -> None:
        """Takes the line of the item away."""
        row = self.rows.current
        if row is not None:
            with self.refusing():
                gone = drop_stock(self.book, row.what)
                self.catch_up()
                self.tell(f"No stock is kept of {gone.what} any more.")


COLUMNS = ("wanted", "here", "coming", "to buy")
SIZES = (-6, -4, -6, -6)


def draw(row: Needed, width: int) -> list[str]:
    """One line: the item and its four counts."""
    counts = (row.quantity, row.in_stock, row.on_order, row.to_buy)
    cells = [(str(count or "·"), size) for count, size in zip(counts, SIZES, strict=True)]
    return [columns(width, (row.what, 0), *cells, gap=2)]
