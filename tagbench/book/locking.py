"""One program at a time changes a book."""

from __future__ import annotations

import errno
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Protocol

from tagbench.book.damage import told
from tagbench.errors import BookBusy, BookError

try:
    import fcntl
except ImportError:  # Windows, where filelock knows how
    fcntl = None  # type: ignore[assignment]

LOCK_FILE = "book.lock"
LOCK_SECONDS = 10.0
POLL_SECONDS = 0.01
#: What flock(2) answers while somebody else has the lock.
_TAKEN = {errno.EACCES, errno.EAGAIN, errno.EWOULDBLOCK}
#: What a file system answers that knows no locks.
_NO_LOCKS = {errno.ENOSYS, errno.ENOLCK, errno.EOPNOTSUPP, errno.EINVAL}


class _FileLock(Protocol):
    """A lock between processes."""

    def acquire(self, wait_seconds: float) -> bool:
        """Waits for it, at most so long; False when it stayed taken."""

    def release(self) -> None:
        """Lets go of it."""


class BookLock:
    """The lock of a book between processes, kept in the file `book.lock`."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._made: _FileLock | None = None

    @property
    def _lock(self) -> _FileLock:
        """The lock, made when the book is first changed: looking at it needs none."""
        if self._made is None:
            path = self._folder / LOCK_FILE
            self._made = _Flock(path) if fcntl is not None else _AnySystemLock(path)
        return self._made

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
            try:
                free = self._lock.acquire(wait_seconds)
            except NotImplementedError as error:
                raise BookError(
                    f"{self._folder} is on a file system that knows no locks; "
                    "keep the book on a local disk."
                ) from error
        if not free:
            raise BookBusy(
                f"Another program has been changing {self._folder} for more than "
                f"{wait_seconds:.0f} seconds; wait for it or end it, then do it again."
            )


class _Flock:
    """flock(2) on the file: the lock that filelock takes too, without reading in all of filelock,
    which takes longer than a whole change does."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._handle = -1

    def acquire(self, wait_seconds: float) -> bool:
        """Waits for the lock on the file that stands there now; see `_FileLock`."""
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


class _AnySystemLock:
    """filelock's lock, for systems without flock."""

    def __init__(self, path: Path) -> None:
        from filelock import FileLock

        self._lock = FileLock(path, thread_local=False)

    def acquire(self, wait_seconds: float) -> bool:
        """Waits for it; see `_FileLock`."""
        from filelock import Timeout

        try:
            self._lock.acquire(timeout=wait_seconds, poll_interval=POLL_SECONDS)
        except Timeout:
            return False
        return True

    def release(self) -> None:
        """Lets go of it."""
        self._lock.release()
