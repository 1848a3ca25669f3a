"""One program at a time changes a book.

The lock is the system's own, on the file `book.lock`: it ends with the program that holds it,
however that ends. Some file systems (network shares, phones, folders of virtual machines) know no
such locks; there a marker file with the number and the computer of the program stands for it. One
that a dead program of this computer left behind is taken over; of one from another computer nobody
here can tell, so the sentence names the file to delete.
"""

from __future__ import annotations

import errno
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from tagbench.book.damage import told
from tagbench.errors import BookBusy
from tagbench.records.text import one_line

if TYPE_CHECKING:
    from filelock import BaseFileLock

try:
    import fcntl
except ImportError:  # Windows, where filelock knows how
    fcntl = None  # type: ignore[assignment]

LOCK_FILE, MARKER_FILE = "book.lock", "book.lock.held"
LOCK_SECONDS = 10.0
POLL_SECONDS = 0.01
_TAKEN = frozenset((errno.EACCES, errno.EAGAIN, errno.EWOULDBLOCK))
"""What flock(2) answers while somebody else has the lock."""
_NO_LOCKS = frozenset((errno.ENOSYS, errno.ENOLCK, errno.EOPNOTSUPP, errno.EINVAL))
"""What a file system answers that knows no locks."""


class _ProcessLock(Protocol):
    """A lock between processes."""

    def acquire(self, wait_seconds: float) -> bool:
        """Waits for it, at most so long; False when it stayed taken.

        Raises NotImplementedError where the file system knows no such locks.
        """

    def release(self) -> None:
        """Lets go of it."""


class BookLock:
    """The lock of a book between processes."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._made: _ProcessLock | None = None
        self._by_marker = False
        """Whether the file system knows no locks, so that a marker stands for one."""

    @property
    def _lock(self) -> _ProcessLock:
        """The lock, made when the book is first changed: looking at it needs none."""
        if self._made is None:
            self._made = self._marker() if self._by_marker else self._native()
        return self._made

    def _native(self) -> _ProcessLock:
        path = self._folder / LOCK_FILE
        return _Flock(path) if fcntl is not None else _native_of_library(path)

    def _marker(self) -> _ProcessLock:
        from filelock import SoftFileLock

        return _LibraryLock(SoftFileLock(self._folder / MARKER_FILE, thread_local=False))

    @contextmanager
    def held(self, wait_seconds: float | None = None) -> Iterator[None]:
        """Waits for the lock, up to `LOCK_SECONDS` or so long, and lets go of it at the end."""
        self._acquire(LOCK_SECONDS if wait_seconds is None else wait_seconds)
        try:
            yield
        finally:
            self._lock.release()

    def _acquire(self, wait_seconds: float) -> None:
        with told(self._folder, "The book cannot be changed"):
            self._folder.mkdir(parents=True, exist_ok=True)
            free = self._take(wait_seconds)
        if not free:
            raise BookBusy(self._who_holds(wait_seconds))

    def _take(self, wait_seconds: float) -> bool:
        try:
            return self._lock.acquire(wait_seconds)
        except NotImplementedError:
            if self._by_marker:
                raise
            self._by_marker, self._made = True, None
            return self._lock.acquire(wait_seconds)

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


class _Flock:
    """flock(2) on the file: the lock that filelock takes too, without reading in all of filelock,
    which takes longer than a whole change does."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._handle = -1

    def acquire(self, wait_seconds: float) -> bool:
        """Waits for the lock on the file that stands there now; see `_ProcessLock`."""
        until = time.monotonic() + wait_seconds
        while True:
            handle = os.open(self._path, os.O_RDWR | os.O_CREAT, 0o644)
            try:
                if self._taken(handle) and self._stands(handle):
                    self._handle, handle = handle, -1
                    return True
            finally:
                if handle >= 0:
                    os.close(handle)
            if time.monotonic() >= until:
                return False
            time.sleep(POLL_SECONDS)

    def release(self) -> None:
        """Lets go; the file stays, so that all wait for the same one."""
        handle, self._handle = self._handle, -1
        os.close(handle)

    def _taken(self, handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            if error.errno in _NO_LOCKS:
                raise NotImplementedError from error
            if error.errno not in _TAKEN:
                raise
            return False
        return True

    def _stands(self, handle: int) -> bool:
        """Whether the locked file is still the one by that name: somebody may tidy up."""
        try:
            return os.path.samestat(os.fstat(handle), self._path.stat())
        except FileNotFoundError:
            return False


def _native_of_library(path: Path) -> _ProcessLock:
    from filelock import FileLock

    return _LibraryLock(FileLock(path, thread_local=False))


class _LibraryLock:
    """A lock of filelock's: the system's where there is no flock, or a marker file."""

    def __init__(self, lock: BaseFileLock) -> None:
        self._lock = lock

    def acquire(self, wait_seconds: float) -> bool:
        """Waits for it; see `_ProcessLock`."""
        from filelock import Timeout

        try:
            self._lock.acquire(timeout=wait_seconds, poll_interval=POLL_SECONDS)
        except Timeout:
            return False
        return True

    def release(self) -> None:
        """Lets go of it."""
        self._lock.release()
