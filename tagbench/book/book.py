"""The book: a folder that is read, changed and taken back as a whole."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from types import TracebackType

from tagbench.book.disk import Disk
from tagbench.book.history import UNREADABLE
from tagbench.book.layout import Header
from tagbench.book.reopening import open_again, stay_open
from tagbench.book.transaction import Draft
from tagbench.book.undoing import refuse_faults, still_holding, take_back, to_take_back
from tagbench.records import Change, Tables

__all__ = ["Book", "Draft"]

WORDS_LIMIT = 400


class Book:
    """A book in a folder, shared with other threads and other programs.

    Nothing is written until the first change. Raises `BookDamaged`, `BookTooNew` or `BookError`
    when the folder cannot be read as a book.
    """

    def __init__(self, folder: Path, *, now: Callable[[], datetime] | None = None) -> None:
        self.folder = Path(folder)
        self._now = now or _wall_clock
        self._guard = threading.RLock()
        self._changing = False
        self._disk = Disk(self.folder)
        self._disk.take_in()

    @property
    def photos(self) -> Path:
        """The folder of the pictures; made with the first one."""
        return self.folder / "photos"

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

    def refresh(self) -> bool:
        """Takes in what another program saved; True when something changed."""
        with self._guard:
            return not self._changing and self._disk.take_in()

    @contextmanager
    def change(self, words: str = "") -> Iterator[Draft]:
        """One change: what the draft holds at the end is saved whole, or nothing of it is."""
        with self._exclusive():
            draft = Draft(self.records, self.now(), words)
            yield draft
            open_again(draft)
            edits = draft.edits()
            if edits:
                self._disk.save(
                    Change(
                        number=self.revision + 1, at=draft.now, words=_cut(draft.words), edits=edits
                    )
                )

    def undo(self, number: int = 0) -> Change:
        """Takes back the last change not yet taken back (or the one with that number).

        Returns the change that was taken back. Raises `BadInput` when there is none, `Refused`
        when its records have been changed again since.
        """
        with self._exclusive():
            target = to_take_back(self._disk.changes(), number)
            draft = Draft(self.records, self.now(), f"took back: {target.words}")
            take_back(draft, target)
            refuse_faults(draft, target)
            open_again(draft)
            stay_open(draft, still_holding(self._disk.changes(), target.number))
            self._disk.save(
                Change(
                    number=self.revision + 1,
                    at=draft.now,
                    words=_cut(draft.words),
                    edits=draft.edits(),
                    takes_back=target.number,
                )
            )
            return target

    def history(self, key: str = "", limit: int = 50) -> list[Change]:
        """The last changes, newest first; with a key only those that touched its record."""
        found: list[Change] = []
        with self._guard:
            for change in self._disk.changes(key):
                if len(found) >= limit:
                    break
                if not key or change.takes_back == UNREADABLE or _touches(change, key):
                    found.append(change)
        return found

    @contextmanager
    def _exclusive(self) -> Iterator[None]:
        """The only one who changes the book, with everything others saved taken in."""
        with self._guard:
            if self._changing:
                raise RuntimeError("a change cannot be made inside another change")
            with self._disk.locked():
                self._changing = True
                try:
                    yield
                finally:
                    self._changing = False

    def close(self) -> None:
        """Lets go of the book; everything acknowledged is already on the disk."""

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
