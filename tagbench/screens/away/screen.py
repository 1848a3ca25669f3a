"""Away: what is with someone else, part by part and in batches, and what is left over."""

from __future__ import annotations

from datetime import date

from textual import on
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations import away
from tagbench.book.operations.machines import chosen
from tagbench.records import Batch, LooseItem, Part
from tagbench.rules.describe.away import away_fact, describe_batch, loose_words
from tagbench.rules.describe.phrases import day, named, plural
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchScreen
from tagbench.screens.shared.report import ReportDialog
from tagbench.screens.shared.several_lists import SeveralLists
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.views import View, Views

AWAY, BATCHES, OVER, LEFT = "With someone", "Batches", "Sorted", "Left over"
SAYS = {
    AWAY: "Parts that somebody has, what is due first at the top. H: it is back.",
    BATCHES: "Buckets of small things. Enter counts one and sorts it bag by bag; N packs one.",
    OVER: "Batches that are sorted or given up.",
    LEFT: "Found, and not explained yet. Enter says where it belongs.",
}
"""List → what it is, in a sentence."""
AwayItem = Part | Batch | LooseItem


class AwayScreen(TagbenchScreen, SeveralLists):
    """Four lists; Enter opens what is under the cursor."""

    screen_name = "away"
    CSS_PATH = stylesheets("field", "rebuild")
    AUTO_FOCUS = "#away-rows"
    actions = (
        Action("enter", "", "Open", "Opens the part, the batch, or what was found."),
        Action("right", "turn(1)", "Lists", "Goes to the next list."),
        Action("left", "turn(-1)", "List before", "Goes to the list before.", show=False),
        Action("h", "here", "Here", "The part under the cursor is back.", writes=True),
        Action("n", "pack", "New batch", "Packs bags, sizes or parts into one bucket."),
        Action("p", "print", "Print", "Writes the packing lists, to print or as CSV."),
    )

    def body(self) -> ComposeResult:
        yield Views([AWAY, BATCHES, OVER, LEFT])
        yield Static("", id="says", classes="quiet", markup=False)
        yield Rows(self.draw, known_by, id="away-rows", height=2, empty="Nothing.", roomy=True)

    @property
    def rows(self) -> Rows[AwayItem]:
        """The open list."""
        return self.query_one("#away-rows", Rows)

    def show_book(self) -> None:
        self._lists = self._filled()
        views = self.query_one(Views)
        views.show([View(name, len(items)) for name, items in self._lists.items()])
        self.rows.show(self._lists[views.current])
        self.query_one("#says", Static).update(SAYS[views.current])

    def _filled(self) -> dict[str, list[AwayItem]]:
        machine = chosen(self.tables)
        if machine is None:
            return {name: [] for name in SAYS}
        mark = machine.mark
        parts = [part for part in self.tables.parts_of(mark) if part.away and not part.away.batch]
        parts.sort(key=lambda part: (part.away is None or part.away.due is None, _due(part)))
        batches = [one for one in self.tables.batches.values() if one.machine == mark]
        loose = [one for one in self.tables.loose.values() if one.machine == mark]
        return {
            AWAY: list(parts),
            BATCHES: [one for one in batches if not one.closed],
            OVER: [one for one in batches if one.closed],
            LEFT: [one for one in loose if not one.explained],
        }

    def draw(self, item: AwayItem, width: int) -> list[str]:
        """Two lines: what; who has it, since when, until when."""
        today = self.book.now().date()
        if isinstance(item, Part):
            first, second = named(item), away_fact(item, today).words
        elif isinstance(item, Batch):
            told = describe_batch(self.tables, item, today)
            first, second = told.title, told.stands.words
        else:
            first, second = item.what, loose_words(item)
        due = "" if isinstance(item, LooseItem) else self._due_words(item, today)
        return [
            columns(width, (first, 0), (due, -26), gap=1),
            columns(width, ("", 2), (second, 0), gap=1),
        ]

    def _due_words(self, item: Part | Batch, today: date) -> str:
        """`6 days overdue`, `due 4 Dec 2026`: what the second line may have no room for."""
        when = item.due if isinstance(item, Batch) else item.away.due if item.away else None
        if when is None or (isinstance(item, Batch) and item.closed):
            return ""
        late = (today - when).days
        return f"{plural(late, 'day')} overdue" if late > 0 else f"due {day(when)}"

    def show_list(self) -> None:
        view = self.query_one(Views).current
        self.rows.show_first(self._lists[view])
        self.query_one("#says", Static).update(SAYS[view])

    @on(RowOpened)
    async def open_row(self, message: RowOpened[AwayItem]) -> None:
        """Opens the part or the batch, or asks where something found belongs."""
        from tagbench.screens.away.batch import BatchDialog
        from tagbench.screens.shared.left_over import ExplainItemDialog

        item = message.item
        if isinstance(item, Part):
            await self.bench_app.open_code(item.code)
        elif isinstance(item, Batch):
            self.open_card(BatchDialog(item.id))
        else:
            self.open_card(ExplainItemDialog(item))

    def action_here(self) -> None:
        part = self.rows.current
        if not isinstance(part, Part):
            self.refuse("Choose a part that somebody has; a batch is sorted with Enter.")
            return
        with self.refusing():
            away.bring_back(self.book, [part.code])
            self.finished(f"{named(part)} is back.")

    def action_pack(self) -> None:
        from tagbench.screens.away.pack import PackDialog

        machine = chosen(self.tables)
        if machine is None:
            self.refuse("There is no machine yet, so nothing can be packed.")
        else:
            self.open_card(PackDialog(machine.mark))

    def action_print(self) -> None:
        machine = chosen(self.tables)
        if machine is None:
            self.refuse("There is no machine yet, so there is nothing to print.")
        else:
            self.open_card(ReportDialog("away", machine))


def known_by(item: AwayItem) -> str:
    """What a row is known by."""
    if isinstance(item, Part):
        return item.code
    return f"{'batch' if isinstance(item, Batch) else 'found'} {item.id}"


def _due(part: Part) -> str:
    return str(part.away.due) if part.away else ""
