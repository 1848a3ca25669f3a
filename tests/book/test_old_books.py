"""A book that an earlier version wrote: read as it is, sealed with the first change.

`old_books/schema-1` was written by the last version whose history had no seals: a machine, four
parts, a bag, a picture, two corrections of which one was taken back.
"""

from __future__ import annotations

import json
import random
import shutil
from datetime import date
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.check import check_book, mend_book
from tagbench.book.copies import ReadOnlyBook, copies, take_part_back
from tagbench.book.rewinding import records_on
from tagbench.errors import BookDamaged, BookTooNew
from tagbench.records import replace
from tests.book.conftest import strip

WRITTEN = Path(__file__).with_name("old_books") / "schema-1"
DRUM, PLATE, SPRING = "TP-001-N", "TP-003-J", "TP-004-H"


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A copy of the old book."""
    return Path(shutil.copytree(WRITTEN, tmp_path / "book"))


def schema(folder: Path) -> int:
    """The format that a book file says it has."""
    header = json.loads((folder / "book.json").read_text(encoding="utf-8"))["book"]["1"]
    return int(header["schema"])


def test_it_is_read_as_it_is_and_looking_changes_nothing(old: Path) -> None:
    """Records, history, pictures, days gone by, and the check."""
    before = {path: path.read_bytes() for path in old.rglob("*") if path.is_file()}
    assert schema(old) == 1
    report = check_book(old)
    assert report.ok, report.problems
    with Book(old) as book:
        assert not book.fault
        assert [part.name for part in book.records.parts_of("TP")] == [
            *("brake drum", "backing plate screws", "backing plate", "return spring")
        ]
        assert book.records.parts[PLATE].note == "cracked at the lug"
        assert len(book.history()) == 9
        assert (book.photos / book.records.parts[DRUM].photos[0].file).is_file()
        tables, number = records_on(book, date(2024, 5, 4))
        assert (number, tables.parts[PLATE].note) == (5, "")
    now = {path: path.read_bytes() for path in old.rglob("*") if path.is_file()}
    assert now == before


def test_the_first_change_seals_it_and_nothing_is_lost(old: Path) -> None:
    """Old changes can still be taken back; the book is sound at each step."""
    with Book(old) as book:
        before = book.records
        nut = strip(book, "nut")
        assert {**before.parts, nut.code: nut} == book.records.parts
    assert schema(old) == 2
    assert check_book(old).ok
    with Book(old) as book:
        book.undo(6)
        assert book.records.parts[PLATE].note == ""
        book.undo()
        assert nut.code not in book.records.parts
        book.redo()
    report = check_book(old)
    assert report.ok, report.problems
    with Book(old) as book:
        assert len(book.history()) == 13


def test_its_backups_are_read_and_taken_back_from(old: Path) -> None:
    """Of the old format, beside those of the new one."""
    with Book(old) as book:
        drop = book.records.parts[SPRING]
        with book.change("took away") as transaction:
            transaction.drop(drop)
        found = copies(book)
        assert all(copy.readable for copy in found)
        oldest_with = [copy for copy in found if DRUM not in copy.differs][-1]
        with ReadOnlyBook.of_file(oldest_with.path) as copy:
            assert copy.records.parts[DRUM] == book.records.parts[DRUM]
        with book.change("note") as transaction:
            transaction.put(replace(transaction.records.parts[DRUM], note="oval"))
        take_part_back(book, oldest_with.path, DRUM)
        assert book.records.parts[DRUM].note == ""
    assert check_book(old).ok


def test_damaged_it_is_recognised_and_mended(old: Path) -> None:
    """A bit tipped over in the old book file is told; the mended book has all that it had."""
    chance = random.Random(1)
    data = (old / "book.json").read_bytes()
    with Book(old) as book:
        whole = book.records.parts
    for _ in range(60):
        folder = old.with_name("trial")
        shutil.copytree(old, folder)
        damaged = bytearray(data)
        damaged[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
        (folder / "book.json").write_bytes(bytes(damaged))
        with pytest.raises((BookDamaged, BookTooNew)) as told, Book(folder):
            pass
        if told.type is BookTooNew:  # the figure of the format cannot be told from a newer book
            shutil.rmtree(folder)
            continue
        report = mend_book(folder)
        assert report.ok, report.problems
        with Book(folder) as book:
            assert book.records.parts == whole
        shutil.rmtree(folder)


def test_without_its_book_file_the_history_brings_it_back(old: Path) -> None:
    """The unsealed lines are enough, and what is made of them is sealed."""
    with Book(old) as book:
        whole = book.records.parts
    (old / "book.json").unlink()
    report = mend_book(old)
    assert report.ok, report.problems
    with Book(old) as book:
        assert book.records.parts == whole
        strip(book, "nut")
    assert schema(old) == 2
    assert check_book(old).ok
