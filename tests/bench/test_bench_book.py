"""Speed of the book with 10 000 parts, against stock TinyDB in the same run."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tinydb import TinyDB

from tagbench.book import Book
from tagbench.records import Fastener, Machine, Part, replace, to_plain
from tests.bench.rows import TABLE, Wanted, milliseconds, reached

pytestmark = pytest.mark.bench

PARTS = 10_000
TIMES_FASTER = 5.0
OPENING, LOOKS, DRAFT = 2.5, 20, 3
"""Most that opening may take against stock TinyDB reading the same file; a look for changes, made
at every tick, against one look at the file by the system; 300 puts against a book of one part."""


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


def _waited(work: Callable[[], object]) -> Callable[[], float]:
    return milliseconds(work, time.perf_counter)


def test_one_durable_save_is_faster_than_a_stock_insert(big: Path, stock: TinyDB) -> None:
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

        for verb, ours in (("strip", strip), ("lubed", lubed)):
            stock_insert = _waited(lambda: parts.insert(plain))
            wanted = Wanted(ratio=1 / TIMES_FASTER)
            row = TABLE.compare(
                f"saving {verb}", "stock TinyDB insert", PARTS, _waited(ours), stock_insert, wanted
            )
            reached(row)


def test_opening_is_quick(big: Path) -> None:
    """Typed, sealed and validated, and still about as quick as stock TinyDB's bare reading.

    On a quiet computer of 2024 it is about 60 ms.
    """

    def theirs() -> None:
        with TinyDB(big / "book.json", access_mode="r") as db:
            assert len(db.table("parts")) >= PARTS

    ours = milliseconds(lambda: Book(big))
    wanted = Wanted(ratio=OPENING)
    reached(
        TABLE.compare("a book opened", "stock TinyDB", PARTS, ours, milliseconds(theirs), wanted)
    )


def test_looking_for_changes_costs_next_to_nothing(big: Path) -> None:
    """Screens do it at every tick; the peer is one look at the file by the system."""
    with Book(big) as book:
        many = range(100)
        stat = milliseconds(lambda: [(big / "book.json").stat() for _ in many])
        looks = milliseconds(lambda: [book.refresh() for _ in many])
        wanted = Wanted(ratio=LOOKS)
        reached(TABLE.compare("100 looks for changes", "one stat", PARTS, looks, stat, wanted))


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

        def take_in_one() -> float:
            change()
            return milliseconds(take_in)()

        opening = milliseconds(lambda: Book(big))
        row = TABLE.compare(
            "another's change taken in", "opening", PARTS, take_in_one, opening, Wanted(ratio=1)
        )
        reached(row)


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
        ours, in_small = milliseconds(lambda: puts(book)), milliseconds(lambda: puts(small))
        wanted = Wanted(ratio=DRAFT)
        reached(TABLE.compare("300 puts", "in a book of one part", PARTS, ours, in_small, wanted))
