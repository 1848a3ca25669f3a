"""Buy: what is wanted, what each want holds up, where it stands, what it costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.text import Text
from textual import on, work
from textual.app import ComposeResult
from textual.message import Message
from textual.widgets import Static

from tagbench.book.operations.machines import chosen as chosen_machine
from tagbench.records import Tables, Want
from tagbench.rules.scan import Opened as Tag
from tagbench.screens.buy.actions import NOTHING, ON_LIST, WANT_KEYS, WantScreen
from tagbench.screens.buy.lists import LISTS, Lists, lists_of
from tagbench.screens.buy.words import draw_want, facts, money_lines, single_use_line
from tagbench.screens.frame.messages import Moved
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.multi_select import second_bar
from tagbench.screens.widgets.facts import Facts
from tagbench.screens.widgets.keybar import KeyBar
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.views import Views


class BuyScreen(WantScreen):
    """The wants, what holds up most first; the one under the cursor in full beneath."""

    screen_name = "buy"
    CSS_PATH = stylesheets("field", "buy")
    AUTO_FOCUS = "#wants"
    actions = WANT_KEYS

    @dataclass
    class WorkedOut(Message):
        """The lists are ready to be shown."""

        lists: Lists
        revision: int
        """State of the book they were made from."""

    def __init__(self) -> None:
        super().__init__()
        self._lists = Lists()
        self._revision = -1

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
            self.work_out(self.tables, machine.mark, self.book.revision)

    @work(thread=True, exclusive=True)
    def work_out(self, tables: Tables, mark: str, revision: int) -> None:
        """Counts what each want holds up, beside the screen, since it follows every link."""
        lists = lists_of(tables, mark, self.book.now().date())
        self.post_message(self.WorkedOut(lists, revision))

    @on(WorkedOut)
    def worked_out(self, message: WorkedOut) -> None:
        """Shows the lists, unless newer ones are here already."""
        if message.revision < self._revision:
            return
        lists, self._revision = message.lists, message.revision
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

    @property
    def under_cursor(self) -> Want | None:
        """The want under the cursor."""
        return self.rows.current

    def clear_selection(self) -> None:
        self.rows.marked.clear()

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
        self.add_for(opened.code)
        return True
