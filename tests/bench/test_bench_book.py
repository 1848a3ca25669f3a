"""Speed of the book with 10 000 parts, against stock TinyDB in the same run."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tinydb import TinyDB

from tagbench.book import Book
from tagbench.records import Fastener, Machine, Part, replace, to_plain

pytestmark = pytest.mark.bench

PARTS = 10_000
TIMES_FASTER = 5.0
LOAD_SECONDS = 0.15
REFRESH_SECONDS = 0.001


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
    with Book(folder) as book, book.change("many parts") as draft:
        draft.put(Machine(mark="TP", name="Tarnbrook Packman"))
        for number in range(1, PARTS + 1):
            draft.put(_part(draft.new_code("TP"), number))
    return folder


@pytest.fixture
def stock(big: Path, tmp_path: Path) -> Iterator[TinyDB]:
    """The same parts, and nothing else, in stock TinyDB with its JSONStorage."""
    with Book(big) as book, TinyDB(tmp_path / "stock.json") as db:
        db.table("parts").insert_multiple(map(to_plain, book.records.parts.values()))
        yield db


def _seconds(work: Callable[[], object], times: int = 9) -> float:
    """Median time of one call, after one that warms up."""
    work()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def test_one_durable_save_is_faster_than_a_stock_insert(
    big: Path, stock: TinyDB, record_property: Callable[[str, object], None]
) -> None:
    """Strip, then care: a new part with its tag, and a changed one; both flushed to the disk."""
    parts = stock.table("parts")
    plain = to_plain(_part("TP-001-N", 1))
    with Book(big) as book:

        def strip() -> None:
            with book.change("took off") as draft:
                draft.put(_part(draft.new_code("TP"), len(draft.records.parts) + 1))

        def lubed() -> None:
            part = next(iter(book.records.parts.values()))
            with book.change("note") as draft:
                draft.put(replace(part, note=f"{part.note[-40:]}+"))

        theirs = _seconds(lambda: parts.insert(plain))
        ours = {"strip": _seconds(strip), "lubed": _seconds(lubed)}
    for verb, seconds in ours.items():
        times = theirs / seconds
        record_property(f"{verb} times faster", round(times, 1))
        print(f"{verb}: {seconds * 1000:.1f} ms, stock {theirs * 1000:.1f} ms, {times:.1f} times")
        assert times >= TIMES_FASTER


def test_opening_is_quick(big: Path) -> None:
    """Typed and validated; and quicker than stock TinyDB reads the same file untyped."""
    seconds = _seconds(lambda: Book(big))

    def theirs() -> None:
        with TinyDB(big / "book.json", access_mode="r") as db:
            assert len(db.table("parts")) >= PARTS

    stock_seconds = _seconds(theirs)
    print(f"open: {seconds * 1000:.0f} ms, stock {stock_seconds * 1000:.0f} ms")
    assert seconds < LOAD_SECONDS
    assert seconds < stock_seconds * 2


def test_looking_for_changes_costs_next_to_nothing(big: Path) -> None:
    """Screens do it at every tick."""
    with Book(big) as book:
        seconds = _seconds(book.refresh)
    assert seconds < REFRESH_SECONDS


def test_taking_in_another_programs_change_is_quicker_than_opening(big: Path) -> None:
    """Records that stayed as they are need no decoding."""
    with Book(big) as book, Book(big) as other:
        number = 0

        def change() -> None:
            nonlocal number
            number += 1
            part = next(iter(other.records.parts.values()))
            with other.change("note") as draft:
                draft.put(replace(part, note=str(number)))

        taken = []
        for _ in range(7):
            change()
            start = time.perf_counter()
            assert book.refresh()
            taken.append(time.perf_counter() - start)
        opened = _seconds(lambda: Book(big))
    print(f"taking in: {statistics.median(taken) * 1000:.0f} ms, opening {opened * 1000:.0f} ms")
    assert statistics.median(taken) < opened


def test_a_draft_of_one_part_does_not_copy_the_book(big: Path) -> None:
    """The time inside a change does not grow with the book beyond a copied table or two."""
    with Book(big) as book:
        part = next(iter(book.records.parts.values()))
        start = time.perf_counter()
        with pytest.raises(ZeroDivisionError), book.change("nothing") as draft:
            for number in range(300):
                draft.put(replace(part, note=str(number)))
            raise ZeroDivisionError
        seconds = (time.perf_counter() - start) / 300
    assert seconds < 0.001
