"""The cards of Tags: which labels, how many spare tags, tags once more."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.widgets import Static

from labels.stock.geometry import Stock
from tagbench.book.operations.tagging import queue
from tagbench.errors import BadInput
from tagbench.records import Tables, Tag
from tagbench.rules.describe.phrases import day, plural
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.shared.form import FormDialog, PickerDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows

if TYPE_CHECKING:
    from labels.output.files import Printed
    from tagbench.screens.tags.print_job import PrintJob

SPARE_WORDS = (
    "Spare tags are printed ahead. Put one on a bag when your hands are dirty; "
    "scan it later and the strip form opens for it."
)
AGAIN_WORDS = "Type a code, a name, or an address that tags carry. Enter queues one and stays here."
MOST = 500
"""So many tags at most are queued at once."""
NO_TAG = "No tag has that on it."


class StockDialog(TagbenchDialog[Stock]):
    """Gives the stock that was chosen; the one in use is marked with an arrow."""

    heading = "Labels"
    actions = (Action("enter", "", "Take", "Takes the labels under the cursor."),)

    def __init__(self, known: Mapping[str, Stock], used: str) -> None:
        super().__init__()
        self._known = known
        self._used = used

    def body(self) -> ComposeResult:
        rows = Rows(self.draw, lambda stock: stock.name, id="stocks")
        rows.show_at(list(self._known.values()), self._used)
        yield rows

    def draw(self, stock: Stock, width: int) -> list[str]:
        """One line: name, how many of which size, the kind."""
        used = "→" if stock.name == self._used else ""
        size = f"{stock.label_width:.4g} × {stock.label_height:.4g} mm"
        count = f"{stock.labels_per_page} a page" if stock.labels_per_page > 1 else stock.kind
        return [columns(width, (used, 1), (stock.name, 0), (size, 16), (count, 10), gap=2)]

    @on(RowOpened)
    def chosen(self, message: RowOpened[Stock]) -> None:
        """Takes it."""
        self.dismiss(message.item)


class SpareDialog(FormDialog[int]):
    """Gives how many."""

    heading = "Spare tags"
    actions = (Action("enter", "save", "Set aside", "Sets the codes aside."),)

    def body(self) -> ComposeResult:
        yield Static(SPARE_WORDS, classes="words", markup=False)
        yield Field("How many", id="count", example="24", restrict=r"[0-9]{0,3}")

    def action_save(self) -> None:
        with self.refusing():
            typed = self.query_one(Field).value
            if not typed or not int(typed):
                raise BadInput("Type how many, for example 24.")
            self.dismiss(int(typed))


class AgainDialog(PickerDialog[Tag, str]):
    """Tags once more: those that were lost, greasy or torn off; queued one by one or all listed."""

    heading = "Print again"
    label, none_found, takes_code = "Which", NO_TAG, "tag"
    actions = (
        Action("enter", "save", "Queue", "Queues the tag under the cursor."),
        Action("ctrl+o", "take_all", "Queue all listed", "Queues all tags that are listed."),
    )
    stays_open = True

    def __init__(self) -> None:
        super().__init__()
        self._tags: list[tuple[Tag, str]] = []
        """Every tag, and what it can be found by."""

    def body(self) -> ComposeResult:
        yield Static(AGAIN_WORDS, classes="words", markup=False)
        yield from super().body()
        yield Static("", id="how-many-tags", classes="quiet", markup=False)

    def on_mount(self) -> None:
        self.look_up()
        super().on_mount()

    def look_up(self) -> None:
        """Reads the tags from the book, those printed last first."""
        tags = [tag for tag in self.tables.tags.values() if tag.kind != "gone"]
        tags.sort(key=lambda tag: tag.printed.timestamp() if tag.printed else 0.0, reverse=True)
        self._tags = [(tag, self._found_by(tag)) for tag in tags]

    def _found_by(self, tag: Tag) -> str:
        return f"{tag.code} {what(tag, self.tables)} {tag.address}"

    def found(self) -> list[Tag]:
        """The tags with all the words that were typed; says how many."""
        found = [tag for tag, _ in self.fitting(self._tags, lambda one: one[1])]
        count = plural(len(found), "tag")
        self.query_one("#how-many-tags", Static).update(count)
        return found

    def key(self, item: Tag) -> str:
        return item.code

    def draw(self, item: Tag, width: int) -> list[str]:
        name = what(item, self.tables)
        return [columns(width, (item.code, 10), (name, 0), (last_printed(item), 20), gap=2)]

    def take(self, item: Tag | None) -> None:
        self._queue([item] if item else [])

    def action_take_all(self) -> None:
        self._queue(list(self.rows.items))

    def catch_up(self) -> None:
        self.look_up()
        self.rows.show(self.found())

    def _queue(self, tags: list[Tag]) -> None:
        with self.refusing():
            if not tags:
                raise BadInput(NO_TAG)
            if len(tags) > MOST:
                raise BadInput(
                    f"{len(tags)} tags are too many; type more, until at most {MOST} are left."
                )
            queue(self.book, [tag.code for tag in tags])
            self.catch_up()
            one = f"{tags[0].code} {what(tags[0], self.tables)}".rstrip()
            self.tell(f"Queued {one}." if len(tags) == 1 else f"Queued {len(tags)} tags.")


def what(tag: Tag, tables: Tables) -> str:
    """What a tag is on, in words."""
    if tag.kind == "spare":
        return "spare tag"
    if tag.code in tables.parts:
        return tables.parts[tag.code].name
    return tables.bins[tag.code].name if tag.code in tables.bins else ""


def printed_words(printed: Printed, job: PrintJob) -> str:
    """What was printed, where the sheet was left, and what had to be cut."""
    tags = plural(printed.tags, "tag")
    pages = plural(printed.pages, "page")
    if job.file is None:
        words = f"Sent {tags} on {pages} to {job.printer}. "
        words += f"Next free label of {job.stock}: {printed.next_label}."
    else:
        words = f"Wrote {tags} on {pages}: {job.file}."
    words += "".join(f" {sentence}" for sentence in printed.advice)
    if printed.cuts:
        cut = list(dict.fromkeys(cut.code for cut in printed.cuts))
        more = f" and {len(cut) - 3} more" if len(cut) > 3 else ""
        words += f" Text was cut on {', '.join(cut[:3])}{more}."
    return words


def last_printed(tag: Tag) -> str:
    """`waits`, `never`, or the day it was last printed and how often."""
    if tag.queued:
        return "waits"
    if tag.printed is None:
        return "never yet"
    often = f", {tag.times} times" if tag.times > 1 else ""
    return day(tag.printed) + often
