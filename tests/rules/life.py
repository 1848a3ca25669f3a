"""A machine's life in a book with the ledger beside it: what is done, taken back, compared."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from copy import deepcopy
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from tagbench.book import Book
from tagbench.book.operations import (
    machines,
)
from tagbench.errors import BadInput
from tagbench.rules.bench.glance import glance
from tagbench.rules.count.closing import open_lines
from tagbench.rules.count.identity import machine_count
from tagbench.rules.rebuild.overview import build_overview
from tagbench.rules.rebuild.reach import reach_part
from tests.rules.ledger import Ledger, Piece

MARKS = ("TP", "ZZ")


class Clock:
    """Jumps to and fro, as clocks of old laptops do."""

    def __init__(self) -> None:
        self.time = datetime(2024, 5, 4, 19, 30, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.time


class Life:
    """A book, the ledger beside it, and what a person may do."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.dice = random.Random(seed)
        self.clock = Clock()
        self.book = Book(folder / "book", now=self.clock)
        self.folder = folder
        for mark in MARKS[: self.dice.choice((1, 1, 2))]:
            machines.add(self.book, f"machine {mark}", mark)
        self.marks = list(self.book.records.machines)
        self.ledger = Ledger()
        self.past: list[Ledger] = []
        self.future: list[Ledger] = []
        self.told: list[str] = []

    @property
    def today(self) -> date:
        """The day by the clock."""
        return self.clock.time.date()

    def live(self, times: int, verbs: Sequence[Callable[[Life], None]]) -> None:
        """Does so many things, and compares after each."""
        for _ in range(times):
            if self.dice.random() < 0.15:
                span = timedelta(hours=self.dice.choice((-60, -2, 1, 5, 30, 100)))
                self.clock.time += span
            if self.dice.random() < 0.12:
                self.take_back()
            else:
                self.do(self.dice.choice(verbs))
            self.compare()

    def do(self, action: Callable[[Life], None]) -> None:
        """One action in the book and in the ledger; refused in both or in neither."""
        before, revision = deepcopy(self.ledger), self.book.revision
        self.turned: set[str] = set()
        self.told.append(action.__name__)
        action(self)
        self.open_what_was_worked_on(before)
        if self.book.revision > revision:
            self.past.append(before)
            self.future.clear()

    def open_what_was_worked_on(self, before: Ledger) -> None:
        """A closed machine that is worked on, or has a line opened, is open."""
        for mark in set(before.closed) & set(self.ledger.closed):
            worked = mark in self.turned or before.work(mark) != self.ledger.work(mark)
            if worked or self.ledger.open(mark) - self.ledger.closed[mark]:
                del self.ledger.closed[mark]

    def take_back(self) -> None:
        """Undo; now and then redo, where the book has it."""
        redo = getattr(self.book, "redo", None)
        if self.future and redo is not None and self.dice.random() < 0.5:
            self.told.append("redo")
            redo()
            self.past.append(self.ledger)
            self.ledger = self.future.pop()
        elif self.past:
            self.told.append("undo")
            self.book.undo()
            self.future.append(self.ledger)
            self.ledger = self.past.pop()

    def refused(self, action: Callable[[], object], wanted: bool) -> bool:
        """Whether the book refuses, which it must do exactly when the ledger says so."""
        revision = self.book.revision
        try:
            action()
        except BadInput as error:
            assert wanted, f"refused: {error}"
            assert self.book.revision == revision
            return True
        assert not wanted, "not refused"
        return False

    def piece(self) -> Piece | None:
        """Any part."""
        return self.dice.choice(list(self.ledger.pieces.values())) if self.ledger.pieces else None

    def compare(self) -> None:
        """Everything that the book says against the ledger."""
        tables, ledger = self.book.records, self.ledger
        assert set(tables.parts) == set(ledger.pieces)
        assert {n: set(w.parts) for n, w in tables.wants.items()} == {
            str(n): one.parts for n, one in ledger.orders.items()
        }
        assert {m for m in self.marks if tables.machines[m].closed} == set(ledger.closed)
        for mark in self.marks:
            now, counted = build_overview(tables, mark), machine_count(tables, mark)
            pieces = ledger.of(mark)
            off = ledger.off({one.code for one in pieces})
            assert set(now.ready) == ledger.ready(mark)
            assert {held.code for held in now.held_up} == off - ledger.ready(mark)
            assert set(now.snug) == {one.code for one in pieces if one.on == "snug"}
            assert set(now.fitted) == {one.code for one in pieces if one.on == "fitted"}
            lines = [line for one in pieces for line in one.lines]
            assert counted.fasteners_out == sum(line.quantity for line in lines)
            assert counted.fasteners_back == sum(line.back for line in lines)
            assert counted.fasteners_missing == sum(line.quantity - line.back for line in lines)
            assert opened(line.key for line in open_lines(counted)) == ledger.open(mark)
            seen = glance(tables, mark)
            washed = [one for one in pieces if one.done("degreased") and not one.soaks]
            assert seen.clean == len(washed)
            placed = {code: at for at, code in enumerate(now.order)}
            assert len(placed) == len(pieces)
            assert all(placed[one.code] < placed[out] for one in pieces for out in one.behind)
        one = self.piece()
        if one is not None:
            way = ledger.outer(one.code) - ledger.off(ledger.outer(one.code))
            assert set(reach_part(tables, one.code).take_off) == way
        paths = {(bin_.name.casefold(), bin_.kept_in) for bin_ in tables.bins.values()}
        assert len(paths) == len(tables.bins) == len(ledger.bins)


def opened(keys: object) -> set[str]:
    """The names of open lines; what was overruled by its part alone."""
    assert hasattr(keys, "__iter__")
    return {key.partition("/")[0] if key.startswith("override") else key for key in keys}
