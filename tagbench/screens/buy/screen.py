"""Buy: what is wanted, what each want holds up, where it stands, what it costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rich.text import Text
from textual import on, work
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations import buying, wanting
from tagbench.book.operations.machines import chosen
from tagbench.records import Want
from tagbench.rules.scan import Opened
from tagbench.screens.buy.cards import ArriveDialog, OrderDialog, WantDialog
from tagbench.screens.buy.wants import (
    LISTS,
    WantLists,
    draw_want,
    many,
    money_lines,
    questions_line,
    single_use_line,
    want_facts,
    want_lists,
)
from tagbench.screens.frame.actions import NEW_KEY, Action
from tagbench.screens.frame.messages import Moved, RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import CARDS
from tagbench.screens.shared.measure_open import MEASURE_OPEN, measure_open
from tagbench.screens.shared.multi_select import MultiSelectScreen, second_bar
from tagbench.screens.shared.several_lists import SeveralLists
from tagbench.screens.widgets.bars import KeyBar
from tagbench.screens.widgets.facts import Facts
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.views import Views

NOTHING = "Nothing is in this list. Ctrl+N adds a want."
SECOND_BAR = (
    Action(
        "k",
        "collect",
        "Collect",
        "Wants every single-use item the drawer lacks.",
        False,
        writes=True,
    ),
    Action("s", "stock", "Stock", "What is in the drawer, and what is wanted of it.", False),
    Action("l", "shop_list", "Shop list", "The list to take to the shop.", False),
    replace(MEASURE_OPEN, show=False),
    Action("p", "part", "Part", "Opens the part that waits for it.", False),
    Action("w", "wrong", "Wrong one", "The wrong one came or went back; a deposit is back.", False),
    Action("left", "turn(-1)", "Lists", "Goes to the list before.", False),
    Action("space", "", "Select", "Selects a want.", False),
)
"""What has no room in the key bar at the foot."""


class BuyScreen(MultiSelectScreen, SeveralLists):
    """The wants, what holds up most first; the one under the cursor in full beneath."""

    screen_name = "buy"
    CSS_PATH = stylesheets("field", "buy")
    AUTO_FOCUS = "#wants"
    actions = (
        Action("o", "order", "Ordered", "Ordered: from whom, on which day, due when."),
        Action("h", "here", "Here", "It has arrived, for the parts that wait too."),
        Action(f"{NEW_KEY},a", "add", "New", "Wants something new, for parts or for the drawer."),
        Action("enter", "", "Change", "Changes the want under the cursor."),
        Action("delete,backspace", "drop", "Drop", "Takes wants off the list."),
        *SECOND_BAR,
        Action("n", "not_ordered", "Not ordered", "Nothing came of the order.", False, writes=True),
        Action("m", "select_all", "Select all", "Selects all wants of the list.", False),
        Action("right", "turn(1)", "Next list", "Goes to the next list.", False),
    )

    def __init__(self) -> None:
        super().__init__()
        self._lists = WantLists()

    def body(self) -> ComposeResult:
        yield Views(LISTS)
        yield Rows(
            self.draw,
            lambda want: str(want.id),
            id="wants",
            height=2,
            empty=NOTHING,
            selectable=True,
        )
        yield Facts(clipped=True, id="want-facts")
        yield Static("", id="money", markup=False)
        yield KeyBar(second_bar(SECOND_BAR), id="keys-more")

    @property
    def rows(self) -> Rows[Want]:
        """The open list."""
        return self.query_one("#wants", Rows)

    # Showing

    def show_book(self) -> None:
        machine = chosen(self.tables)
        if machine is not None:
            tables, mark, today = self.tables, machine.mark, self.book.now().date()
            self.beside(lambda: want_lists(tables, mark, today), self._show_lists)

    def _show_lists(self, lists: WantLists) -> None:
        self._lists = lists
        views = self.query_one(Views)
        views.show(lists.views)
        self.rows.show(lists.wants[views.current])
        self.show_money()
        self.show_facts()

    def on_resize(self) -> None:
        self.show_money()

    def show_money(self) -> None:
        """Says what is to be paid to whom, and how many single-use items come on top."""
        sums = money_lines(self._lists.totals, self.query_one("#money").content_size.width)
        lists = self._lists
        lines = [single_use_line(lists.single_use), questions_line(lists.questions), *sums]
        self.query_one("#money", Static).update("\n".join(filter(None, lines)))

    @on(Moved)
    def show_facts(self) -> None:
        """Says everything about the want under the cursor."""
        want = self.rows.current
        self.query_one("#want-facts").display = want is not None
        if want is not None:
            held = self._lists.held.get(want.id, [])
            today, roomy = self.book.now().date(), self.has_class("-high")
            shown = want_facts(want, held, self.tables, today, roomy=roomy)
            self.query_one("#want-facts", Facts).show(shown)

    def draw(self, want: Want, width: int) -> Sequence[str | Text]:
        """The two lines of a want."""
        held = len(self._lists.held.get(want.id, ()))
        return draw_want(want, held, self.book.now().date(), width)

    # Going about, and choosing

    def show_list(self) -> None:
        self.clear_selection()
        self.rows.show_first(self._lists.wants[self.query_one(Views).current])
        self.show_facts()

    def clear_selection(self) -> None:
        self.rows.selected_keys.clear()

    def action_select_all(self) -> None:
        every = {str(want.id) for want in self.rows.items}
        self.rows.selected_keys = set() if self.rows.selected_keys == every else every
        self.rows.refresh()

    def _chosen(self) -> list[Want]:
        """The selected wants, else the one under the cursor; says so when there is none."""
        rows = self.rows
        wants = [want for want in rows.items if str(want.id) in rows.selected_keys]
        wants = wants or [one for one in [rows.current] if one is not None]
        if not wants:
            self.refuse(NOTHING)
        return wants

    def takes_scan(self, opened: Opened) -> bool:
        """A scanned part: the want it waits for comes under the cursor, or a new one is made."""
        if opened.kind != "part":
            return False
        for at, want in enumerate(self.rows.items):
            if opened.code in want.parts:
                self.rows.cursor = at
                self.tell(f"{opened.code} waits for this.")
                return True
        self.open_card(WantDialog(None, opened.code))
        return True

    # What can be done to wants

    def action_add(self) -> None:
        self.open_card(WantDialog(None))

    @on(RowOpened)
    def change(self, message: RowOpened[Want]) -> None:
        """Opens the form with the want."""
        self.open_card(WantDialog(message.item))

    def action_order(self) -> None:
        if wants := self._chosen():
            self.open_card(OrderDialog(wants))

    def action_here(self) -> None:
        if wants := self._chosen():
            self.open_card(ArriveDialog(wants))

    def action_wrong(self) -> None:
        from tagbench.screens.buy.wrong import WrongDialog

        if wants := self._chosen():
            self.open_card(WrongDialog(wants[0]))

    def action_drop(self) -> None:
        if wants := self._chosen():
            with self.refusing():
                gone = wanting.drop_want(self.book, [want.id for want in wants])
                self.finished(f"No longer wanted: {many(gone)}. Ctrl+T brings it back.")

    def action_not_ordered(self) -> None:
        if wants := self._chosen():
            with self.refusing():
                again = buying.not_ordered(self.book, [want.id for want in wants])
                self.finished(f"To be ordered again: {many(again)}.")

    def action_collect(self) -> None:
        with self.refusing():
            wants = wanting.want_single_use(self.book)
            self.finished(f"Wanted: {many(wants)}; what is in stock was taken off.")

    @work(group=CARDS)
    async def action_measure_open(self) -> None:
        self.finished(await measure_open(self, self._lists.questions))

    # Elsewhere

    async def action_stock(self) -> None:
        await self.bench_app.open_screen("stock")

    async def action_shop_list(self) -> None:
        await self.bench_app.open_screen("shop")

    async def action_part(self) -> None:
        want = self.rows.current
        code = next((code for code in want.parts if code in self.tables.parts), "") if want else ""
        if code:
            await self.bench_app.open_code(code)
        else:
            self.refuse("No part waits for it; it is for the drawer.")
