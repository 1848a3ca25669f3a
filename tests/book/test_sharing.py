"""Two programs on one book do not lose each other's changes."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tagbench.book import Book, locking
from tagbench.book.check import check_book
from tagbench.errors import BookError
from tagbench.records import replace
from tests.book.conftest import strip
from tests.book.programs import start


def test_two_programs_writing_at_once_lose_nothing(folder: Path) -> None:
    """Both write as fast as they can; all changes are there, each code given out once."""
    with Book(folder) as book:
        strip(book, "hub")
    programs = [start("strip", folder, name, 60) for name in ("one", "two")]
    codes = [code for program in programs for code in program.communicate()[0].split()]
    assert [program.returncode for program in programs] == [0, 0]
    assert len(codes) == len(set(codes)) == 120
    with Book(folder) as book:
        assert set(codes) < set(book.records.parts)
        assert book.revision == 121
        names = [part.name for part in book.records.parts.values()]
        assert sum(name.startswith("one") for name in names) == 60
    assert check_book(folder).ok


def test_reading_while_another_program_writes_never_sees_damage(folder: Path) -> None:
    """From before its first change on; what is seen only grows."""
    program = start("strip", folder, "busy", 300)
    seen, looks = 0, 0
    with Book(folder) as watching:
        while program.poll() is None:
            with Book(folder) as book:
                assert len(book.records.parts) == book.revision >= seen
                seen, looks = book.revision, looks + 1
            watching.refresh()
            assert watching.revision >= seen
    program.communicate()
    watching.refresh()
    assert watching.revision == 300
    assert looks > 20


def test_a_change_of_another_program_is_seen(book: Book, folder: Path) -> None:
    """`refresh` says whether there was one."""
    strip(book, "hub")
    assert not book.refresh()
    with Book(folder) as other:
        part = strip(other, "nut")
    assert part.code not in book.records.parts
    assert book.refresh()
    assert book.records.parts[part.code] == part
    assert not book.refresh()


def test_a_change_starts_from_what_others_saved(book: Book, folder: Path) -> None:
    """Without asking: both fields survive."""
    part = strip(book, "hub")
    with Book(folder) as other, other.change("side") as transaction:
        transaction.put(replace(transaction.records.parts[part.code], position="left"))
    with book.change("note") as transaction:
        transaction.put(replace(transaction.records.parts[part.code], note="cracked"))
    assert book.records.parts[part.code] == replace(part, position="left", note="cracked")


def test_records_left_alone_by_others_stay_the_same_objects(book: Book, folder: Path) -> None:
    """So that taking in one change of another program is quick."""
    hub, nut = strip(book, "hub"), strip(book, "nut")
    with Book(folder) as other, other.change("note") as transaction:
        transaction.put(replace(transaction.records.parts[nut.code], note="cracked"))
    before = book.records.parts[hub.code]
    book.refresh()
    assert book.records.parts[hub.code] is before
    assert book.records.parts[nut.code].note == "cracked"


def test_a_book_begun_by_another_program_is_seen(book: Book, folder: Path) -> None:
    """Opened while there was none yet."""
    with Book(folder) as other:
        strip(other, "hub")
    assert book.refresh()
    assert strip(book, "nut").code.startswith("TP-002-")


def test_a_book_taken_away_whole_is_an_empty_one(book: Book, folder: Path) -> None:
    """Someone deleted the folder: what is shown then is what is there."""
    strip(book, "hub")
    shutil.rmtree(folder)
    assert book.refresh()
    assert not book.records.parts
    strip(book, "nut")
    assert book.revision == 1
    assert check_book(folder).ok


def test_waiting_for_another_program_ends_with_a_sentence(
    book: Book, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It names the folder and what to do; nothing is changed."""
    strip(book, "hub")
    monkeypatch.setattr(locking, "LOCK_SECONDS", 0.2)
    program = start("hold", folder, 30)
    assert program.stdout is not None
    assert program.stdout.readline().strip() == "holding"
    with pytest.raises(BookError, match="Another program"):
        strip(book, "nut")
    program.kill()
    program.communicate()
    strip(book, "nut")
    assert book.revision == 2
