"""Build: what can go on, what is held up and why, what to do tonight, the whole order."""

from __future__ import annotations

from collections.abc import Callable

from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import Container, Vertical
from textual.widgets import Static

from tagbench.book.operations.machines import chosen
from tagbench.records import Machine
from tagbench.rules.describe.main_fact import where_shortly
from tagbench.rules.describe.phrases import plural, titled
from tagbench.rules.describe.where import where_fact
from tagbench.rules.scan import Opened
from tagbench.screens.build.lay_out import LayOutDialog
from tagbench.screens.build.links import LinksDialog
from tagbench.screens.build.lists import (
    HELD_UP,
    ON,
    ORDER,
    READY,
    TONIGHT,
    Lists,
    facts_before_fitting,
    heading,
    lists_of,
    on_words,
    short_reasons,
)
from tagbench.screens.build.reach import ReachDialog
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Moved, RowOpened
from tagbench.screens.frame.registry import FIT
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchScreen
from tagbench.screens.shared.report import ReportDialog
from tagbench.screens.shared.several_lists import SeveralLists
from tagbench.screens.widgets.big_code import BigCode, BigFact
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.facts import Facts
from tagbench.screens.widgets.group_rows import GroupRows
from tagbench.screens.widgets.views import Views

NOTHING = "There is nothing here."
LAID_OUT = 10
"""So many steps are laid out at once when none are selected."""
ROOMY = 80
"""From so many columns on a row also says where the part goes."""


class BuildScreen(TagbenchScreen, SeveralLists):
    """The lists of the rebuild, with all about the part under the cursor beneath."""

    screen_name = "build"
    CSS_PATH = stylesheets("field", "rebuild")
    AUTO_FOCUS = "#build-rows"
    actions = (
        Action("enter", "", "Fit", "Opens the card for fitting the part; so does scanning it."),
        Action("right", "turn(1)", "Lists", "Goes to the next list."),
        Action("left", "turn(-1)", "List before", "Goes to the list before.", show=False),
        Action(
            "l", "lay_out", "Lay out", "What to lay out for the next ten or the selected steps."
        ),
        Action(
            "space", "", "Select", "Selects a part for the evening, or an assembly.", show=False
        ),
        Action("a", "group", "Group", "By assembly, or as one list."),
        Action("r", "reach", "Reach", "What must come off again to get back to a part."),
        Action("k", "links", "Links", "Draws the links around a part and lets you change them."),
        Action("p", "print", "Print", "Writes the build sheet."),
        Action("o", "part", "Part", "Opens the page of the part.", show=False),
    )

    def __init__(self) -> None:
        super().__init__()
        self._lists: Lists | None = None
        self._by_assembly = False
        self._selected: set[str] = set()

    def body(self) -> ComposeResult:
        yield Views([READY, TONIGHT, HELD_UP, ON, ORDER])
        yield Static("", id="says", classes="quiet", markup=False)
        with Container(id="list-and-pane"):
            yield GroupRows(
                self.draw,
                lambda code: code,
                self._group,
                id="build-rows",
                empty=NOTHING,
                selectable=True,
            )
            with Vertical(id="pane"):
                yield BigCode(id="pane-code")
                yield BigFact(id="pane-fact")
                yield Static("", id="pane-heading", markup=False)
                yield Facts(clipped=True, id="pane-facts")

    @property
    def rows(self) -> GroupRows[str]:
        """The open list."""
        return self.query_one("#build-rows", GroupRows)

    @property
    def view(self) -> str:
        """Name of the open list."""
        return self.query_one(Views).current

    # Showing

    def show_book(self) -> None:
        machine = chosen(self.tables)
        if machine is not None:
            tables, mark, today = self.tables, machine.mark, self.book.now().date()
            self.beside(lambda: lists_of(tables, mark, today), self._show_lists)

    def _show_lists(self, lists: Lists) -> None:
        self._lists = lists
        self.query_one(Views).show(lists.views)
        self._show_rows()

    def _show_rows(self, *, first: bool = False) -> None:
        if self._lists is None:
            return
        self._keep_selection()
        self.rows.show_items(self._lists.codes[self.view], first=first)
        self.rows.selected_keys = set(self._selected)
        self.query_one("#says", Static).update(self._lists.says(self.view))
        self._show_pane()

    def _keep_selection(self) -> None:
        """The selection outlasts a change of lists, where the rows are others."""
        self._selected = self._selected.difference(self.rows.shown) | self.rows.selected_keys

    @on(Moved)
    def _show_pane(self) -> None:
        code = self.current_code
        self.query_one("#pane").display = bool(code)
        if code and self._lists is not None:
            part = self._lists.part(code)
            self.query_one("#pane-code", BigCode).code = part.code
            self.query_one("#pane-fact", BigFact).fact = where_shortly(part, self.tables)
            self.query_one("#pane-heading", Static).update(heading(part))
            shown = facts_before_fitting(self.tables, self._lists, code, self._unit)
            self.query_one("#pane-facts", Facts).show(shown)

    @property
    def machine(self) -> Machine:
        """The chosen machine."""
        return chosen(self.tables) or Machine(mark="A", name="no machine yet")

    @property
    def _unit(self) -> str:
        return self.machine.units.torque

    @property
    def current_code(self) -> str:
        """Code under the cursor; empty on a heading or in an empty list."""
        return self.rows.here or ""

    def _group(self, code: str) -> str:
        return self._lists.assembly(code) if self._by_assembly and self._lists else ""

    def draw(self, row: str, width: int) -> list[str | Text]:
        """One line: code, name, and what is worth saying in this list."""
        if self._lists is None:
            return [row]
        part = self._lists.part(row)
        cells = [(row, 9), (titled(part), max(20, width // 3)), (self._said(row), 0)]
        if self.view in (TONIGHT, ORDER):
            cells.insert(0, (f"{self._lists.place(self.view, row)}.", -5))
        if width > ROOMY and not self._by_assembly and self.view != HELD_UP:
            cells.append((part.assembly, 0))
        return [columns(width, *cells, gap=2)]

    def _said(self, code: str) -> str:
        lists = self._lists
        assert lists is not None
        part = lists.part(code)
        if part.fitted != "off":
            return on_words(self.tables, part)
        if self.view in (HELD_UP, ORDER) and code in lists.reasons:
            return short_reasons(lists.reasons[code])
        return where_fact(self.tables, part).words.split(", ")[0]

    # Moving about

    def show_list(self) -> None:
        self._show_rows(first=True)

    def action_group(self) -> None:
        self._by_assembly = not self._by_assembly
        self._show_rows()

    @on(RowOpened)
    def open_row(self, message: RowOpened[str]) -> None:
        """Opens the fit card of a part."""
        self.open_card(FIT(message.item))

    def takes_scan(self, opened: Opened) -> bool:
        """A scanned part is about to be fitted."""
        if opened.kind == "part":
            self.open_card(FIT(opened.code))
        return opened.kind == "part"

    # Cards

    def _with_code(self, then: Callable[[str], object]) -> None:
        if self.current_code:
            then(self.current_code)
        else:
            self.refuse("First move the cursor to a part.")

    def action_lay_out(self) -> None:
        """Shows what to lay out for the selected parts, else for the next ten steps."""
        if self._lists is None:
            return
        self._keep_selection()
        selected = [code for code in self._lists.codes[ORDER] if code in self._selected]
        codes = selected or self._lists.codes[TONIGHT][:LAID_OUT]
        count = plural(len(codes), "step")
        heading = f"Lay out for {count} of your plan" if selected else f"The next {count}"
        self.open_card(LayOutDialog(self.machine, codes, heading))

    def action_reach(self) -> None:
        self._with_code(lambda code: self.open_card(ReachDialog(code)))

    def action_links(self) -> None:
        self._with_code(lambda code: self.open_card(LinksDialog(code)))

    async def action_part(self) -> None:
        if self.current_code:
            await self.bench_app.open_code(self.current_code)

    def action_print(self) -> None:
        self.open_card(ReportDialog("build", self.machine))
