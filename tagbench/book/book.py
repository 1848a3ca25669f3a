"""The book: a folder that is read, changed and taken back as a whole."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from tagbench.book.damage import told
from tagbench.book.disk import LATEST, Disk
from tagbench.book.history import UNREADABLE
from tagbench.book.layout import Header
from tagbench.errors import BookBusy, BookError
from tagbench.records import Change, Tables

if TYPE_CHECKING:
    from tagbench.book.transaction import Transaction

WORDS_LIMIT = 400
Check = Callable[[Tables], None]


class _Terms(threading.local):
    """On what terms this thread changes the book; `Book.on_terms` sets them."""

    check: Check | None = None
    wait_seconds: float | None = None
    saved: list[Change] | None = None


class Book:
    """A book in a folder, shared with other threads and other programs.

    Nothing is written until the first change. Raises `BookDamaged`, `BookTooNew` or `BookError`
    when the folder cannot be read as a book.
    """

    def __init__(self, folder: Path, *, now: Callable[[], datetime] | None = None) -> None:
        self.folder = Path(folder)
        self._now = now or _wall_clock
        self._guard = threading.RLock()
        self._checkpointing = threading.Lock()
        self._changing = False
        self._saved = False
        self._terms = _Terms()
        self._disk = Disk(self.folder)
        self._disk.take_in()

    @property
    def photos(self) -> Path:
        """The folder of the pictures; made with the first one."""
        return self.folder / "photos"

    @property
    def looked_at(self) -> str:
        """What this is when it is only looked at and cannot be changed; empty for a book."""
        return ""

    @property
    def records(self) -> Tables:
        """All records as they are now: a snapshot that never changes; ask again after a change."""
        return self._disk.tables

    @property
    def revision(self) -> int:
        """Number of the last change; grows with each."""
        return self._disk.revision

    @property
    def header(self) -> Header:
        """Revision, schema version and length of the history."""
        return self._disk.header

    def now(self) -> datetime:
        """Local time with its offset, whole seconds."""
        return self._now().replace(microsecond=0)

    @property
    def is_behind(self) -> bool:
        """Whether another program saved something that `refresh` would take in; quickly told."""
        with told(self.folder, "The book cannot be read", "read"):
            return not self._changing and self._disk.is_behind

    def refresh(self) -> bool:
        """Takes in what another program saved; True when something changed."""
        with self._guard:
            return not self._changing and self._disk.take_in()

    @contextmanager
    def on_terms(self, check: Check, wait_seconds: float) -> Iterator[list[Change]]:
        """Terms for what this thread changes meanwhile; gives the changes that were saved.

        `check` is called with the freshest records before each change, when nobody else can
        change them any more, and may raise; a change waits for others at most `wait_seconds`.
        """
        terms = self._terms
        before = terms.check, terms.wait_seconds, terms.saved
        saved: list[Change] = []
        terms.check, terms.wait_seconds, terms.saved = check, wait_seconds, saved
        try:
            yield saved
        finally:
            terms.check, terms.wait_seconds, terms.saved = before

    @contextmanager
    def change(self, words: str = "") -> Iterator[Transaction]:
        """One change: what the transaction holds at the end is saved whole, or nothing of it is."""
        from tagbench.book.reopening import open_again
        from tagbench.book.transaction import Transaction

        with self._exclusive():
            transaction = Transaction(self.records, self.now(), words)
            yield transaction
            open_again(transaction)
            self._save(transaction)

    def undo(self, number: int = 0) -> Change:
        """Takes back the last change not yet taken back (or the one with that number).

        Returns the change that was taken back. Raises `BadInput` when there is none, `Refused`
        when later changes hang on it, with their names.
        """
        from tagbench.book.undoing import to_take_back

        with self._exclusive():
            target = to_take_back(self._disk.changes(), number)
            self._reverse(target, f"took back: {target.words}", takes_back=target.number)
            return target

    def undo_with_later(self, number: int) -> list[Change]:
        """Takes back the change with that number and all that hang on it, the newest first.

        Each is a change of its own in the history. Raises `BadInput` as `undo`, `Refused` when
        one of them cannot go either; nothing is taken back then.
        """
        from tagbench.book.transaction import Transaction
        from tagbench.book.undoing import hanging_on, take_back, to_take_back

        with self._exclusive():
            target = to_take_back(self._disk.changes(), number)
            going = [*hanging_on(self._disk.changes, target), target]
            rehearsal = Transaction(self.records, self.now(), f"would take back: {target.words}")
            for change in going:
                take_back(rehearsal, change, self._disk.changes)
        return [self.undo(change.number) for change in going]

    def redo(self) -> Change:
        """Puts back what the last undo took, as long as nothing was changed after it.

        Returns the change that is in the book again. Raises `BadInput` when there is none.
        """
        from tagbench.book.undoing import to_put_back

        with self._exclusive():
            undone, original = to_put_back(self._disk.changes())
            self._reverse(undone, f"put back: {original.words}", puts_back=undone.number)
            return original

    def _reverse(self, target: Change, words: str, **reverses: int) -> None:
        from tagbench.book.reopening import open_again, stay_open
        from tagbench.book.transaction import Transaction
        from tagbench.book.undoing import still_holding, take_back

        transaction = Transaction(self.records, self.now(), words)
        take_back(transaction, target, self._disk.changes)
        open_again(transaction)
        stay_open(transaction, still_holding(self._disk.changes(), target.number))
        self._save(transaction, **reverses)

    def _save(self, transaction: Transaction, **reverses: int) -> None:
        edits = transaction.edits()
        if edits or reverses:
            change = Change(
                number=self.revision + 1,
                at=transaction.now,
                words=_cut(transaction.words),
                edits=edits,
                **reverses,
            )
            self._disk.save(change, transaction.changed)
            self._saved = True
            if self._terms.saved is not None:
                self._terms.saved.append(change)

    @property
    def fault(self) -> str:
        """What is wrong with the history though the records are whole; empty when nothing is."""
        return self._disk.header.fault

    @property
    def waiting(self) -> int:
        """How many changes are in the history but not yet in `book.json`."""
        return self._disk.waiting

    @property
    def should_follow(self) -> bool:
        """Whether so many changes wait that `book.json` should follow, busy hands or not."""
        return self.waiting >= LATEST

    def leave_checkpoints_to_others(self) -> None:
        """A save no longer waits for `book.json`, since somebody calls `checkpoint` in a thread."""
        self._disk.latest = 20 * LATEST

    def checkpoint(self) -> None:
        """Brings `book.json` up to the last change; for a moment when the hands rest.

        Everything is saved without it. May be called in a thread: changes go on meanwhile.
        Raises `BookError` when the file cannot be written.
        """
        with self._checkpointing:
            with self._guard:
                snapshot = self._disk.snapshot()
            if snapshot is not None:
                self._disk.write_next(snapshot)
                with self._exclusive():
                    self._disk.put_next(snapshot, self.now())

    def history(self, key: str = "", limit: int = 50, *, whole: bool = True) -> list[Change]:
        """The last changes, newest first; with a key only those that touched its record.

        Not `whole`: each only with its edits that mention the key, which is many times quicker
        where a list of thousands was taken in as one change.
        """
        found: list[Change] = []
        with self._guard:
            for change in self._disk.changes(key, whole=whole) if limit > 0 else ():
                if not key or change.takes_back == UNREADABLE or _touches(change, key):
                    found.append(change)
                    if len(found) >= limit:
                        break  # the change before may be a list of thousands: it is not read
        return found

    @contextmanager
    def _exclusive(self) -> Iterator[None]:
        """The only one who changes the book, with everything others saved taken in."""
        terms = self._terms
        patience = -1 if terms.wait_seconds is None else terms.wait_seconds
        if not self._guard.acquire(timeout=patience):
            raise BookBusy(
                "The book is being changed by something else; wait a moment, then do it again."
            )
        try:
            if self._changing:
                raise RuntimeError("a change cannot be made inside another change")
            with self._disk.locked(terms.wait_seconds):
                if terms.check is not None:
                    terms.check(self.records)
                self._changing = True
                try:
                    yield
                finally:
                    self._changing = False
        finally:
            self._guard.release()

    def close(self) -> None:
        """Lets go of the book; `book.json` follows the last change, if this program made any.

        Where that fails nothing is lost: the changes stand in the history, whoever opens the
        book next takes them in from there, and is told what is wrong with its files.
        """
        if self._saved:
            self._saved = False
            with suppress(BookError):
                self.checkpoint()

    def __enter__(self) -> Book:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()


def _touches(change: Change, key: str) -> bool:
    return any(edit.key == key for edit in change.edits)


def _wall_clock() -> datetime:
    return datetime.now().astimezone()


def _cut(words: str) -> str:
    if not words.strip():
        raise ValueError("a change needs words that say what was done")
    return words if len(words) <= WORDS_LIMIT else words[: WORDS_LIMIT - 1] + "…"
