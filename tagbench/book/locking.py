"""One program at a time changes a book.

The lock is the system's own, on the file `book.lock`: it ends with the program that holds it,
however that ends. Some file systems (network shares, phones, folders of virtual machines) know no
such locks; there a marker file with the number and the computer of the program stands for it. One
that a dead program of this computer left behind is taken over; of one from another computer nobody
here can tell, so the sentence names the file to delete.
"""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from tagbench.book.damage import told
from tagbench.errors import BookBusy
from tagbench.records.text import one_line

if TYPE_CHECKING:
    from filelock import BaseFileLock

LOCK_FILE, MARKER_FILE = "book.lock", "book.lock.held"
LOCK_SECONDS = 10.0
POLL_SECONDS = 0.01
NO_LOCKS = frozenset((errno.ENOSYS, errno.ENOLCK, errno.EOPNOTSUPP, errno.EINVAL))
"""What file systems answer that know no locks."""


class BookLock:
    """The lock of a book between processes."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._made: BaseFileLock | None = None
        self._by_marker = False
        """Whether the file system knows no locks, so that a marker stands for one."""

    @property
    def _lock(self) -> BaseFileLock:
        """The lock, made when the book is first changed: looking at it needs none."""
        if self._made is None:
            self._made = self._marker() if self._by_marker else self._native()
        return self._made

    def _native(self) -> BaseFileLock:
        from filelock import FileLock

        path = self._folder / LOCK_FILE
        try:
            return FileLock(path, thread_local=False, fallback_to_soft=False)
        except TypeError:  # older ones fall back to nothing by themselves
            return FileLock(path, thread_local=False)

    def _marker(self) -> BaseFileLock:
        from filelock import SoftFileLock

        return SoftFileLock(self._folder / MARKER_FILE, thread_local=False)

    @contextmanager
    def held(self, wait_seconds: float | None = None) -> Iterator[None]:
        """Waits for the lock, up to `LOCK_SECONDS` or so long, and lets go of it at the end."""
        self._acquire(LOCK_SECONDS if wait_seconds is None else wait_seconds)
        try:
            yield
        finally:
            self._lock.release()

    def _acquire(self, wait_seconds: float) -> None:
        from filelock import Timeout

        with told(self._folder, "The book cannot be changed"):
            self._folder.mkdir(parents=True, exist_ok=True)
            try:
                self._take(wait_seconds)
            except Timeout as error:
                raise BookBusy(self._who_holds(wait_seconds)) from error

    def _take(self, wait_seconds: float) -> None:
        try:
            self._lock.acquire(timeout=wait_seconds, poll_interval=POLL_SECONDS)
        except (NotImplementedError, OSError) as error:
            lockless = isinstance(error, NotImplementedError) or error.errno in NO_LOCKS
            if self._by_marker or not lockless:
                raise
            self._by_marker, self._made = True, None
            self._lock.acquire(timeout=wait_seconds, poll_interval=POLL_SECONDS)

    def _who_holds(self, wait_seconds: float) -> str:
        if not self._by_marker:
            return (
                f"Another program has been changing {self._folder} for more than "
                f"{wait_seconds:.0f} seconds; wait for it or end it, then do it again."
            )
        marker = self._folder / MARKER_FILE
        try:
            number, host, *_ = marker.read_text(encoding="utf-8").splitlines()
            who = f"Program {one_line(number, 20)} on {one_line(host, 60)}"
        except (OSError, ValueError):
            who = "Another program"
        return (
            f"{who} has kept {marker} for more than {wait_seconds:.0f} seconds, and this file "
            "system knows no other locks. Wait for it or end it; when it runs no more, delete "
            "that file, then do it again."
        )
