"""A change is saved whole and read back equal."""

from __future__ import annotations

import json
import threading
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tinydb import TinyDB, where

from tagbench.book import Book
from tagbench.errors import BadInput
from tagbench.records import Bin, Fastener, Part, Want, replace
from tests.book.conftest import Clock, strip


def test_nothing_is_written_before_the_first_change(folder: Path) -> None:
    """Opening a book that is not there yet makes no folder."""
    with Book(folder) as book:
        assert book.revision == 0
        assert not book.records.parts
    assert not folder.exists()


def test_a_change_without_edits_writes_nothing(book: Book, folder: Path) -> None:
    """A transaction that puts back what was there is no change."""
    part = strip(book, "hub nut")
    before = (folder / "book.json").read_bytes()
    with book.change("looked") as transaction:
        transaction.put(replace(part, name="other"))
        transaction.put(part)
    assert book.revision == 1
    assert (folder / "book.json").read_bytes() == before


def test_a_saved_record_is_read_back_equal(book: Book, folder: Path) -> None:
    """Every kind of value survives: text in any script, figures, times with offset."""
    part = strip(
        book,
        "Bremsbacke ½ – тормоз",
        assembly="Front wheel / Brake",
        fasteners=(Fastener(quantity=4, thread="M5x0.8", length=12.5, head="pan"),),
        removed=datetime(2024, 5, 4, 19, 30, tzinfo=UTC),
        note='He said "left" \\ \n next line   end',
    )
    with Book(folder) as again:
        assert again.records.parts[part.code] == part
        assert again.records == book.records
        assert again.revision == book.revision == 1


def test_the_file_holds_one_readable_record_a_line(book: Book, folder: Path) -> None:
    """Names stand in the file as they are typed, not as escapes."""
    strip(book, "Bremsbacke ü")
    strip(book, "тормоз")
    book.checkpoint()
    lines = (folder / "book.json").read_text(encoding="utf-8").splitlines()
    assert sum("Bremsbacke ü" in line for line in lines) == 1
    assert sum("тормоз" in line for line in lines) == 1


def test_stock_tinydb_reads_the_file(book: Book, folder: Path) -> None:
    """The top level is TinyDB's: table, document number, record."""
    part = strip(book, "hub nut")
    book.checkpoint()
    with TinyDB(folder / "book.json", access_mode="r") as db:
        found = db.table("parts").search(where("name") == "hub nut")
        assert [document["code"] for document in found] == [part.code]
        assert db.table("book").all()[0]["revision"] == 1


def test_an_error_inside_a_change_saves_nothing(book: Book, folder: Path) -> None:
    """A change that does not end well leaves no trace in memory or on disk."""
    strip(book, "hub nut")
    before = (folder / "book.json").read_bytes(), (folder / "history.jsonl").read_bytes()
    records = book.records
    with pytest.raises(ZeroDivisionError), book.change("broke") as transaction:
        transaction.put(Part(code=transaction.new_code("TP"), name="half done"))
        raise ZeroDivisionError
    assert book.records is records
    assert before == ((folder / "book.json").read_bytes(), (folder / "history.jsonl").read_bytes())


def test_records_cannot_be_changed_in_place(book: Book) -> None:
    """What leaves the book is frozen, tables included."""
    part = strip(book, "hub nut")
    with pytest.raises(TypeError):
        book.records.parts[part.code] = part  # type: ignore[index]
    with pytest.raises(AttributeError):
        part.name = "other"  # type: ignore[misc]


def test_a_snapshot_does_not_move_under_its_reader(book: Book) -> None:
    """Tables handed out before a change still show the state before it."""
    before = book.records
    strip(book, "hub nut")
    assert not before.parts
    assert len(book.records.parts) == 1


def test_a_bad_field_is_named_with_its_path(book: Book) -> None:
    """Constructors do not validate; putting does, before anything is written."""
    bad = Part(code="TP-001-N", name="hub", fasteners=(Fastener(quantity=1), Fastener(quantity=0)))
    with (
        pytest.raises(BadInput, match=r"parts TP-001-N: fasteners\[1\]\.quantity: expected"),
        book.change("bad") as transaction,
    ):
        transaction.put(bad)
    assert book.revision == 0


@pytest.mark.parametrize("bad", ["\ud800", float("nan")])
def test_what_json_cannot_hold_is_refused(book: Book, bad: object) -> None:
    """Half a surrogate pair and not-a-number would not come back as they went in."""
    field = "note" if isinstance(bad, str) else "fasteners"
    value = bad if isinstance(bad, str) else (Fastener(length=bad),)  # type: ignore[arg-type]
    with pytest.raises(BadInput), book.change("bad") as transaction:
        transaction.put(Part(code=transaction.new_code("TP"), name="hub", **{field: value}))  # type: ignore[arg-type]
    assert book.revision == 0


def test_revision_grows_and_counts_changes(book: Book) -> None:
    """Screens compare it to see whether something happened."""
    seen = [book.revision]
    for name in ("hub", "nut", "washer"):
        strip(book, name)
        seen.append(book.revision)
    assert seen == [0, 1, 2, 3]


def test_all_tables_come_back(book: Book, folder: Path) -> None:
    """Bins, wants and the desk are stored like parts."""
    with book.change("set up") as transaction:
        shelf = Bin(code=transaction.new_code("BIN"), name="Shelf A", kind="shelf")
        transaction.put(shelf)
        want = Want(id=transaction.new_id("wants"), machine="TP", what="cotter pin 3.2x32")
        transaction.put(want)
        transaction.put(replace(transaction.records.desk, theme="light"))
    with Book(folder) as again:
        assert again.records.bins == {shelf.code: shelf}
        assert again.records.wants == {"1": want}
        assert again.records.desk.theme == "light"


def test_dropped_records_leave_the_file(book: Book, folder: Path) -> None:
    """Only the tag of a part that was taken away stays."""
    part = strip(book, "hub nut")
    with book.change("took away") as transaction:
        transaction.drop(part)
    book.checkpoint()
    stored = json.loads((folder / "book.json").read_text(encoding="utf-8"))
    assert "parts" not in stored
    assert stored["tags"]["1"] == {"code": part.code, "kind": "gone"}


def test_threads_of_one_program_take_turns(book: Book) -> None:
    """The phone page and the screens share one book."""

    def work(name: str) -> None:
        for number in range(10):
            strip(book, f"{name} {number}")

    threads = [threading.Thread(target=work, args=(name,)) for name in "abcd"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(book.records.parts) == 40
    assert book.revision == 40


def test_a_change_inside_a_change_is_a_mistake(book: Book) -> None:
    """It would save the inner one under the outer one's feet."""
    with pytest.raises(RuntimeError), book.change("outer"), book.change("inner"):
        pass


def test_words_may_be_set_late_and_are_cut_when_too_long(book: Book, clock: Clock) -> None:
    """A name of 400 letters does not stop a change from being saved."""
    with book.change() as transaction:
        part = Part(code=transaction.new_code("TP"), name="x" * 400)
        transaction.put(part)
        transaction.words = f"took off {part.name}"
    change = book.history()[0]
    assert len(change.words) == 400
    assert change.words.endswith("…")
    assert change.at == clock.time
