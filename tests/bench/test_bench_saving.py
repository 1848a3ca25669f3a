"""One durable save costs one record, not the book: against an SQLite full commit."""

from __future__ import annotations

import math
import sqlite3
import statistics
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from labels.code import make_code
from tagbench.book import Book
from tagbench.records import Machine, Part, Tag, replace

pytestmark = pytest.mark.bench

TIMES_SQLITE = 2.5
SIZES = (100, 1_000, 10_000, 100_000)
ROUNDS = 40
_RATIOS: dict[int, float] = {}
_SECONDS: dict[int, float] = {}


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
def test_one_save_against_a_full_commit(
    tmp_path: Path, count: int, record_property: Callable[[str, object], None]
) -> None:
    """`PRAGMA synchronous=FULL` is what waits for the disk as our save does (SQLite, pragma)."""
    book = _book_of(tmp_path / "book", count)
    peer = sqlite3.connect(tmp_path / "peer.db")
    peer.execute("pragma synchronous=full")
    peer.execute("create table parts(code text primary key, name text, place text, note text)")
    rows = ((str(number), "part", "Hub", "n" * 80) for number in range(count))
    peer.executemany("insert into parts values (?, ?, ?, ?)", rows)
    peer.commit()
    ours: list[float] = []
    theirs: list[float] = []
    for turn in range(ROUNDS):
        start = time.perf_counter()
        with book.change("one") as transaction:
            transaction.put(_part(transaction.new_code("TP"), turn))
        ours.append(time.perf_counter() - start)
        start = time.perf_counter()
        peer.execute("insert into parts values (?, ?, ?, ?)", (f"N{turn}", "p", "Hub", "n" * 80))
        peer.commit()
        theirs.append(time.perf_counter() - start)
    ratio = statistics.median(ours) / statistics.median(theirs)
    _RATIOS[count], _SECONDS[count] = ratio, statistics.median(ours)
    record_property("ratio", ratio)
    print(f"\n{count:7} parts  one save {_SECONDS[count] * 1e3:6.2f} ms  {ratio:5.2f} x SQLite")
    assert ratio < TIMES_SQLITE


def test_the_cost_hardly_grows_with_the_book() -> None:
    """The exponent between the smallest and the largest book that were measured."""
    if len(_SECONDS) < 2:
        pytest.skip("measured together with the sizes")
    small, large = min(_SECONDS), max(_SECONDS)
    exponent = math.log(_SECONDS[large] / _SECONDS[small]) / math.log(large / small)
    print(f"\nexponent from {small} to {large} parts: {exponent:.2f}")
    assert exponent < 0.35
