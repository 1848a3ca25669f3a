"""Clean: the table full of dirty parts, by assembly, with what is still to be done to each."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations.machines import chosen
from tagbench.records import Part, Tables
from tagbench.rules.bins import kept_in_words
from tagbench.rules.care.cautions import Caution, cautions_for_all, seen_cautions
from tagbench.rules.care.needs import (
    FILTERS,
    by_assembly,
    count_by_filter,
    filtered,
    standing_in_care,
    step_letters,
    waiting_codes,
    work_on,
)
from tagbench.rules.care.substances import used_last
from tagbench.rules.describe.care import care_words
from tagbench.rules.describe.phrases import NO_ASSEMBLY, titled
from tagbench.rules.scan import Opened
from tagbench.rules.whereabouts import whereabouts
from tagbench.screens.care.actions import CARE_KEYS, MORE_CARE_KEYS, CareScreen
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Moved, RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.multi_select import second_bar
from tagbench.screens.shared.several_lists import SeveralLists
from tagbench.screens.widgets.bars import KeyBar
from tagbench.screens.widgets.caution_lines import CautionLines
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.group_rows import GroupHeading, GroupRows
from tagbench.screens.widgets.views import View, WrappedViews

WARNED_OF = 100
"""Cautions are looked up for so many of the selected parts."""
NOTHING = "No part is in this list."
IN_THE_LIST = (
    Action("enter", "", "Inspect", "Opens the part: what to look for and to measure.", False),
    Action("space", "", "Select", "Selects a part; on a heading all under it.", show=False),
    Action("left", "turn(-1)", "Lists", "Goes to the list before.", show=False),
)
SECOND_BAR = second_bar((*IN_THE_LIST, *CARE_KEYS[-2:], *MORE_CARE_KEYS))
"""What has no room in the key bar at the foot."""
ROOMY = 90
"""From so many columns on a row also says where the part is kept."""
STANDING, WHERE = 26, 26
"""Columns for where the part stands in its care, and for where it is kept."""


class CleanScreen(CareScreen, SeveralLists):
    """Lists of parts by what they need; one key for each step, on one part or on many."""

    screen_name = "clean"
    CSS_PATH = stylesheets("field", "care")
    AUTO_FOCUS = "#clean-rows"
    actions = (
        *CARE_KEYS,
        *IN_THE_LIST,
        Action("m", "select_all", "Select all", "Selects all parts of the list.", show=False),
        Action("a", "group", "By assembly", "By assembly, or as one list.", show=False),
        Action("right", "turn(1)", "Next list", "Goes to the next list.", show=False),
        *MORE_CARE_KEYS,
    )

    def __init__(self) -> None:
        super().__init__()
        self._grouped = True
        self._wanted: frozenset[str] = frozenset()
        self._clean: dict[str, str] = {}

    def body(self) -> ComposeResult:
        yield WrappedViews([name.capitalize() for name in FILTERS])
        yield GroupRows(
            self.draw,
            lambda part: part.code,
            self._group,
            heading=self._draw_heading,
            id="clean-rows",
            empty=NOTHING,
            selectable=True,
        )
        yield Static("", id="done-to", markup=False)
        yield CautionLines()
        yield KeyBar(SECOND_BAR, id="keys-more")

    @property
    def rows(self) -> GroupRows[Part]:
        """The open list."""
        return self.query_one(GroupRows)

    @property
    def views(self) -> WrappedViews:
        """The names of the lists."""
        return self.query_one(WrappedViews)

    # Showing

    def show_book(self) -> None:
        tables, parts = self.tables, self._parts()
        self.beside(lambda: count_lists(parts, tables), self._show_counted)

    def _show_counted(self, counted: CareCounts) -> None:
        self._wanted, self._clean = counted.wanted, counted.clean
        self.views.show(counted.views)
        self._show_rows()
        self.show_about()

    def _show_rows(self, *, first: bool = False) -> None:
        shown = filtered(self._parts(), self.views.current.casefold(), self.tables)
        self.rows.show_items(shown, first=first)

    def _group(self, part: Part) -> str:
        return heading_of(part.assembly) if self._grouped else ""

    def _draw_heading(self, heading: GroupHeading, width: int) -> str:
        return draw_heading(heading, self._clean.get(heading.name, ""), width)

    def _parts(self) -> list[Part]:
        machine = chosen(self.tables)
        return self.tables.parts_of(machine.mark) if machine else []

    def draw(self, part: Part, width: int) -> list[str]:
        """One line for a part."""
        standing = standing_in_care(part, self.book.now(), self._wanted)
        aside = where(part, self.tables) if self._grouped else part.assembly
        return [draw_part(part, standing, aside, width)]

    @on(Moved)
    def show_about(self) -> None:
        """Says beneath the list what was done to the part, and the cautions for what comes next."""
        parts = self.selected[:WARNED_OF]
        self.query_one("#done-to").display = bool(parts)
        cautions: list[Caution] = []
        if parts:
            self.query_one("#done-to", Static).update(self._about(parts[0]))
            step = work_on(parts[0])
            cautions = cautions_for_all(parts, step, used_last(self.tables, step, parts) or "")
        seen = seen_cautions(parts[0], self.tables) if parts else ()
        self.query_one(CautionLines).show(cautions, seen)

    def _about(self, part: Part) -> str:
        selected = len(self.rows.selected_keys)
        if selected:
            return f"{selected} selected; a key acts on {'all of them' if selected > 1 else 'it'}."
        return f"{part.code}: {care_words(part, self.book.now())}"

    # Choosing

    @property
    def selected(self) -> list[Part]:
        """The selected parts, else the one under the cursor."""
        rows, parts = self.rows, self.tables.parts
        if rows.selected_keys:
            shown = (part.code for part in rows.shown)
            return [parts[code] for code in shown if code in rows.selected_keys and code in parts]
        here = rows.here
        return [parts[here.code]] if here is not None and here.code in parts else []

    def clear_selection(self) -> None:
        self.rows.selected_keys.clear()

    def action_select_all(self) -> None:
        self.rows.select_all()
        self.show_about()

    def show_list(self) -> None:
        self.clear_selection()
        self._show_rows(first=True)
        self.show_about()

    def action_group(self) -> None:
        self._grouped = not self._grouped
        self._show_rows()

    @on(RowOpened)
    async def open_row(self, message: RowOpened[Part]) -> None:
        """Opens the part for inspection."""
        codes = [part.code for part in self.rows.shown]
        await self.bench_app.open_screen("inspect", message.item.code, codes)

    def takes_scan(self, opened: Opened) -> bool:
        """A scanned part comes under the cursor, ready for one of the keys."""
        if opened.kind != "part" or not isinstance(opened.record, Part):
            return False
        machine = chosen(self.tables)
        if machine is None or opened.record.machine != machine.mark:
            return False
        if not self.rows.find(opened.code):
            self.rows.folded.clear()
            self.views.open("All")
            self.show_list()
            self.rows.find(opened.code)
        self.tell(f"{opened.record.name} {opened.code}.")
        return True


class CareCounts(NamedTuple):
    """What is counted over all parts for the lists."""

    views: list[View]
    """The lists with their counts."""
    wanted: frozenset[str]
    """Codes that wait for something, as from `waiting_codes`."""
    clean: dict[str, str]
    """Heading → how many of its parts are clean, in words."""


def count_lists(parts: Sequence[Part], tables: Tables) -> CareCounts:
    """Counts the lists of one machine."""
    counts = count_by_filter(parts, tables)
    views = [View(name.capitalize(), counts[name]) for name in FILTERS]
    return CareCounts(views, waiting_codes(tables), clean_counts(parts))


def heading_of(assembly: str) -> str:
    """The heading that the parts of an assembly stand under."""
    return assembly or NO_ASSEMBLY.capitalize()


def clean_counts(parts: Iterable[Part]) -> dict[str, str]:
    """Heading → how many parts of the assembly are clean, in words."""
    return {
        heading_of(group.assembly): f"{group.clean} of {len(group.parts)} clean"
        for group in by_assembly(parts)
    }


def draw_heading(heading: GroupHeading, clean: str, width: int) -> str:
    """The heading, and above the column of the parts how many are clean."""
    more = [("", WHERE)] if width > ROOMY else []
    return columns(width, (heading.words, 0), (clean, STANDING), *more, gap=2)


def draw_part(part: Part, standing: str, aside: str, width: int) -> str:
    """Code, marks, what, where it stands; `aside` only when there is room."""
    cells = [(part.code, 9), (step_letters(part), 5), (titled(part), 0), (standing, STANDING)]
    if width > ROOMY:
        cells.append((aside, WHERE))
    return columns(width, *cells, gap=2)


def where(part: Part, tables: Tables) -> str:
    """The bag or box it is in, without what holds that; nothing where it is in none: on the
    machine, with someone else, lost."""
    if not part.bin or whereabouts(part) not in ("here", "to come"):
        return ""
    return kept_in_words(part.bin, tables.bins).split(", ")[0]
