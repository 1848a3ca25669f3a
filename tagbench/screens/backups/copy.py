"""One copy of the book: what differs in it, record by record, and taking that back."""

from __future__ import annotations

from pathlib import Path

from textual import on, work
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.copies import differing, take_all_back, take_record_back
from tagbench.records import Tables
from tagbench.rules.describe.difference import Difference, then_and_now
from tagbench.rules.describe.phrases import plural
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Moved, RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import CARDS, TagbenchScreen
from tagbench.screens.shared.confirm import confirmed
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.facts import Facts, Labelled
from tagbench.screens.widgets.rows import Rows

SAME = "Nothing differs: the book is as it was in this copy."
NOT_HERE = "It is newer than the copy; its own screen takes it away."
KINDS = {
    "machines": "machine",
    "parts": "part",
    "bins": "bin",
    "wants": "want",
    "settings": "setting",
    "stock": "stock",
    "batches": "batch",
    "loose": "found",
}
"""Table → what a record of it is called in the list."""


class BackupScreen(TagbenchScreen):
    """What differs between one copy and the book as it is now."""

    screen_name = "backup"
    CSS_PATH = stylesheets("backups")
    AUTO_FOCUS = "#differences"
    actions = (
        Action("enter", "", "Take back", "Takes the record back as it is in the copy; asks first."),
        Action("o", "look", "Look", "Opens the copy, only to be looked at, on all screens."),
        Action("ctrl+r", "all", "Whole book", "Takes the whole book back; asks first."),
    )

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.path = path
        self._then = Tables()

    def body(self) -> ComposeResult:
        yield Static("", id="copy-heading", classes="words", markup=False)
        yield Rows(draw_difference, key_of, id="differences", empty=SAME)
        yield Facts(clipped=True, id="then-and-now")

    @property
    def rows(self) -> Rows[Difference]:
        """What differs."""
        return self.query_one("#differences", Rows)

    def show_book(self) -> None:
        with self.refusing():
            self._then, found = differing(self.bench_app.own_book, self.path)
            differ = plural(len(found), "record differs", "records differ") if found else SAME
            self.query_one("#copy-heading", Static).update(f"{self.path.name}\n{differ}")
            self.rows.show(found)
            self.show_record()

    @on(Moved)
    def show_record(self) -> None:
        """What is different about the record under the cursor."""
        row = self.rows.current
        facts: list[Labelled] = []
        if row is not None:
            now, when = self.bench_app.own_book.records, self.book.now()
            differ = then_and_now(row, self._then, now, when)
            if row.how == "changed":
                facts = [
                    Labelled(label, [f"then  {then}", f"now   {said}"])
                    for label, then, said in differ
                ]
                facts = facts or [Labelled("the same", ["in all that is shown of it"])]
            else:
                at = 1 if row.now is None else 2
                facts = [Labelled(told[0], [told[at]]) for told in differ]
        self.query_one("#then-and-now", Facts).show(facts)

    @on(RowOpened)
    @work(group=CARDS)
    async def take(self, message: RowOpened[Difference]) -> None:
        """Asks, then puts the record back as it is in the copy."""
        row: Difference = message.item
        if row.before is None:
            self.refuse(NOT_HERE)
            return
        words = f"{row.name} ({row.key}) becomes what it is in {self.path.name}."
        if await confirmed(self, "Take it back?", words, "Take back"):
            with self.refusing():
                take_record_back(self.bench_app.own_book, self.path, row.table, row.key)
                self.said_again(f"Took {row.name} back; Ctrl+T takes that back.")

    @work(group=CARDS)
    async def action_all(self) -> None:
        words = (
            f"Every part, bag, want and setting becomes what it is in {self.path.name}; what came "
            "since is taken away. It is one change, and Ctrl+T takes it back."
        )
        if await confirmed(self, "Take the whole book back?", words, "Take all back"):
            with self.refusing():
                count = take_all_back(self.bench_app.own_book, self.path)
                self.said_again(f"{plural(count, 'record')} taken back; Ctrl+T undoes that.")

    def said_again(self, words: str) -> None:
        """Shows what differs now, also while a copy is looked at, and says what was done."""
        self.show_book()
        self.finished(words)

    async def action_look(self) -> None:
        with self.refusing():
            await self.bench_app.look_at(self.path)


def key_of(difference: Difference) -> str:
    """Table and key."""
    return f"{difference.table} {difference.key}"


def draw_difference(difference: Difference, width: int) -> list[str]:
    """One line: what kind of record, its code, its name, what became of it."""
    kind = KINDS[difference.table]
    cells = ((kind, 8), (difference.key, 11), (difference.name, 0), (difference.how, 10))
    return [columns(width, *cells, gap=2)]
