"""The check finds what cannot be right in the records and says it in sentences."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagbench.book import Book, Transaction
from tagbench.book.check import check_book
from tagbench.records import Bin, Part, Photo, Setting, Tag, Want, replace
from tests.book.conftest import put_part, strip


def _problems(book: Book) -> str:
    report = check_book(book.folder)
    assert report.ok == (not report.problems)
    assert all(line.endswith(".") and "\n" not in line for line in report.problems)
    return "\n".join(report.problems)


def test_a_sound_book_has_no_problems(book: Book) -> None:
    """With a part behind another, a bin in a bin, a want and a setting."""
    with book.change("all kinds") as transaction:
        shelf = Bin(code=transaction.new_code("BIN"), name="Shelf A", kind="shelf")
        bag = Bin(code=transaction.new_code("BIN"), name="Bag 1", kept_in=shelf.code)
        transaction.put(shelf)
        transaction.put(bag)
        nut = put_part(transaction, "axle nut", bin=bag.code)
        put_part(transaction, "wheel", behind=(nut.code,))
        transaction.put(
            Want(id=transaction.new_id("wants"), machine="TP", what="nut", parts=(nut.code,))
        )
        transaction.put(
            Setting(id=transaction.new_id("settings"), machine="TP", what="chain slack")
        )
        transaction.put(replace(transaction.records.desk, machine="TP"))
    assert _problems(book) == ""


def _loop(transaction: Transaction) -> None:
    a, b = put_part(transaction, "hub"), put_part(transaction, "drum")
    transaction.put(replace(a, behind=(b.code,)))
    transaction.put(replace(b, behind=(a.code,)))


def _bin_loop(transaction: Transaction) -> None:
    a, b, c = (Bin(code=transaction.new_code("BIN"), name=name) for name in "ABC")
    for inner, outer in ((a, b), (b, c), (c, b)):
        transaction.put(replace(inner, kept_in=outer.code))


def _lonely_tag(transaction: Transaction) -> None:
    transaction.new_code("TP")


def _wrong_tag(transaction: Transaction) -> None:
    part = put_part(transaction, "hub")
    transaction.set("tags", part.code, Tag(code=part.code, kind="spare"))


def _photo(name: str) -> object:
    def put(transaction: Transaction) -> None:
        put_part(transaction, "hub", photos=(Photo(file=name),))

    return put


@pytest.mark.parametrize(
    ("breaking", "told"),
    [
        (
            lambda transaction: put_part(transaction, "hub", behind=("TP-009-1",)),
            "TP-009-1, which is not in",
        ),
        (
            lambda transaction: put_part(transaction, "hub", bin="BIN-009-0"),
            "BIN-009-0, which is not in",
        ),
        (_loop, "is behind drum"),
        (_bin_loop, "kept in each other in a loop: BIN-"),
        (_lonely_tag, "no part has that code"),
        (_wrong_tag, "a tag that says spare"),
        (_photo("TP-002-L-1.jpg"), "TP-002-L-1.jpg of TP-002-L is missing"),
        (_photo("../elsewhere.jpg"), "outside of the photos folder"),
        (lambda transaction: transaction.set("machines", "TP", None), "no machine has it"),
        (
            lambda transaction: transaction.put(
                Bin(code=transaction.new_code("BIN"), name="Bag", kept_in="BIN-009-0")
            ),
            "kept in BIN-009-0, which",
        ),
        (
            lambda transaction: transaction.put(
                Want(id=1, machine="TP", what="nut", parts=("TP-009-1",))
            ),
            "The want 1 names TP-009-1",
        ),
        (
            lambda transaction: transaction.put(Want(id=1, machine="XX", what="nut")),
            "for the machine XX",
        ),
        (
            lambda transaction: transaction.put(Want(id=7, machine="TP", what="nut")),
            "counter of the wants",
        ),
        (
            lambda transaction: transaction.put(replace(transaction.records.desk, machine="XX")),
            "chosen machine XX",
        ),
        (
            lambda transaction: transaction.set(
                "parts", "TP-017-X", Part(code="TP-017-X", name="hub")
            ),
            "The code TP-017-X cannot be right",
        ),
    ],
)
def test_each_fault_is_found(book: Book, breaking: object, told: str) -> None:
    """One fault at a time in a book that is sound otherwise."""
    strip(book, "sound part")
    assert _problems(book) == ""
    assert callable(breaking)
    with book.change("break it") as transaction:
        breaking(transaction)
    assert told in _problems(book)


def test_a_bin_loop_is_told_once(book: Book) -> None:
    """Though the bag inside it runs into it as well."""
    with book.change("break it") as transaction:
        _bin_loop(transaction)
    assert len(check_book(book.folder).problems) == 1


def test_checking_writes_nothing(book: Book, folder: Path) -> None:
    """It may run on a read-only folder."""
    strip(book, "hub")
    before = {path: path.stat().st_mtime_ns for path in folder.rglob("*")}
    check_book(folder)
    assert before == {path: path.stat().st_mtime_ns for path in folder.rglob("*")}


def test_a_history_that_tells_another_story_is_found(book: Book, folder: Path) -> None:
    """Whether `book.json` has followed the altered change or not."""
    part = strip(book, "hub")
    with book.change("note") as transaction:
        transaction.put(replace(part, note="cracked"))
    path = folder / "history.jsonl"
    whole = path.read_bytes()
    path.write_bytes(whole.replace(b"cracked", b"chipped"))
    assert "change 2 in it is damaged" in _problems(book)
    path.write_bytes(whole)
    book.checkpoint()
    path.write_bytes(whole.replace(b'"hub"', b'"HUB"', 1))
    assert "was altered" in _problems(book)
    assert "Line 1 of history.jsonl cannot be read" in _problems(book)
