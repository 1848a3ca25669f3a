"""One durable save costs one record, not the book: against an SQLite full commit."""

from __future__ import annotations

import sqlite3
import time
from pathlib import Path

import pytest

from labels.code import make_code
from tagbench.book import Book
from tagbench.records import Machine, Part, Tag, replace
from tests.bench.rows import TABLE, Wanted, grows, milliseconds, reached

pytestmark = pytest.mark.bench

TIMES_SQLITE = 2.5
SIZES = (100, 1_000, 10_000, 100_000)
ROUNDS = 40
EXPONENT = 0.2
"""The cost of one record hardly grows with the book."""


def _book_of(folder: Path, count: int) -> Book:
    """An open book of so many parts, each with its tag."""
    book = Book(folder)
    book.leave_checkpoints_to_others()
    with book.change("many parts") as transaction:
        transaction.put(Machine(mark="TP", name="Tarnbrook Packman"))
        for number in range(1, count + 1):
            code = make_code("TP", number)
            transaction.set("tags", code, Tag(code=code))
            transaction.set("parts", code, _part(code, number))
        transaction.put(replace(transaction.records.desk, serials={"TP": count}))
    book.checkpoint()
    return book


def _part(code: str, number: int) -> Part:
    return Part(code=code, name=f"part {number}", assembly="Front / Hub", note="n" * 80)


@pytest.mark.parametrize("count", SIZES)
def test_one_save_against_a_full_commit(tmp_path: Path, count: int) -> None:
    """`PRAGMA synchronous=FULL` is what waits for the disk as our save does (SQLite, pragma)."""
    book = _book_of(tmp_path / "book", count)
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
