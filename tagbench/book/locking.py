"""One program at a time changes a book."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from tagbench.book.damage import told
from tagbench.errors import BookBusy, BookError

if TYPE_CHECKING:
    from filelock import BaseFileLock

LOCK_FILE = "book.lock"
LOCK_SECONDS = 10.0
POLL_SECONDS = 0.01


class BookLock:
    """The lock of a book between processes, kept in the file `book.lock`."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._made: BaseFileLock | None = None

    @property
    def _lock(self) -> BaseFileLock:
        """The lock, made when the book is first changed: looking at it needs none."""
        if self._made is None:
            from filelock import FileLock

            self._made = FileLock(self._folder / LOCK_FILE, thread_local=False)
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
        from filelock import Timeout

        with told(self._folder, "The book cannot be changed"):
            self._folder.mkdir(parents=True, exist_ok=True)
            try:
                self._lock.acquire(timeout=wait_seconds, poll_interval=POLL_SECONDS)
            except Timeout as error:
                raise BookBusy(
                    f"Another program has been changing {self._folder} for more than "
                    f"{wait_seconds:.0f} seconds; wait for it or end it, then do it again."
                ) from error
            except NotImplementedError as error:
                raise BookError(
                    f"{self._folder} is on a file system that knows no locks; "
                    "keep the book on a local disk."
                ) from error
