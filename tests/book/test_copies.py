"""Copies of the book: listed with what differs, looked at, taken back from, joined, and in time."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.check import check_book
from tagbench.book.copies import (
    ReadOnlyBook,
    copies,
    find_copy,
    read_copy,
    strangers,
    take_all_back,
    take_part_back,
)
from tagbench.book.joining import Conflict, Side, join_copies
from tagbench.book.rewinding import records_on
from tagbench.errors import BadInput, Refused
from tagbench.records import Bin, Part, Want, replace
from tests.book.conftest import Clock, strip, strip_slowly


@pytest.fixture
def hub(book: Book, clock: Clock) -> Part:
    """A hub in a bag, with a backup of it made before a week of other work."""
    with book.change("bag") as transaction:
        bag = Bin(code=transaction.new_code("BIN"), name="Bag 7")
        transaction.put(bag)
    part = strip_slowly(book, "hub", bin=bag.code)
    clock.on(minutes=11)
    strip_slowly(book, "nut")
    clock.on(days=7)
    return part


def _change(book: Book, code: str, **fields: object) -> None:
    with book.change(f"changed {code}") as transaction:
        transaction.put(replace(transaction.records.parts[code], **fields))


def _drop(book: Book, *codes: str) -> None:
    with book.change("took away") as transaction:
        for code in codes:
            transaction.drop(transaction.records.parts.get(code) or transaction.records.bins[code])


def _holding(book: Book, code: str) -> Path:
    """The newest backup in which that part is."""
    return next(c.path for c in copies(book) if code in read_copy(c.path).tables.parts)


def test_backups_are_listed_with_what_differs(book: Book, hub: Part) -> None:
    """Newest first; a record that is the same as now is not named."""
    _change(book, hub.code, note="cracked")
    found = copies(book)
    assert [copy.revision for copy in found] == sorted((c.revision for c in found), reverse=True)
    newest = next(copy for copy in found if hub.code in read_copy(copy.path).tables.parts)
    assert hub.code in newest.differs
    assert hub.bin not in newest.differs


def test_one_part_from_last_week_is_taken_back_with_its_bag(book: Book, hub: Part) -> None:
    """One change, and one undo takes it out again."""
    path = _holding(book, hub.code)
    _drop(book, hub.code, hub.bin)
    assert take_part_back(book, path, hub.code) == hub
    assert book.records.parts[hub.code] == hub
    assert book.records.bins[hub.bin].name == "Bag 7"
    assert check_book(book.folder).problems == ()
    book.undo()
    assert hub.code not in book.records.parts


def test_the_whole_book_is_taken_back_and_codes_stay_given_out(book: Book, hub: Part) -> None:
    """What came since is gone; its codes are not given out anew."""
    path = _holding(book, hub.code)
    before = read_copy(path).tables
    later = strip(book, "later")
    _change(book, hub.code, note="cracked")
    assert take_all_back(book, path) >= 2
    assert book.records.parts == before.parts
    assert book.records.tags[later.code].kind == "gone"
    assert strip(book, "after").code not in {later.code, *before.parts}
    assert check_book(book.folder).problems == ()


def test_a_backup_is_only_looked_at(book: Book, hub: Part) -> None:
    """Records as they were; a change is refused with the way out, and no file appears."""
    path = find_copy(book, _holding(book, hub.code).name[:14])
    _change(book, hub.code, note="cracked")
    before = sorted(book.folder.rglob("*"))
    with ReadOnlyBook.of_file(path) as copy:
        assert copy.records.parts[hub.code].note == ""
        with pytest.raises(Refused, match="only looked at"), copy.change("x") as transaction:
            transaction.put(replace(hub, note="y"))
    assert sorted(book.folder.rglob("*")) == before


def test_a_name_that_fits_no_backup_is_told(book: Book, hub: Part) -> None:
    """Or several: the whole name is asked for."""
    (book.folder / "backups" / "book-000001-20240101T000000.json").write_text("{}")
    for name, why in (("book-9", "fits no backup"), ("book-", "fits several backups")):
        with pytest.raises(BadInput, match=why):
            find_copy(book, name)


def test_the_book_as_it_stood_on_a_day(book: Book, hub: Part, clock: Clock) -> None:
    """Undone things stand again, later ones are not there yet."""
    then = clock.time.date()
    _change(book, hub.code, note="cracked")
    clock.on(days=3)
    _drop(book, hub.code)
    tables, number = records_on(book, then)
    assert tables.parts[hub.code].note == "cracked"
    assert number == book.revision - 1
    first, _ = records_on(book, date(2024, 5, 4))
    assert first.parts[hub.code].note == ""
    with pytest.raises(BadInput, match="nothing was written"):
        records_on(book, date(2024, 5, 3))


def test_files_of_a_sync_program_are_noticed(book: Book, hub: Part) -> None:
    """Its copies carry the book's name and more."""
    assert strangers(book.folder) == []
    for name in (
        "book (conflicted copy 2026-01-02).json",
        "book.sync-conflict-1.json",
        "notes.txt",
    ):
        (book.folder / name).write_text("{}")
    assert [path.name for path in strangers(book.folder)] == [
        "book (conflicted copy 2026-01-02).json",
        "book.sync-conflict-1.json",
    ]
    assert "another copy" in " ".join(check_book(book.folder).problems)


# Two copies that met


@pytest.fixture
def other(book: Book, hub: Part, tmp_path: Path) -> Path:
    """A copy of the folder, as a stick carries it away."""
    book.checkpoint()
    target = tmp_path / "stick"
    shutil.copytree(book.folder, target)
    return target


def _nobody(conflict: Conflict) -> Side | None:
    return None


def test_what_only_one_copy_changed_is_taken(book: Book, hub: Part, other: Path) -> None:
    """Records of both sides stand in the joined book; the other copy is not touched."""
    nut = next(p for p in book.records.parts.values() if p.name == "nut")
    with Book(other) as there:
        _change(there, nut.code, note="14 mm spanner")
    _change(book, hub.code, note="cracked")
    before = (other / "history.jsonl").read_bytes()
    joined = join_copies(book, other, _nobody)
    assert book.records.parts[nut.code].note == "14 mm spanner"
    assert book.records.parts[hub.code].note == "cracked"
    assert joined.taken == [nut.code]
    assert (other / "history.jsonl").read_bytes() == before
    assert check_book(book.folder).problems == ()


def test_different_fields_of_one_record_are_merged(book: Book, hub: Part, other: Path) -> None:
    """A note here and a position there."""
    with Book(other) as there:
        _change(there, hub.code, position="left")
    _change(book, hub.code, note="cracked")
    assert join_copies(book, other, _nobody).merged == [hub.code]
    assert book.records.parts[hub.code] == replace(hub, note="cracked", position="left")


@pytest.mark.parametrize(("side", "note"), [("this", "cracked"), ("other", "welded")])
def test_the_same_field_is_asked_about(
    book: Book, hub: Part, other: Path, side: Side, note: str
) -> None:
    """Without an answer nothing is joined, and both values are named."""
    with Book(other) as there:
        _change(there, hub.code, note="welded")
    _change(book, hub.code, note="cracked")
    revision = book.revision
    with pytest.raises(Refused, match=f"{hub.code} .*“cracked” here.*“welded” there"):
        join_copies(book, other, _nobody)
    assert book.revision == revision
    assert join_copies(book, other, lambda _: side).chosen == [hub.code]
    assert book.records.parts[hub.code].note == note


def test_a_code_given_out_twice_gets_a_new_one(book: Book, hub: Part, other: Path) -> None:
    """The other's part keeps everything, what names it follows, and its tag is queued again."""
    with Book(other) as there:
        first = strip(there, "kick start lever")
        second = strip(there, "spring", behind=(first.code,))
        with there.change("want") as transaction:
            want = Want(id=transaction.new_id("wants"), machine="TP", what="x", parts=(first.code,))
            transaction.put(want)
    here = strip(book, "chain guard")
    assert here.code == first.code
    joined = join_copies(book, other, _nobody)
    assert book.records.parts[here.code].name == "chain guard"
    lever = next(p for p in book.records.parts.values() if p.name == "kick start lever")
    spring = next(p for p in book.records.parts.values() if p.name == "spring")
    assert joined.renamed == {first.code: lever.code}
    assert spring.code == second.code
    assert spring.behind == (lever.code,)
    assert [w.parts for w in book.records.wants.values()] == [(lever.code,)]
    assert book.records.tags[lever.code].queued is not None
    assert check_book(book.folder).problems == ()


def test_links_that_would_close_a_loop_are_refused(book: Book, hub: Part, other: Path) -> None:
    """Each copy alone was sound; joined they would not be."""
    nut = next(p for p in book.records.parts.values() if p.name == "nut")
    with Book(other) as there:
        _change(there, nut.code, behind=(hub.code,))
    _change(book, hub.code, behind=(nut.code,))
    with pytest.raises(Refused, match="loop"):
        join_copies(book, other, _nobody)


def test_what_is_no_copy_is_refused(book: Book, hub: Part, tmp_path: Path) -> None:
    """Another book, or this one itself."""
    with Book(tmp_path / "else") as stranger:
        strip(stranger, "hub")
    with pytest.raises(BadInput, match="no change in common"):
        join_copies(book, tmp_path / "else", _nobody)
    with pytest.raises(BadInput, match="this book itself"):
        join_copies(book, book.folder, _nobody)


def test_another_copys_history_is_never_replayed(book: Book, hub: Part, other: Path) -> None:
    """The files of two copies mixed in one folder are told, and mending leaves the stranger out."""
    with Book(other) as there:
        _change(there, hub.code, note="welded")
        strip(there, "spring")
    _change(book, hub.code, note="cracked")
    book.checkpoint()
    mine = book.records
    shutil.copy2(other / "history.jsonl", book.folder / "history.jsonl")
    problems = " ".join(check_book(book.folder).problems)
    assert "history.jsonl" in problems
    from tagbench.book.check import mend_book

    said = " ".join(mend_book(book.folder).mended)
    assert "belongs to another copy" in said
    with Book(book.folder) as again:
        assert again.records.parts == mine.parts
