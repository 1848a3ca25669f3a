"""The files of a book: when to read them again, and how a change is made durable."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import msgspec

from tagbench.book.backups import BACKUP_FOLDER, back_up
from tagbench.book.damage import read_book, told
from tagbench.book.durable import put_in_place, sync_folder, write_aside
from tagbench.book.history import History, Tail, decoded, encoded, looks_whole, unreadable
from tagbench.book.layout import END, Header, sealed
from tagbench.book.locking import BookLock
from tagbench.book.shelf import Shelf
from tagbench.records import Change, Tables

BOOK_FILE = "book.json"
ASIDE = "book.json.new"

Identity = tuple[int, int, int, int]
"""What tells one saved state from another: the book's inode, time and size, the history's size."""


class Disk:
    """The folder of a book, and what was last read from it or saved to it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.path = folder / BOOK_FILE
        self.history = History(folder)
        self._aside = folder / ASIDE
        self._shelf = Shelf()
        self._lock = BookLock(folder)
        self._identity: Identity | None = None
        self._in_file = Header()
        self._tail = Tail()

    @property
    def tables(self) -> Tables:
        """The records as last read or saved."""
        return self._shelf.tables

    @property
    def revision(self) -> int:
        """Number of the last change that was read or saved."""
        return self._shelf.header.revision

    @property
    def header(self) -> Header:
        """The header as last read or saved."""
        return self._shelf.header

    @contextmanager
    def locked(self, wait_seconds: float | None = None) -> Iterator[None]:
        """Keeps other programs from changing the book, and takes in what they saved before."""
        with self._lock.held(wait_seconds):
            self.take_in()
            yield

    def take_in(self) -> bool:
        """Reads the book again when its files have changed; True when they had."""
        with told(self.folder, "The book cannot be opened", "read"):
            return self._take_in()

    def _take_in(self) -> bool:
        identity = self._identity_now()
        if identity == self._identity:
            return False
        with read_book(self.folder, self.path) as data:
            if data is None:
                self._shelf, self._in_file, self._tail = Shelf(), Header(), Tail()
            else:
                self._shelf.load(data)
                self._in_file = self._shelf.header
                self._replay()
        self._identity = identity
        return True

    def _replay(self) -> None:
        """Takes in changes that reached the history just before a crash, but not the book."""
        header = self._in_file
        self._tail = self.history.after(header.history, header.revision + 1)
        if not self._tail.changes:
            return
        for change in self._tail.changes:
            self._shelf.apply(change.edits)
        revision = header.revision + len(self._tail.changes)
        self._shelf.keep(msgspec.structs.replace(header, revision=revision, history=self._tail.end))

    def save(self, change: Change) -> None:
        """Makes a change durable; when that fails, files and records stay as they were."""
        with told(self.folder, "The change was not saved"):
            mark = self._shelf.mark()
            try:
                header = self._write(change)
            except BaseException:
                self._shelf.back_to(mark)
                with suppress(OSError):
                    self._aside.unlink(missing_ok=True)
                raise
        self._shelf.keep(header)
        self._in_file = header
        self._tail = Tail(end=header.history)
        self._identity = self._identity_now()
        with suppress(OSError):  # the flushed line in the history outlasts a power cut by itself
            sync_folder(self.folder)

    def _write(self, change: Change) -> Header:
        """Book aside, line into the history, book in place: in that order."""
        self._prepare(f"{change.at:%Y%m%dT%H%M%S}-{change.number}")
        back_up(self.path, self._in_file.revision, change.at)
        line = encoded(change)
        start = self._tail.end
        header = msgspec.structs.replace(
            self._shelf.header,
            revision=change.number,
            history=start + len(line),
            first=self._shelf.header.first if start else change.number,
        )
        self._shelf.apply(change.edits)
        self._shelf.commit_aside(self._aside, header)
        self.history.add(line)
        try:
            put_in_place(self._aside, self.path)
        except BaseException:
            self.history.take_off(start)
            raise
        return header

    def _prepare(self, stamp: str) -> None:
        """A first book for the history to lean on; leftovers of a crash set aside."""
        if not self.path.exists():
            write_aside(self._aside, sealed(Header(), [END]))
            put_in_place(self._aside, self.path)
            sync_folder(self.folder)
        if self._tail.torn:
            torn = self.folder / BACKUP_FOLDER / f"torn-{stamp}.jsonl"
            self.history.set_aside(self._tail.end, torn)
        elif self.history.size() < self._tail.end:
            self.history.set_aside(0, self.folder / BACKUP_FOLDER / f"history-{stamp}.jsonl")
            self._tail = Tail()

    def changes(self, key: str = "") -> Iterator[Change]:
        """The history, newest change first; it ends with a word about a line that is damaged.

        With a key, changes that do not even mention it are left out.
        """
        number, named = self.revision, key.encode()
        for start, line in self.history.backwards():
            if start >= self._tail.end or (named not in line and looks_whole(line)):
                continue
            change = decoded(line)
            if change is None:
                yield unreadable(number)
                return
            number = max(change.number - 1, 1)
            yield change

    def _identity_now(self) -> Identity:
        try:
            stat = self.path.stat()
        except FileNotFoundError:
            return 0, 0, 0, self.history.size()
        return stat.st_ino, stat.st_mtime_ns, stat.st_size, self.history.size()
