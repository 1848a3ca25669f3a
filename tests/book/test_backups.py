"""Backups are made now and then, kept long enough, and dropped again."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from tagbench.book import Book
from tagbench.book.backups import KEEP_DAYS, KEEP_NEWEST, backups
from tests.book.conftest import Clock, strip_slowly


def _revisions(folder: Path) -> list[int]:
    return [backup.revision for backup in backups(folder)]


def test_a_backup_is_the_good_book_before_the_change(book: Book, folder: Path) -> None:
    """Whole, sealed, to be opened like a book."""
    strip_slowly(book, "hub")
    before = (folder / "book.json").read_bytes()
    strip_slowly(book, "nut")
    assert [backup.path.read_bytes() for backup in backups(folder)] == [before]


def test_not_every_change_makes_a_backup(book: Book, folder: Path) -> None:
    """Every 25 changes when they come quickly."""
    for number in range(60):
        strip_slowly(book, f"part {number}")
    assert _revisions(folder) == [51, 26, 1]


def test_ten_minutes_make_a_backup(book: Book, folder: Path, clock: Clock) -> None:
    """Also across programs that were started for one command each."""
    for number in range(4):
        with Book(folder, now=clock) as again:
            strip_slowly(again, f"part {number}")
        clock.on(minutes=6)
    assert _revisions(folder) == [3, 1]


def test_the_newest_and_one_a_day_are_kept(book: Book, folder: Path, clock: Clock) -> None:
    """Ten newest, and the last of each day for two weeks."""
    for day in range(30):
        for number in range(4):
            strip_slowly(book, f"part {day} {number}")
            clock.on(hours=1)
        clock.on(hours=20)
    kept = backups(folder)
    assert len(kept) <= KEEP_NEWEST + KEEP_DAYS
    days: dict[date, list[int]] = {}
    for backup in kept:
        days.setdefault(backup.at.date(), []).append(backup.revision)
    last_day = kept[0].at.date()
    assert sorted((last_day - day).days for day in days) == list(range(KEEP_DAYS))
    assert [backup.revision for backup in kept[:KEEP_NEWEST]] == list(range(119, 109, -1))


def test_a_clock_set_back_does_not_stop_backups(book: Book, folder: Path, clock: Clock) -> None:
    """A battery that ran empty puts the clock years back."""
    for number in range(3):
        strip_slowly(book, f"part {number}")
    clock.on(days=-900)
    strip_slowly(book, "after")
    assert len(backups(folder)) == 2


def test_other_files_in_the_folder_are_left_alone(book: Book, folder: Path) -> None:
    """Someone's own copy is no backup of ours and is not dropped."""
    strip_slowly(book, "hub")
    (folder / "backups").mkdir(exist_ok=True)
    own = folder / "backups" / "before-the-rally.json"
    own.write_text("mine")
    for number in range(40):
        strip_slowly(book, f"part {number}")
    assert own.read_text() == "mine"
