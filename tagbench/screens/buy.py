"""Buy: what is wanted, what each want holds up, where it stands, what it costs."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text
from textual import on, work
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.work import buying, wanting
from tagbench.book.work.machines import chosen as chosen_machine
from tagbench.records import Want
from tagbench.rules.scan import Opened as Tag
from tagbench.screens.actions import Action
from tagbench.screens.base import TagbenchDialog, TagbenchScreen
from tagbench.screens.buy_lists import LISTS, Lists, lists_of
from tagbench.screens.buy_words import draw_want, facts, many, money_lines, single_use_line
from tagbench.screens.clean_keys import second_bar
from tagbench.screens.looks import look
from tagbench.screens.messages import Moved, Opened
from tagbench.screens.widgets.facts import Facts
from tagbench.screens.widgets.keybar import KeyBar
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.views import Views

NOTHING = "Nothing is in this list. A adds a want."
ON_LIST = (
    Action("k", "collect", "Collect", "Wants every single-use item the drawer lacks.", False),
    Action("s", "stock", "Stock", "What is in the drawer, and what is wanted of it.", False),
    Action("l", "shop_list", "Shop list", "The list to take to the shop.", False),
    Action("p", "part", "Part", "Opens the part that waits for it.", False),
    Action("left", "turn(-1)", "Lists", "Goes to the list before.", False),
    Action("space", "", "Mark", "Marks a want.", False),
)


class BuyScreen(TagbenchScreen):
    """The wants, what holds up most first; the one under the cursor in full beneath."""

    place = "buy"
    CSS_PATH = look("field", "buy")
    AUTO_FOCUS = "#wants"
    actions = (
        Action("o", "order", "Ordered", "Ordered: from whom, on which day, due when."),
        Action("h", "here", "Here", "It has arrived; the parts that wait are told."),
        Action("a", "add", "Add", "Wants something, for parts or for the drawer."),
        Action("enter", "", "Change", "Changes the want under the cursor."),
        Action("delete", "drop", "Drop", "Takes wants off the list."),
        *ON_LIST,
        Action("n", "not_ordered", "Not ordered", "Nothing comes of the order.", in_bar=False),
        Action("m", "mark_all", "Mark all", "Marks all wants of the list.", in_bar=False),
        Action("right", "turn(1)", "Next list", "Goes to the next list.", in_bar=False),
    )

    def __init__(self) -> None:
        super().__init__()
        self._lists = Lists()

    def body(self) -> ComposeResult:
        yield Views(LISTS)
        yield Rows(
            self.draw, lambda want: str(want.id), id="wants", height=2, empty=NOTHING, markable=True
        )
        yield Facts(clipped=True, id="want-facts")
        yield Static("", id="money", markup=False)
        yield KeyBar(second_bar(ON_LIST), id="keys-more")

    @property
    def rows(self) -> Rows[Want]:
        """The open list."""
        return self.query_one("#wants", Rows)

    # Showing

    def show_book(self) -> None:
        machine = chosen_machine(self.tables)
        if machine is not None:
            self.work_out(machine.mark)

    @work(thread=True, exclusive=True, exit_on_error=False)
    def work_out(self, mark: str) -> None:
        """Counts what each want holds up, beside the screen, since it follows every link."""
        lists = lists_of(self.tables, mark, self.book.now().date())
        self.bench_app.call_from_thread(self.worked_out, lists)

    def worked_out(self, lists: Lists) -> None:
        """Shows the lists."""
        self._lists = lists
        views = self.query_one(Views)
        views.show(lists.views)
        self.rows.show(lists.wants[views.current])
        self.show_money()
        self.show_facts()

    def on_resize(self) -> None:
        super().on_resize()
        self.show_money()

    def show_money(self) -> None:
        """Says what is to be paid to whom, and how many single-use items come on top."""
        sums = money_lines(self._lists.totals, self.query_one("#money").content_size.width)
        lines = [single_use_line(self._lists.single_use), *sums]
        self.query_one("#money", Static).update("\n".join(filter(None, lines)))

    @on(Moved)
    def show_facts(self) -> None:
        """Says everything about the want under the cursor."""
        want = self.rows.current
        self.query_one("#want-facts").display = want is not None
        if want is not None:
            held = self._lists.held.get(want.id, [])
            today, roomy = self.book.now().date(), self.has_class("-high")
            shown = facts(want, held, self.tables, today, roomy=roomy)
            self.query_one("#want-facts", Facts).show(shown)

    def draw(self, want: Want, width: int) -> Sequence[str | Text]:
        """Two lines: what it holds up, what it is, what it costs; where it stands, who sells it."""
        held = len(self._lists.held.get(want.id, ()))
        return draw_want(want, held, self.book.now().date(), width)

    # Choosing

    @property
    def chosen(self) -> list[Want]:
        """The marked wants, else the one under the cursor."""
        rows = self.rows
        if rows.marked:
            return [want for want in rows.items if str(want.id) in rows.marked]
        return [rows.current] if rows.current is not None else []

    def _some(self) -> list[Want]:
        wants = self.chosen
        if not wants:
            self.refuse("Nothing is in this list; A adds a want.")
        return wants

    def action_mark_all(self) -> None:
        """Marks all wants of the list, or takes all marks away."""
        every = {str(want.id) for want in self.rows.items}
        self.rows.marked = set() if self.rows.marked == every else every
        self.rows.refresh()

    def action_turn(self, by: int) -> None:
        """Goes to the next list or the one before."""
        self.query_one(Views).turn(by)
        self._turned()

    def action_open_view(self, name: str) -> None:
        """Goes to the list that was clicked."""
        self.query_one(Views).open(name)
        self._turned()

    def _turned(self) -> None:
        self.rows.marked.clear()
        self.rows.show_first(self._lists.wants[self.query_one(Views).current])
        self.show_facts()

    def takes_scan(self, opened: Tag) -> bool:
        """A scanned part: the want it waits for comes under the cursor, or a new one is made."""
        if opened.kind != "part":
            return False
        for at, want in enumerate(self.rows.items):
            if opened.code in want.parts:
                self.rows.cursor = at
                self.tell(f"{opened.code} waits for this.")
                return True
        self._add(opened.code)
        return True

    # Doing

    def finished(self, words: str) -> None:
        """Shows the book as it is now and says what was done."""
        self.rows.marked.clear()
        self.catch_up()
        self.tell(words)

    def card(self, card: TagbenchDialog[str]) -> None:
        """Opens a card; it gives the words that say what was done."""

        def closed(words: str | None) -> None:
            if words:
                self.finished(words)

        self.bench_app.push_screen(card, closed)

    def action_add(self) -> None:
        """Asks what is wanted."""
        self._add("")

    def _add(self, code: str) -> None:
        from tagbench.screens.dialogs.want import WantDialog

        self.card(WantDialog(None, code))

    @on(Opened)
    def change(self, message: Opened[Want]) -> None:
        """Opens the form with the want."""
        from tagbench.screens.dialogs.want import WantDialog

        self.card(WantDialog(message.item))

    def action_order(self) -> None:
        """Asks from whom, when, and due when."""
        from tagbench.screens.dialogs.order import OrderDialog

        wants = self._some()
        if wants:
            self.card(OrderDialog(wants))

    def action_here(self) -> None:
        """Asks when it arrived and how many came."""
        from tagbench.screens.dialogs.arrive import ArriveDialog

        wants = self._some()
        if wants:
            self.card(ArriveDialog(wants))

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
        from tagbench.screens.buy_stock import StockScreen

        await self.bench_app.push_screen(StockScreen())

    async def action_shop_list(self) -> None:
        """Opens the list to take to the shop."""
        from tagbench.screens.buy_shop import ShopScreen

        await self.bench_app.push_screen(ShopScreen())

    async def action_part(self) -> None:
        """Opens the first part that waits for the want."""
        want = self.rows.current
        code = next((code for code in want.parts if code in self.tables.parts), "") if want else ""
        if code:
            await self.bench_app.open_code(code)
        else:
            self.refuse("No part waits for it; it is for the drawer.")
