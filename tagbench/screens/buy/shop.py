"""The list to take to the shop, as it is printed."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from tagbench.book.operations.machines import chosen
from tagbench.rules.buying.shop_list import as_text, shop_list
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchScreen

NO_MACHINE = "There is no machine yet, so nothing is to be bought."


class ShopScreen(TagbenchScreen):
    """What is not ordered yet, by supplier, and the single-use items less what is in stock."""

    screen_name = "shop"
    CSS_PATH = stylesheets("field", "buy")
    AUTO_FOCUS = "#shop-scroll"
    actions = (
        Action("p", "write", "Print", "Writes the list: a page to print, plain text, or a table."),
    )

    def body(self) -> ComposeResult:
        with VerticalScroll(id="shop-scroll"):
            yield Static("", id="shop-text", markup=False)

    def show_book(self) -> None:
        machine = chosen(self.tables)
        words = NO_MACHINE
        if machine is not None:
            rows = shop_list(self.tables, machine.mark, self.book.now().date())
            words = as_text(rows, self.tables)
        self.query_one("#shop-text", Static).update(words)

    def action_write(self) -> None:
        """Asks for the file and writes the list."""
        from tagbench.screens.shared.report import ReportDialog

        machine = chosen(self.tables)
        if machine is None:
            self.refuse(NO_MACHINE)
        else:
            self.open_card(ReportDialog("wants", machine))
