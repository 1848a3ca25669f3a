"""Verifying a book, and mending it: plain sentences for the person, a report for programs."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from tagbench.book.backups import backups
from tagbench.book.book import Book
from tagbench.book.copies import strangers
from tagbench.book.damage import broken, told
from tagbench.book.disk import BOOK_FILE
from tagbench.book.history import HISTORY_FILE, History
from tagbench.book.history_check import annals, history_faults
from tagbench.book.integrity import faults
from tagbench.book.locking import BookLock
from tagbench.book.mending import set_right
from tagbench.book.picture_check import mend_pictures, picture_faults, picture_notes
from tagbench.book.retagging import retag
from tagbench.errors import BookDamaged, NotFound


@dataclass(frozen=True)
class Report:
    """What a check found, and what was mended."""

    ok: bool
    """Whether the book is sound now."""
    problems: tuple[str, ...] = ()
    """What is wrong, a sentence each."""
    mended: tuple[str, ...] = ()
    """What was mended and what was lost, a sentence each."""
    notes: tuple[str, ...] = ()
    """What is no fault and may be tidied up, a sentence each."""
    lost: bool = False
    """Whether mending could not bring everything back, or cannot tell that it did."""

    def to_json(self) -> dict[str, Any]:
        """`{"ok", "problems", "mended"}` in plain JSON types."""
        plain = asdict(self)
        return {
            name: list(value) if isinstance(value, tuple) else value
            for name, value in plain.items()
        }


def check_book(folder: Path) -> Report:
    """Verifies the book in a folder and writes nothing.

    Raises `NotFound` when there is no book, `BookTooNew` for a newer one.
    """
    _must_be_there(folder)
    notes: list[str] = []
    try:
        with Book(folder) as book:
            notes = list(picture_notes(book))
            problems = [*_of_files(book), *faults(book.records), *picture_faults(book)]
    except BookDamaged as error:
        problems = [str(error)]
    problems += [
        f"{path.name} is another copy of the book that a program for keeping folders in step "
        "left here; join it with “check --join” or take it out of the folder."
        for path in strangers(folder)
    ]
    problems += [
        f"The backup {path.name} cannot be read whole and would be of no use."
        for path in _bad(folder)
    ]
    return Report(not problems, tuple(problems), notes=tuple(notes))


def mend_book(folder: Path) -> Report:
    """Mends what can be mended without guessing; names what was lost and what is left to do.

    A damaged file is kept in `backups/`. Raises `NotFound`, `BookTooNew`, or `BookError` when
    the folder cannot be written.
    """
    _must_be_there(folder)
    now = datetime.now().astimezone()
    with BookLock(folder).held(), told(folder, "The book was not mended"):
        files = set_right(folder, now)
        mended = list(files.said)
        for path in _bad(folder):
            path.replace(path.with_name(f"damaged-{path.name}"))
            mended.append(f"The unreadable backup {path.name} is now called damaged-{path.name}.")
    with Book(folder) as book:
        mended += retag(book, files.codes, files.lossy)
        mended += mend_pictures(book)
    found = check_book(folder)
    return Report(found.ok, found.problems, tuple(mended), found.notes, files.lossy)


def _must_be_there(folder: Path) -> None:
    traces = (folder / BOOK_FILE, folder / HISTORY_FILE)
    if not any(path.exists() for path in traces) and not backups(folder):
        raise NotFound(f"There is no book in {folder}; give its folder with --book DIR.")


def _bad(folder: Path) -> list[Path]:
    return [backup.path for backup in backups(folder) if broken(backup.path)]


def _of_files(book: Book) -> list[str]:
    """Faults of the history; looked at again when another program saved in the middle of it."""
    while True:
        found = list(history_faults(annals(History(book.folder)), book.header, book.records))
        if not found or not book.refresh():
            return found
