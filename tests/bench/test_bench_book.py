"""Speed of the book with 10 000 parts, against stock TinyDB in the same run."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tinydb import TinyDB

from tagbench.book import Book
from tagbench.records import Fastener, Machine, Part, replace, to_plain

pytestmark = pytest.mark.bench

PARTS = 10_000
TIMES_FASTER = 5.0
OPENING = 2.5
"""How much longer opening may take than stock TinyDB takes to read the same file."""


def _part(code: str, number: int) -> Part:
    return Part(
        code=code,
        name=f"backing plate {number}",
        assembly=f"Front wheel / Brake {number % 40}",
        position="left",
        order=number,
        removed=datetime(2024, 5, 1, 19, tzinfo=UTC),
        fasteners=(
            Fastener(quantity=4, thread="M5x0.8", length=12, head="pan", typed="4x M5x0.8x12 pan"),
            Fastener(kind="cotter pin", diameter=3.2, length=32, single_use=True),
        ),
        sits_how="long side up",
    )


@pytest.fixture(scope="module")
def big(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book of 10 000 parts with two lines of fasteners each."""
    folder = tmp_path_factory.mktemp("big") / "book"
    with Book(folder) as book, book.change("many parts") as transaction:
        transaction.put(Machine(mark="TP", name="Tarnbrook Packman"))
        for number in range(1, PARTS + 1):
            transaction.put(_part(transaction.new_code("TP"), number))
    return folder


@pytest.fixture
def stock(big: Path, tmp_path: Path) -> Iterator[TinyDB]:
    """The same parts, and nothing else, in stock TinyDB with its JSONStorage."""
    with Book(big) as book, TinyDB(tmp_path / "stock.json") as db:
        db.table("parts").insert_multiple(map(to_plain, book.records.parts.values()))
        yield db


def _medians(*works: Callable[[], object], times: int = 9) -> list[float]:
    """Median seconds of each, taken in turns so that a busy machine slows them all alike."""
    taken: list[list[float]] = [[] for _ in works]
    for turn in range(times + 1):
        for work, seconds in zip(works, taken, strict=True):
            start = time.perf_counter()
            work()
            if turn:  # the first one warms up
                seconds.append(time.perf_counter() - start)
    return [statistics.median(seconds) for seconds in taken]


def test_one_durable_save_is_faster_than_a_stock_insert(
    big: Path, stock: TinyDB, record_property: Callable[[str, object], None]
) -> None:
    """Strip, then care: a new part with its tag, and a changed one; both flushed to the disk."""
    parts = stock.table("parts")
    plain = to_plain(_part("TP-001-N", 1))
    with Book(big) as book:

        def strip() -> None:
            with book.change("took off") as transaction:
                transaction.put(
                    _part(transaction.new_code("TP"), len(transaction.records.parts) + 1)
                )

        def lubed() -> None:
            part = next(iter(book.records.parts.values()))
            with book.change("note") as transaction:
                transaction.put(replace(part, note=f"{part.note[-40:]}+"))

        theirs, *ours = _medians(lambda: parts.insert(plain), strip, lubed)
    for verb, seconds in zip(("strip", "lubed"), ours, strict=True):
        times = theirs / seconds
        record_property(f"{verb} times faster", round(times, 1))
        print(f"{verb}: {seconds * 1000:.1f} ms, stock {theirs * 1000:.1f} ms, {times:.1f} times")
        assert times >= TIMES_FASTER


def test_opening_is_quick(big: Path) -> None:
    """Typed, sealed and validated, and still about as quick as stock TinyDB's bare reading.

    On a quiet computer of 2024 it is about 60 ms.
    """

    def theirs() -> None:
        with TinyDB(big / "book.json", access_mode="r") as db:
            assert len(db.table("parts")) >= PARTS

    stock_seconds, seconds = _medians(theirs, lambda: Book(big))
    print(f"open: {seconds * 1000:.0f} ms, stock {stock_seconds * 1000:.0f} ms")
    assert seconds < stock_seconds * OPENING


def test_looking_for_changes_costs_next_to_nothing(big: Path) -> None:
    """Screens do it at every tick; the peer is one look at the file by the system."""
    with Book(big) as book:
        system, ours = _medians((big / "book.json").stat, book.refresh, times=99)
    print(f"refresh: {ours * 1e6:.0f} µs, one stat {system * 1e6:.0f} µs")
    assert ours < system * 20


def test_taking_in_another_programs_change_is_quicker_than_opening(big: Path) -> None:
    """Records that stayed as they are need no decoding."""
    with Book(big) as book, Book(big) as other:
        number = 0

        def change() -> None:
            nonlocal number
            number += 1
            part = next(iter(other.records.parts.values()))
            with other.change("note") as transaction:
                transaction.put(replace(part, note=str(number)))

        def take_in() -> None:
            assert book.refresh()

        _, taking_in, opening = _medians(change, take_in, lambda: Book(big), times=7)
    print(f"taking in: {taking_in * 1000:.0f} ms, opening {opening * 1000:.0f} ms")
    assert taking_in < opening


def test_a_transaction_does_not_grow_with_the_book(big: Path, tmp_path: Path) -> None:
    """Three hundred puts cost about the same in a book of one part and of ten thousand."""
    with Book(tmp_path / "small") as small, small.change("one part") as transaction:
        transaction.put(_part(transaction.new_code("TP"), 1))

    def puts(book: Book) -> None:
        part = next(iter(book.records.parts.values()))
        with suppress(ZeroDivisionError), book.change("nothing") as transaction:
            for number in range(300):
                transaction.put(replace(part, note=str(number)))
            raise ZeroDivisionError

    with Book(tmp_path / "small") as small, Book(big) as book:
        in_small, in_big = _medians(lambda: puts(small), lambda: puts(book), times=5)
    print(f"300 puts: {in_big * 1000:.0f} ms, in a small book {in_small * 1000:.0f} ms")
    assert in_big < in_small * 3
