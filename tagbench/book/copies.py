"""Copies of the book: which there are, what differs in them, and taking something back from one."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from tagbench.book.backups import BACKUP_FOLDER, backups
from tagbench.book.book import Book
from tagbench.book.damage import memory_of, told, too_new
from tagbench.book.disk import BOOK_FILE
from tagbench.book.history import HISTORY_FILE
from tagbench.book.integrity import faults
from tagbench.book.memory import Memory
from tagbench.book.rewinding import records_on
from tagbench.book.transaction import Transaction
from tagbench.book.typed import rows_of
from tagbench.errors import BadInput, BookDamaged, BookTooNew, Refused
from tagbench.records import Bin, Part, Record, Tables
from tagbench.rules.describe.difference import WRITTEN, Difference, differences, record_name
from tagbench.rules.describe.phrases import day, moment

_CONFLICT = re.compile(r"^(book|history)\b.*\.(json|jsonl)$", re.IGNORECASE)
_OURS = {BOOK_FILE, HISTORY_FILE}
BEGINS = b'{"book": '
"""The first bytes of every book file."""


@dataclass(frozen=True)
class Copy:
    """A backup of the book."""

    name: str
    """File name in the folder of backups."""
    path: Path
    """Where it is."""
    revision: int
    """Number of the last change in it."""
    at: datetime
    """When it was made, local time."""
    readable: bool
    """Whether it can be read whole."""
    differs: tuple[str, ...]
    """Keys of the records that are different now, were taken away or came since."""


def copies(book: Book) -> list[Copy]:
    """All backups, newest first, with what differs from the book as it is now."""
    found = []
    for backup in backups(book.folder):
        memory = memory_of(backup.path)
        differs = differences(memory.tables, book.records) if memory else ()
        found.append(
            Copy(
                backup.path.name,
                backup.path,
                backup.revision,
                backup.at,
                memory is not None,
                tuple(one.key for one in differs),
            )
        )
    return found


def read_copy(path: Path) -> Memory:
    """The records in a book file, whatever its name and place.

    Raises `BadInput` when there is no such file, `BookDamaged` or `BookTooNew` when it is no
    sound book file.
    """
    if not path.is_file():
        raise BadInput(f"There is no file {path}; the command backups lists the copies.")
    with told(path.parent, "The copy cannot be opened", "read"), path.open("rb") as file:
        begins = file.read(len(BEGINS))
    if begins != BEGINS:
        raise BadInput(f"{path} is not a copy of a book; `backups` lists those there are.")
    memory = Memory()
    try:
        with told(path.parent, "The copy cannot be opened", "read"):
            memory.load(path.read_bytes())
    except BookDamaged as error:
        raise BookDamaged(
            f"{path} is damaged ({error}) and was not touched; choose another copy: the command "
            "backups lists them."
        ) from error
    except BookTooNew as error:
        raise too_new(path, error) from error
    return memory


def differing(book: Book, path: Path) -> tuple[Tables, list[Difference]]:
    """The records of a copy, and how they differ from the book as it is now.

    Raises as `read_copy`.
    """
    tables = read_copy(path).tables
    return tables, list(differences(tables, book.records))


def find_copy(book: Book, name: str) -> Path:
    """A backup by its file name or a part of it, or any path; `BadInput` when it is not clear."""
    named = Path(name)
    if named.is_file():
        return named
    matches = [backup.path for backup in backups(book.folder) if name in backup.path.name]
    if len(matches) == 1:
        return matches[0]
    what = "fits several backups" if matches else "fits no backup"
    raise BadInput(f"“{name}” {what} in {book.folder / BACKUP_FOLDER}; give the whole file name.")


def take_part_back(book: Book, path: Path, code: str) -> Record:
    """Puts one part or bin back as it is in a copy, as one change.

    The bins that it is kept in come with it where they are gone. Raises `BadInput` when the copy
    does not hold it, `Refused` when the book would not agree with itself.
    """
    tables = read_copy(path).tables
    return take_record_back(book, path, "parts" if code in tables.parts else "bins", code)


def take_record_back(book: Book, path: Path, table: str, key: str) -> Record:
    """Puts one record of any table back as it is in a copy; else as `take_part_back`."""
    tables = read_copy(path).tables
    record = rows_of(tables)[table].get(key)
    if record is None:
        raise BadInput(f"{path.name} holds no {key}; the command backups shows what differs.")
    with book.change(f"took {record_name(record)} ({key}) back from {path.name}") as transaction:
        before = set(faults(transaction.records))
        if isinstance(record, Part | Bin):
            for missing in _bins_of(record, tables, transaction):
                transaction.put_back(missing)
        transaction.put_back(record)
        _refuse_new_faults(transaction, before, key)
    return record


def take_all_back(book: Book, path: Path) -> int:
    """Puts the whole book back as it is in a copy, as one change that can be undone.

    Codes given out since stay given out. Gives the number of records that were changed.
    """
    tables = read_copy(path).tables
    with book.change(f"took the whole book back from {path.name}") as transaction:
        before = set(faults(transaction.records))
        count = 0
        wanted = rows_of(tables)
        for table in WRITTEN:
            now = dict(transaction.records_by(table))
            for key, record in now.items():
                if key not in wanted[table]:
                    transaction.drop(record)
                    count += 1
            for key, record in wanted[table].items():
                if now.get(key) != record:
                    transaction.put_back(record)
                    count += 1
        _refuse_new_faults(transaction, before, "the whole book")
    return count


def strangers(folder: Path) -> list[Path]:
    """Files beside the book that a program for keeping folders in step made of another copy."""
    if not folder.is_dir():
        return []
    return sorted(
        path
        for path in folder.iterdir()
        if path.is_file() and path.name not in _OURS and _CONFLICT.match(path.name)
    )


def _bins_of(record: Part | Bin, tables: Tables, transaction: Transaction) -> Iterable[Bin]:
    """The bins around a record that are in the copy and gone from the book, outermost first."""
    around: list[Bin] = []
    code = record.bin if isinstance(record, Part) else record.kept_in
    while code and code not in transaction.records.bins and code in tables.bins:
        around.append(tables.bins[code])
        code = tables.bins[code].kept_in
    return reversed(around)


def _refuse_new_faults(transaction: Transaction, before: set[str], what: str) -> None:
    new = [fault for fault in faults(transaction.records) if fault not in before]
    if new:
        raise Refused(f"{what} cannot be taken back as it was: {new[0]}")


class ReadOnlyBook(Book):
    """Records that are looked at and never changed: a copy, or the book as it stood on a day."""

    def __init__(
        self, tables: Tables, revision: int, photos: Path, looked_at: str, refusal: str
    ) -> None:
        super().__init__(photos.parent / ".looked-at")
        self._tables, self._revision = tables, revision
        self._photos, self._looked_at, self._refusal = photos, looked_at, refusal

    @classmethod
    def of_file(cls, path: Path) -> ReadOnlyBook:
        """A single book file; raises as `read_copy`."""
        memory = read_copy(path)
        parent = path.parent
        around = parent.parent if parent.name == BACKUP_FOLDER else parent
        refusal = (
            f"{path.name} is a copy and is only looked at; to take something back from it, use "
            "Backups (Ctrl+G) or the command backups on the book itself."
        )
        made = next((one.at for one in backups(around) if one.path.name == path.name), None)
        words = f"the copy of {moment(made)}" if made else path.name
        return cls(memory.tables, memory.header.revision, around / "photos", words, refusal)

    @classmethod
    def of_day(cls, book: Book, on: date) -> ReadOnlyBook:
        """The book as it stood at the end of a day; raises as `records_on`."""
        tables, revision = records_on(book, on)
        refusal = f"The book as it stood on {on} is only looked at; leave --on out to change it."
        return cls(tables, revision, book.photos, f"the book as it stood on {day(on)}", refusal)

    @property
    def records(self) -> Tables:
        """The records that are looked at."""
        return self._tables

    @property
    def revision(self) -> int:
        """Number of the last change in them."""
        return self._revision

    @property
    def looked_at(self) -> str:
        """What it is: `the copy of 9 Mar 2026, 18:30`."""
        return self._looked_at

    @property
    def photos(self) -> Path:
        """The pictures stay with the book that this is a copy of."""
        return self._photos

    def refresh(self) -> bool:
        """What is only looked at does not change."""
        return False

    @contextmanager
    def _exclusive(self) -> Iterator[None]:
        yield from ()
        raise Refused(self._refusal)
