"""What follows from a whole book, at every size, against the plainest way to look at it all."""

from __future__ import annotations

import csv
import random
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import msgspec
import networkx
import pytest

from labels.code import make_code
from tagbench.book import Book
from tagbench.book.csv.reader import read_csv
from tagbench.records import Bin, Part, Tables, Want, keep_worked_out
from tagbench.rules.buying.holding import hold_ups
from tagbench.rules.find.index import Index
from tagbench.rules.rebuild.links import links_of
from tests.bench.books import book_of
from tests.bench.rows import TABLE, TURNS, Row, Wanted, grows, in_turns, milliseconds, reached

pytestmark = pytest.mark.bench

SIZES = (100, 1_000, 10_000, 100_000)
ROWS = (200, 2_000, 20_000)
EXPONENT = 1.1
"""Most that the time may grow with the book; a pass of a walk per record would be 2."""
HOLD_UPS_MS, CSV_MS, BAG_MS, MEMORY_MB = 2_000, 4_000, 5, 200
"""What is wanted of the largest: hold-ups and memory at 100 000 parts, a list of 20 000, a bag at
10 000."""

CSV_FREE_MS = 600
"""What reading a list of 20 000 ten times takes on a computer that is free."""
COPY_MS = 0.3
"""What one copy of the table of 10 000 parts does."""
AGAIN = 0.1
"""Most of the first time that sorted parts and links may take when they are asked for again."""


def _linked(count: int) -> Tables:
    """Parts that lie behind each other, and a want for every twentieth."""
    dice = random.Random(count)
    codes = [make_code("TP", number) for number in range(1, count + 1)]
    parts = {}
    for order, code in enumerate(codes):
        nearby = codes[max(0, order - 40) : order]
        behind = dice.sample(nearby, min(len(nearby), dice.randint(0, 2)))
        parts[code] = Part(code=code, name="part", order=order + 1, behind=tuple(behind))
    wants = {
        str(number): Want(id=number, machine="TP", what="seal", parts=(dice.choice(codes),))
        for number in range(1, count // 20 + 1)
    }
    return Tables(parts=parts, wants=wants)


@pytest.mark.parametrize("count", SIZES)
def test_hold_ups_of_all_wants(count: int) -> None:
    """Against networkx building the same graph and sorting it once."""
    tables = _linked(count)

    def theirs() -> object:
        graph = networkx.DiGraph()
        for part in tables.parts.values():
            graph.add_edges_from((part.code, outer) for outer in part.behind)
        return list(networkx.topological_sort(graph))

    turns = TURNS if count < SIZES[-1] else 2
    what, mine = "hold-ups of all wants", milliseconds(lambda: hold_ups(tables, "TP"))
    wanted = Wanted(most=HOLD_UPS_MS if count == SIZES[-1] else None)
    row = TABLE.compare(
        what, "networkx sorting once", count, mine, milliseconds(theirs), wanted, turns=turns
    )
    reached(row)
    if count == SIZES[-1]:
        grows(what, EXPONENT)


@pytest.mark.parametrize("count", ROWS)
def test_a_list_comes_in(tmp_path: Path, count: int) -> None:
    """A CSV of parts with bins, fasteners and links, against reading its cells ten times."""
    source = tmp_path / "parts.csv"
    with source.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(("ref", "name", "assembly", "quantity", "fasteners", "bin", "behind"))
        for at in range(count):
            before = f"r{at - 1}" if at % 3 else ""
            place, where = f"Front / Group {at % 400}", f"Box {at % 90} / Bag {at // 5}"
            writer.writerow((f"r{at}", f"part {at}", place, 1, "4x M5x0.8x12", where, before))

    taken = iter(range(1_000))

    def ours() -> None:
        with Book(tmp_path / f"book-{next(taken)}") as book:
            read_csv(book, source)

    def theirs() -> None:
        for _ in range(10):
            with source.open(newline="", encoding="utf-8") as file:
                list(csv.DictReader(file))

    turns = {200: TURNS, 2_000: 2}.get(count, 1)
    what, peer = "CSV taken in", "csv reading it ten times"
    wanted = Wanted(most=CSV_MS, free=CSV_FREE_MS) if count == ROWS[-1] else Wanted()
    row = TABLE.compare(
        what, peer, count, milliseconds(ours), milliseconds(theirs), wanted, turns=turns
    )
    reached(row)
    if count == ROWS[-1]:
        grows(what, EXPONENT)


@pytest.mark.parametrize("count", SIZES[:-1])
def test_a_bin_is_renamed(count: int) -> None:
    """The find index taking a renamed bag in, against copying the parts of the book once."""
    tables = book_of(count)
    index = Index(tables)
    code = next(iter(tables.bins))
    names = iter(range(1_000))

    def ours() -> None:
        bins = {**tables.bins, code: Bin(code=code, name=f"Tin {next(names)}")}
        index.refresh(Tables(parts=tables.parts, bins=bins))

    copying = milliseconds(lambda: dict(tables.parts))
    wanted = Wanted(most=BAG_MS, free=COPY_MS) if count == 10_000 else Wanted()
    row = TABLE.compare(
        "a bag renamed in find", "one copy", count, milliseconds(ours), copying, wanted
    )
    reached(row)


@pytest.mark.parametrize("count", SIZES)
def test_what_follows_is_worked_out_once_for_a_state_of_the_book(
    books: Callable[[int], Path], count: int
) -> None:
    """Sorted parts and links asked for again, against the first time after a change."""
    records = Book(books(count)).records

    def first_time() -> None:
        ask(keep_worked_out(msgspec.structs.replace(records)))

    def ask(tables: Tables) -> None:
        tables.parts_of("TP")
        links_of(tables, "TP")

    ask(records)
    again, first = milliseconds(lambda: ask(records)), milliseconds(first_time)
    what, wanted = "sorted parts and links asked again", Wanted(ratio=AGAIN)
    reached(TABLE.compare(what, "the first time", count, again, first, wanted))


# Memory

OPENED = """
import sys
from pathlib import Path
def resident():
    return next(int(l.split()[1]) for l in open("/proc/self/status") if l.startswith("VmRSS"))
{how}
print(resident() / 1024)
"""
OURS = OPENED.format(how="from tagbench.book import Book\nbook = Book(Path(sys.argv[1]))")
THEIRS = OPENED.format(how="import json\nb = json.load(open(Path(sys.argv[1]) / 'book.json'))")


def megabytes(program: str, folder: Path) -> Callable[[], float]:
    """What a process of its own keeps in memory at its end."""
    command = [sys.executable, "-c", program, str(folder)]
    return lambda: float(subprocess.run(command, capture_output=True, check=True).stdout)


@pytest.mark.parametrize("count", SIZES)
def test_memory_of_an_open_book(books: Callable[[int], Path], count: int) -> None:
    """Against the same file as plain lists and dictionaries."""
    folder = books(count)
    ours, theirs = in_turns(megabytes(OURS, folder), megabytes(THEIRS, folder), turns=1)
    wanted = Wanted(most=MEMORY_MB if count == SIZES[-1] else None)
    row = Row("memory of an open book", "json.load of its file", count, ours, theirs, "MB", wanted)
    reached(TABLE.add(row))
