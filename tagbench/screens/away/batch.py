"""A batch: counted out of the bucket by size, sorted back bag by bag, closed."""

from __future__ import annotations

from typing import NamedTuple

from textual import on, work
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations import batches
from tagbench.records import Batch
from tagbench.rules.batches import BatchRow, left_away
from tagbench.rules.describe.away import bag_words, describe_batch, row_words
from tagbench.rules.describe.fact import BOXES
from tagbench.rules.describe.phrases import named, plural
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Moved, RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import CARDS
from tagbench.screens.shared.confirm import confirmed
from tagbench.screens.shared.form import IN_THE_LIST, FormDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows

BatchBag = tuple[str, int, int, int]
"""Code of the part, line (0: the part itself), how many go in, how many did."""


class SizeRow(NamedTuple):
    """A size, or under it a bag that some of it goes into."""

    size: BatchRow
    bag: BatchBag | None


class BatchDialog(FormDialog[str]):
    """Enter on a size counts it, on a bag puts its share in; the field says another number."""

    CSS_PATH = stylesheets("field", "card", "away")
    moves = IN_THE_LIST
    actions = (
        Action("enter", "save", "Count, or in", "A size: so many came. A bag: its share is in."),
        Action("ctrl+o", "give_up", "Give up", "Nothing more comes: what is not sorted is lost."),
    )
    stays_open = True

    def __init__(self, number: int) -> None:
        super().__init__()
        self.heading = f"Batch {number}"
        self._number = number

    @property
    def record(self) -> Batch:
        """The batch as it is now."""
        return self.book.records.batches[str(self._number)]

    def body(self) -> ComposeResult:
        yield Static("", id="stands", classes="words", markup=False)
        yield Field("How many", id="many", hint="all that went, or all that are left")
        yield Rows(self.draw, row_key, id="found", driven=True)

    def on_mount(self) -> None:
        self.show_rows()
        self["many"].input.focus()

    @property
    def rows(self) -> Rows[SizeRow]:
        """The sizes with their bags."""
        return self.query_one("#found", Rows)

    def show_rows(self) -> None:
        """Shows the sizes, each with its bags under it."""
        told = describe_batch(self.book.records, self.record, self.book.now().date())
        self.query_one("#stands", Static).update(f"{told.title}: {told.stands.words}")
        self.rows.show(
            [
                row
                for size in told.rows
                for row in (SizeRow(size, None), *(SizeRow(size, bag) for bag in size.bags))
            ]
        )

    def draw(self, item: SizeRow, width: int) -> list[str]:
        """One line: the size and its counts; or a box and the bag."""
        if item.bag is None:
            return [columns(width, (row_words(item.size), 0))]
        quantity, back = item.bag[2:]
        box = BOXES["done" if back == quantity else "begun" if back else "open"]
        return [columns(width, ("", 2), (box, 3), (bag_words(self.book.records, item.bag), 0))]

    def action_step(self, by: int) -> None:
        self.rows.action_step(by)

    def action_page(self, by: int) -> None:
        self.rows.action_page(by)

    @on(Moved)
    def say_many(self) -> None:
        """An empty field means all of what the cursor is at."""
        self["many"].value = ""

    @on(RowOpened)
    def clicked(self, message: RowOpened[SizeRow]) -> None:
        """A click counts or ticks."""
        self._do(message.item)

    def action_save(self) -> None:
        if self.rows.current is not None:
            self._do(self.rows.current)

    def catch_up(self) -> None:
        """Shows what was taken back; closes when the batch itself was."""
        if str(self._number) in self.tables.batches:
            self.show_rows()
        else:
            self.dismiss(None)

    def _do(self, row: SizeRow) -> None:
        typed = self["many"].value
        if typed and not typed.isdecimal():
            self.refuse(f"“{typed}” is not a whole number of pieces.")
            return
        with self.refusing():
            if row.bag is None:
                many = int(typed) if typed else row.size.out
                batches.count_back(self.book, self._number, {row.size.size: many})
                short = row.size.out - many
                said = f"{many} × {row.size.size} came back" + (
                    f", {short} short." if short else "."
                )
            else:
                code, line = row.bag[:2]
                many_in = int(typed) if typed else None
                batches.sort_into_bag(self.book, self._number, code, line, many_in)
                said = f"In the bag of {named(self.book.records.parts[code])}."
            self._after(said)

    def _after(self, said: str) -> None:
        self["many"].value = ""
        if self.record.closed is not None:
            self.dismiss(f"{said} Batch {self._number} is sorted.")
            return
        self.show_rows()
        self.rows.action_step(1)
        self.tell(said)

    @work(group=CARDS)
    async def action_give_up(self) -> None:
        """Asks, then closes the batch; what is not sorted is lost."""
        left = sum(many for _, many in left_away(self.record))
        words = f"{plural(left, 'piece')} not sorted yet will be lost, each short in its bag."
        if await confirmed(self, f"Close batch {self._number}?", words, "Close"):
            with self.refusing():
                _, short = batches.close(self.book, self._number)
                bags = f" {plural(len(short), 'bag')} short." if short else ""
                self.dismiss(f"Batch {self._number} is closed.{bags}")


def row_key(row: SizeRow) -> str:
    """What a row is known by."""
    return f"{row.size.size} {row.bag[:2] if row.bag else ''}"
