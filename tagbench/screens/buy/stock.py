"""Stock: what is in the drawer, what the rebuild wants of it; and the list to take to the shop."""

from __future__ import annotations

from datetime import date

from textual import on
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations.machines import chosen
from tagbench.book.operations.stock import count_stock, drop_stock, move_stock
from tagbench.book.operations.wanting import want_single_use
from tagbench.errors import BadInput
from tagbench.records import Tables
from tagbench.rules.buying.shop_list import as_text, shop_list, to_measure
from tagbench.rules.buying.single_use import Needed, drawer
from tagbench.screens.buy.wants import many, names_of
from tagbench.screens.frame.actions import NEW_KEY, Action
from tagbench.screens.frame.messages import Moved, RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchScreen
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.shared.report import ReportDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.facts import Facts, Labelled
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.long_text import LongText
from tagbench.screens.widgets.rows import Rows

NOTHING = "The drawer is empty, and nothing is wanted of it. Ctrl+N puts something in."
NO_MACHINE = "There is no machine yet, so nothing is to be bought."
COUNTING = "Count what is there. “+20” puts twenty in, “-2” takes two out."
COLUMNS = ("wanted", "here", "coming", "to buy")
SIZES = (-6, -4, -6, -6)
MARGIN = 2
"""Columns that the list keeps for its cursor."""


class StockScreen(TagbenchScreen):
    """Every item by size: wanted, here, on order, to buy."""

    screen_name = "stock"
    CSS_PATH = stylesheets("field", "buy")
    AUTO_FOCUS = "#drawer-rows"
    actions = (
        Action("enter", "", "Count", "Writes down how many of the item are in the drawer."),
        Action(f"{NEW_KEY},a", "add", "New", "Puts a new item into the drawer."),
        Action("k", "collect", "Collect", "Wants all that is to be bought.", writes=True),
        Action("delete,backspace", "drop", "Drop", "Takes the line of the item away."),
    )

    def body(self) -> ComposeResult:
        yield Static("", id="stock-heading", markup=False)
        yield Rows(draw_item, lambda row: row.what, id="drawer-rows", empty=NOTHING)
        yield Facts(clipped=True, id="want-facts")

    @property
    def rows(self) -> Rows[Needed]:
        """The items."""
        return self.query_one("#drawer-rows", Rows)

    def show_book(self) -> None:
        tables, machine = self.tables, chosen(self.tables)
        mark = machine.mark if machine else ""
        self.beside(lambda: drawer(tables, mark), self._show_drawer)

    def _show_drawer(self, items: list[Needed]) -> None:
        self.rows.show(items)
        self.show_heading()
        self.show_facts()

    def on_resize(self) -> None:
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
            words = names_of(row.parts, self.tables) if row.parts else "nothing asks for it now"
            self.query_one("#want-facts", Facts).show([Labelled("for", [words])])

    @on(RowOpened)
    def count(self, message: RowOpened[Needed]) -> None:
        """Asks how many there are."""
        self.open_card(DrawerDialog(message.item))

    def action_add(self) -> None:
        self.open_card(DrawerDialog(None))

    def action_collect(self) -> None:
        with self.refusing():
            wants = want_single_use(self.book)
            self.finished(f"Wanted: {many(wants)}.")

    def action_drop(self) -> None:
        row = self.rows.current
        if row is not None:
            with self.refusing():
                gone = drop_stock(self.book, row.what)
                self.finished(f"{gone.what} is no longer kept in stock.")


def draw_item(row: Needed, width: int) -> list[str]:
    """One line: the item and its four counts."""
    counts = (row.quantity, row.in_stock, row.on_order, row.to_buy)
    cells = [(str(count or "·"), size) for count, size in zip(counts, SIZES, strict=True)]
    return [columns(width, (row.what, 0), *cells, gap=2)]


class DrawerDialog(FormDialog[str]):
    """How many of an item are in the drawer; gives the words that say how many there are now."""

    actions = (Action("enter", "save", "Save", "Writes the count down, from any field."),)

    def __init__(self, row: Needed | None) -> None:
        super().__init__()
        self.heading = row.what if row else "In the drawer"
        self._row = row

    def body(self) -> ComposeResult:
        yield Static(COUNTING, classes="words", markup=False)
        if self._row is None:
            yield Field("Item", id="item", example="cotter pin 3.2x32")
        hint = str(self._row.in_stock) if self._row is not None else "20"
        yield Field("How many", id="count", hint=hint, restrict=r"[+-]?[0-9]{0,5}")

    def action_save(self) -> None:
        with self.refusing():
            what = self._row.what if self._row else self["item"].value
            typed = self["count"].value
            if typed in ("", "+", "-"):
                raise BadInput("Say how many there are, for example 20.")
            counted = move_stock if typed[0] in "+-" else count_stock
            item = counted(self.book, what, int(typed))
            self.dismiss(f"In the drawer: {item.quantity} × {item.what}.")


def shop_lines(tables: Tables, mark: str, today: date) -> list[str]:
    """The list to take to the shop, line by line."""
    rows = shop_list(tables, mark, today)
    return as_text(rows, tables, to_measure(tables, mark)).splitlines()


class ShopScreen(TagbenchScreen):
    """What is not ordered yet, by supplier, and the single-use items less what is in stock."""

    screen_name = "shop"
    CSS_PATH = stylesheets("field", "buy")
    AUTO_FOCUS = "#shop-text"
    actions = (
        Action("p", "write", "Print", "Writes the list: a page to print, plain text, or a table."),
    )

    def body(self) -> ComposeResult:
        yield LongText(id="shop-text")

    def show_book(self) -> None:
        tables, machine, today = self.tables, chosen(self.tables), self.book.now().date()
        shown = self.query_one(LongText)
        if machine is None:
            shown.show([NO_MACHINE])
        else:
            self.beside(lambda: shop_lines(tables, machine.mark, today), shown.show)

    def action_write(self) -> None:
        machine = chosen(self.tables)
        if machine is None:
            self.refuse(NO_MACHINE)
        else:
            self.open_card(ReportDialog("wants", machine))
