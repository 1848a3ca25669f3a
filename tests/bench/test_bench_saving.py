"""One durable save costs one record, not the book: against an SQLite full commit."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.records import Part
from tests.bench.rows import TABLE, Wanted, grows, milliseconds, reached

pytestmark = pytest.mark.bench

TIMES_SQLITE = 2.5
SIZES = (100, 1_000, 10_000, 100_000)
ROUNDS = 40
EXPONENT = 0.2
"""The cost of one record hardly grows with the book."""


def _part(code: str, number: int) -> Part:
    return Part(code=code, name=f"part {number}", assembly="Front / Hub", note="n" * 80)


@pytest.mark.parametrize("count", SIZES)
def test_one_save_against_a_full_commit(
    tmp_path: Path, own_book: Callable[[int], Path], count: int
) -> None:
    """`PRAGMA synchronous=FULL` is what waits for the disk as our save does (SQLite, pragma)."""
    book = Book(own_book(count))
    book.leave_checkpoints_to_others()  # as the screens do
    peer = sqlite3.connect(tmp_path / "peer.db")
    peer.execute("pragma synchronous=full")
    peer.execute("create table parts(code text primary key, name text, place text, note text)")
    rows = ((str(number), "part", "Hub", "n" * 80) for number in range(count))
    peer.executemany("insert into parts values (?, ?, ?, ?)", rows)
    peer.commit()
    turn = iter(range(10_000))

    def ours() -> None:
        with book.change("one") as transaction:
            transaction.put(_part(transaction.new_code("TP"), next(turn)))

    def theirs() -> None:
        row = (f"N{next(turn)}", "p", "Hub", "n" * 80)
        peer.execute("insert into parts values (?, ?, ?, ?)", row)
        peer.commit()

    row = TABLE.compare(
        "one durable save",
        "SQLite full commit",
        count,
        milliseconds(ours, time.perf_counter),
        milliseconds(theirs, time.perf_counter),
        Wanted(ratio=TIMES_SQLITE),
        turns=ROUNDS,
    )
    reached(row)
    if count == SIZES[-1]:
        grows(row.what, EXPONENT)
