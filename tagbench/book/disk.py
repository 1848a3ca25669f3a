"""The files of a book: when to read them again, and how a change is made durable.

A change is saved when its line in the history is flushed to the disk. `book.json` follows when
there is time (`checkpoint`), and is brought up to date from the history when it is opened.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path

import msgspec

from labels.atomic_write import atomic_write, put_in_place
from tagbench.book.damage import read_book, reading_history, told
from tagbench.book.durable import sync_folder
from tagbench.book.history import (
    History,
    Tail,
    change_of_line,
    encoded,
    first_seal,
    line_of,
    looks_whole,
    unreadable,
)
from tagbench.book.history_end import HistoryEnd
from tagbench.book.layout import SCHEMA, UNSEALED_SCHEMA, Header, header_in
from tagbench.book.locking import BookLock
from tagbench.book.memory import Memory
from tagbench.errors import BookDamaged
from tagbench.records import Change, Record, Tables

BOOK_FILE = "book.json"
NEW_BOOK_FILE = "book.json.new"
NEXT = "book.json.next"
NOT_FOLLOWED = "Everything is saved in history.jsonl, but book.json was not brought up to date"
LATEST = 50
"""After so many changes `book.json` follows the history, busy hands or not."""

Identity = tuple[int, int, int, int, int]
"""What tells one saved state from another: inode, time and size of the book, inode and size of
the history."""


class _Snapshot(msgspec.Struct, frozen=True):
    """A book file to be: what it holds, and the history that it belongs to."""

    header: Header
    rows: Mapping[str, Mapping[str, Record]]
    history: int
    """Inode of the history file."""


class Disk:
    """The folder of a book, and what was last read from it or saved to it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.path = folder / BOOK_FILE
        self.history = History(folder)
        self.waiting = 0
        """Changes in the history that are not in `book.json` yet."""
        self.latest = LATEST
        """After so many of them a save brings `book.json` up to date by itself."""
        self._new = folder / NEW_BOOK_FILE
        self._next = folder / NEXT
        self._history_end = HistoryEnd(folder)
        self._memory = Memory()
        self._lock = BookLock(folder)
        self._identity: Identity | None = None
        self._in_file = Header()
        self._tail = Tail()

    @property
    def tables(self) -> Tables:
        """The records as last read or saved."""
        return self._memory.tables

    @property
    def revision(self) -> int:
        """Number of the last change that was read or saved."""
        return self._memory.header.revision

    @property
    def header(self) -> Header:
        """The header of the records as they are in memory."""
        return self._memory.header

    @contextmanager
    def locked(self, wait_seconds: float | None = None) -> Iterator[None]:
        """Keeps other programs from changing the book, and takes in what they saved before."""
        with self._lock.held(wait_seconds):
            self.take_in()
            yield

    # Reading

    @property
    def is_behind(self) -> bool:
        """Whether the files are not those that were last read or saved; a look at each, no more."""
        return self._identity is not None and self._identity_now() != self._identity

    def take_in(self) -> bool:
        """Reads what another program saved; True when there was something."""
        with told(self.folder, "The book cannot be opened", "read"):
            identity = self._identity_now()
            if identity == self._identity:
                return False
            before = self.revision, self._identity is None
            if not (self._identity and self._goes_on(identity)):
                self._read_all()
            self._identity = identity
            return before != (self.revision, False)

    def _goes_on(self, identity: Identity) -> bool:
        """Whether it was enough to take in what the history has grown by."""
        assert self._identity is not None
        *_, known_history, known_size = self._identity
        *_, history, size = identity
        if not known_size or history != known_history or size < self._tail.end:
            return False
        with reading_history(self.folder):
            tail = self.history.after(
                self._tail.end, self.revision + 1, self._tail.seal, self._tail.checksum
            )
        if tail.fault:
            return False
        if not tail.changes and identity[:3] != self._identity[:3] and not self._is_ours():
            return False
        self._follow(tail)
        return True

    def _is_ours(self) -> bool:
        """Whether another program only brought `book.json` up to a change that is known here."""
        with read_book(self.folder, self.path) as data:
            header = Header() if data is None else header_in(data)
        if header.revision > self.revision or header.first != self._memory.header.first:
            return False
        self._in_file = header
        self.waiting = self.revision - header.revision
        return header.revision < self.revision or header.chain == self._tail.seal

    def _read_all(self) -> None:
        with read_book(self.folder, self.path) as data:
            self._memory, self._in_file, self._tail = Memory(), Header(), Tail()
            self.waiting = 0
            if data is None:
                return
            memory = Memory()
            memory.load(data)
        header, marked = memory.header, self._history_end.read()
        with reading_history(self.folder):
            if header.schema == UNSEALED_SCHEMA:
                tail = self._unsealed_tail(header)
            else:
                header = msgspec.structs.replace(header, fault=header.fault or self._fault(header))
                memory.header = header
                tail = self.history.after(
                    header.history, header.revision + 1, header.chain, header.checksum
                )
            if tail.fault and header.fault:
                tail = _tail_by_number(self.history, header.revision)
            if tail.fault:
                raise BookDamaged(tail.fault)
            self._memory, self._in_file = memory, header
            self._follow(tail)
            if marked > self.revision and not header.fault:
                from tagbench.book.history_check import changes_words

                lost = changes_words(list(range(self.revision + 1, marked + 1)))
                raise BookDamaged(f"{lost[:1].lower()}{lost[1:]} should stand at its end")

    def _fault(self, header: Header) -> str:
        """What is wrong with the part of the history that the book file vouches for."""
        size, changes = self.history.size(), f"changes {header.first} to {header.revision}"
        if header.revision < header.first:
            return ""
        if size < header.history:
            what = "cut short" if size else "gone"
            return f"the file history.jsonl is {what}, so {changes} can no longer be taken back"
        if self.history.checksum(header.history) != header.checksum:
            return f"the file history.jsonl was altered, so {changes} may no longer be taken back"
        return ""

    def _unsealed_tail(self, header: Header) -> Tail:
        """The changes behind a book file of the oldest format, wherever their lines stand."""
        changes: list[Change] = []
        end = torn = 0
        seal = first_seal(header.first)
        for text in self.history.texts():
            line, start = line_of(text), end
            end += len(text) + 1
            change = line.change
            if change is None:
                torn = len(text)
                end = start
                break
            seal = line.seal or seal
            if change.number == header.revision + len(changes) + 1:
                changes.append(change)
        return Tail(changes, end, seal, 0, torn)

    def _follow(self, tail: Tail) -> None:
        for change in tail.changes:
            self._memory.apply(change.edits)
        header = self._memory.header
        self._tail = tail
        self._memory.header = msgspec.structs.replace(
            header,
            revision=header.revision + len(tail.changes),
            history=tail.end,
            chain=tail.seal,
            checksum=tail.checksum,
        )
        self.waiting = self.revision - self._in_file.revision

    # Saving

    def save(self, change: Change, changed: Mapping[str, Mapping[str, Record]]) -> None:
        """Makes a change durable; when that fails, files and records stay as they were.

        `changed` are the tables that it touched, whole. The caller holds the lock.
        """
        with told(self.folder, "The change was not saved"):
            self._prepare(change)
            line, seal = encoded(change, self._tail.seal)
            self.history.add(line)
        self._memory.take(changed)
        end = self._tail.end + len(line)
        checksum = zlib.crc32(line, self._tail.checksum)
        self._tail = Tail(end=end, seal=seal, checksum=checksum)
        self._memory.header = msgspec.structs.replace(
            self._memory.header,
            revision=change.number,
            history=end,
            chain=seal,
            checksum=checksum,
        )
        self.waiting += 1
        self._history_end.write(change.number)
        self._identity = self._identity_now()
        if self.waiting >= self.latest:
            with suppress(OSError):  # it is in the history; the next change tries again
                self._put(self._snapshot(), change.at)

    def _prepare(self, change: Change) -> None:
        """A book for the history to lean on; leftovers of a crash set aside."""
        from tagbench.book.backups import BACKUP_FOLDER, keep_now

        stamp = f"{change.at:%Y%m%dT%H%M%S}-{change.number}"
        place = self.folder / BACKUP_FOLDER
        if self._memory.header.schema == UNSEALED_SCHEMA:
            self._seal_history(stamp, change.at)
        elif not self.path.exists():
            self._begin_history(change.number)
            self._put(self._snapshot(), change.at)
        elif self._tail.torn:
            self.history.set_aside(self._tail.end, place / f"torn-{stamp}.jsonl")
        elif self.history.size() < self._tail.end:
            self.history.set_aside(0, place / f"history-{stamp}.jsonl")
            self._begin_history(change.number)
            self._put(self._snapshot(), change.at)
            keep_now(self.path, self.revision, change.at)

    def _begin_history(self, number: int) -> None:
        self._tail = Tail(seal=first_seal(number))
        self._memory.header = msgspec.structs.replace(
            self._memory.header, history=0, checksum=0, first=number, chain=self._tail.seal
        )

    def _seal_history(self, stamp: str, at: datetime) -> None:
        """Brings a book of the oldest format up to this one: every line of its history sealed."""
        from tagbench.book.backups import BACKUP_FOLDER

        header = self._memory.header
        changes = [change_of_line(text) for text in self.history.texts()]
        known = [change for change in changes if change is not None]
        place = self.folder / BACKUP_FOLDER / f"history-{stamp}.jsonl"
        if [change.number for change in known] != list(range(header.first, self.revision + 1)):
            self.history.set_aside(0, place)
            known = []
            header = msgspec.structs.replace(header, first=self.revision + 1)
        seal, pieces = first_seal(header.first), []
        for change in known:
            line, seal = encoded(change, seal)
            pieces.append(line)
        with atomic_write(self.history.path) as file:
            file.writelines(pieces)
        whole = b"".join(pieces)
        self._tail = Tail(end=len(whole), seal=seal, checksum=zlib.crc32(whole))
        self._memory.header = msgspec.structs.replace(
            header,
            schema=SCHEMA,
            revision=self.revision,
            history=len(whole),
            chain=seal,
            checksum=self._tail.checksum,
        )
        self._put(self._snapshot(), at)

    # book.json follows

    def snapshot(self) -> _Snapshot | None:
        """What `book.json` should hold; None when it holds that already."""
        return self._snapshot() if self.waiting else None

    def _snapshot(self) -> _Snapshot:
        return _Snapshot(self._memory.header, self._memory.rows, self._identity_now()[3])

    def write_next(self, snapshot: _Snapshot) -> None:
        """Writes the book file to be beside the one that is; needs no lock, as it changes nothing.

        Raises `BookError` when it cannot be written.
        """
        from tagbench.book.storage import write_book

        with told(self.folder, NOT_FOLLOWED):
            write_book(self._next, snapshot.header, snapshot.rows)

    def put_next(self, snapshot: _Snapshot, at: datetime) -> None:
        """Puts what `write_next` wrote in place, unless another program went further meanwhile.

        The caller holds the lock. Raises `BookError` when that fails.
        """
        with told(self.folder, NOT_FOLLOWED):
            if self._identity_now()[3] == snapshot.history:
                self._put_in_place(self._next, snapshot, at)
            self._next.unlink(missing_ok=True)

    def _put(self, snapshot: _Snapshot, at: datetime) -> None:
        from tagbench.book.storage import write_book

        try:
            write_book(self._new, snapshot.header, snapshot.rows)
            self._put_in_place(self._new, snapshot, at)
        except BaseException:
            with suppress(OSError):
                self._new.unlink(missing_ok=True)
            raise

    def _put_in_place(self, written: Path, snapshot: _Snapshot, at: datetime) -> None:
        if snapshot.header.revision < self._in_file.revision:
            return
        from tagbench.book.backups import back_up

        back_up(self.path, self._in_file.revision, at)
        put_in_place(written, self.path)
        sync_folder(self.folder)
        self._in_file = snapshot.header
        self.waiting = self.revision - snapshot.header.revision
        self._identity = self._identity_now()

    def changes(self, key: str = "", *, whole: bool = True) -> Iterator[Change]:
        """The history, newest change first; it ends with a word about a line that is damaged.

        With a key, changes that do not even mention it are left out, and unless they are wanted
        `whole` such edits too.
        """
        number, named = self.revision, key.encode()
        for start, line in self.history.backwards():
            if start >= self._tail.end or (named not in line and looks_whole(line)):
                continue
            change = change_of_line(line, "" if whole else key)
            if change is None:
                yield unreadable(number)
                return
            number = max(change.number - 1, 1)
            yield change

    def _identity_now(self) -> Identity:
        try:
            stat = self.path.stat()
            book = stat.st_ino, stat.st_mtime_ns, stat.st_size
        except FileNotFoundError:
            book = 0, 0, 0
        try:
            history = self.history.path.stat()
        except FileNotFoundError:
            return *book, 0, 0
        return *book, history.st_ino, history.st_size


def _tail_by_number(history: History, revision: int) -> Tail:
    """The changes behind a revision, where the part before them was altered and has moved."""
    from tagbench.book.history_check import annals

    known = annals(history)
    numbers = [number for number in known.changes if number > revision]
    start = known.lines.get(revision, 0)
    if numbers != list(range(revision + 1, known.last + 1)) or known.bad_lines[-1:] > (start,):
        return Tail(fault="a line in it is damaged")
    last = known.last
    return Tail(
        changes=[known.changes[number] for number in numbers],
        end=known.size - known.torn,
        seal=known.seals.get(last, ""),
        checksum=known.checksum,
        torn=known.torn,
    )
