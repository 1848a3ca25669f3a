"""What can be done to wants: added, changed, ordered, here, dropped; the keys of the buy screen."""

from __future__ import annotations

from textual import on

from tagbench.book.operations import buying, wanting
from tagbench.records import Want
from tagbench.screens.buy.words import many
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.shared.multi_select import MultiSelectScreen

NOTHING = "Nothing is in this list. A adds a want."
ON_LIST = (
    Action("k", "collect", "Collect", "Wants every single-use item the drawer lacks.", False),
    Action("s", "stock", "Stock", "What is in the drawer, and what is wanted of it.", False),
    Action("l", "shop_list", "Shop list", "The list to take to the shop.", False),
    Action("p", "part", "Part", "Opens the part that waits for it.", False),
    Action("left", "turn(-1)", "Lists", "Goes to the list before.", False),
    Action("space", "", "Mark", "Marks a want.", False),
)
"""What has no room in the key bar at the foot."""
WANT_KEYS = (
    Action("o", "order", "Ordered", "Ordered: from whom, on which day, due when."),
    Action("h", "here", "Here", "It has arrived; the parts that wait are told."),
    Action("a", "add", "Add", "Wants something, for parts or for the drawer."),
    Action("enter", "", "Change", "Changes the want under the cursor."),
    Action("delete", "drop", "Drop", "Takes wants off the list."),
    *ON_LIST,
    Action("n", "not_ordered", "Not ordered", "Nothing comes of the order.", show=False),
    Action("m", "mark_all", "Mark all", "Marks all wants of the list.", show=False),
    Action("right", "turn(1)", "Next list", "Goes to the next list.", show=False),
)
"""The keys; they act on the marked wants, or on the one under the cursor."""


class WantScreen(MultiSelectScreen):
    """A screen on which wants are chosen and something is done to them."""

    @property
    def chosen(self) -> list[Want]:
        """The wants that a key acts on; none while there is nothing to choose."""
        return []

    @property
    def under_cursor(self) -> Want | None:
        """The want under the cursor."""
        return None

    def _some(self) -> list[Want]:
        wants = self.chosen
        if not wants:
            self.refuse(NOTHING)
        return wants

    def action_add(self) -> None:
        """Asks what is wanted."""
        self.add_for("")

    def add_for(self, code: str) -> None:
        """Asks what is wanted, for the part with that code if there is one."""
        from tagbench.screens.buy.want import WantDialog

        self.open_card(WantDialog(None, code))

    @on(Opened)
    def change(self, message: Opened[Want]) -> None:
        """Opens the form with the want."""
        from tagbench.screens.buy.want import WantDialog

        self.open_card(WantDialog(message.item))

    def action_order(self) -> None:
        """Asks from whom, when, and due when."""
        from tagbench.screens.buy.order import OrderDialog

        wants = self._some()
        if wants:
            self.open_card(OrderDialog(wants))

    def action_here(self) -> None:
        """Asks when it arrived and how many came."""
        from tagbench.screens.buy.arrive import ArriveDialog

        wants = self._some()
        if wants:
            self.open_card(ArriveDialog(wants))

    def action_drop(self) -> None:
        """Takes wants off the list."""
        wants = self._some()
        if wants:
            with self.refusing():
                gone = wanting.drop_want(self.book, [want.id for want in wants])
                self.finished(f"No longer wanted: {many(gone)}. Ctrl+T brings it back.")

    def action_not_ordered(self) -> None:
        """Puts wants back to be ordered."""
        wants = self._some()
        if wants:
            with self.refusing():
                again = buying.not_ordered(self.book, [want.id for want in wants])
                self.finished(f"To be ordered again: {many(again)}.")

    def action_collect(self) -> None:
        """Wants the single-use items that neither the drawer nor another want covers."""
        with self.refusing():
            wants = wanting.want_single_use(self.book)
            self.finished(f"Wanted: {many(wants)}; what is in stock was taken off.")

    async def action_stock(self) -> None:
        """Opens the drawer."""
        await self.bench_app.open_screen("stock")

    async def action_shop_list(self) -> None:
        """Opens the list to take to the shop."""
        await self.bench_app.open_screen("shop")

    async def action_part(self) -> None:
        """Opens the first part that waits for the want."""
        want = self.under_cursor
        code = next((code for code in want.parts if code in self.tables.parts), "") if want else ""
        if code:
            await self.bench_app.open_code(code)
        else:
            self.refuse("No part waits for it; it is for the drawer.")
