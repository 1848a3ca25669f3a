"""Work on the book for the phones, in threads of its own, so that the screens never wait for it."""

from __future__ import annotations

import asyncio
import os
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from functools import partial
from typing import Generic, NamedTuple, ParamSpec, TypeVar

from tagbench.book import Book
from tagbench.errors import BookBusy
from tagbench.phone.errors import PageError
from tagbench.phone.limits import PhoneLimits
from tagbench.records import Change, Phone, Tables

P = ParamSpec("P")
T = TypeVar("T")
Stamp = tuple[tuple[int, int, int], ...]
BUSY = (
    "The book is being changed by something else on the bench computer; nothing was kept. "
    "Try again in a moment."
)
REVOKED = "This phone was taken away at the bench; nothing was kept. It can be paired again there."


class Made(NamedTuple, Generic[T]):
    """What a change of the book gave."""

    result: T
    """What the operation gave."""
    change: Change | None
    """The change as it was saved; None when there was nothing to change."""


class Executor:
    """A thread each that refreshes, makes pages, finds, changes and decodes photos.

    A change may wait for another program that holds the book, a large index and a photo take
    seconds; none of them keeps a page waiting. One photo at a time bounds the memory.
    """

    def __init__(self, book: Book, limits: PhoneLimits) -> None:
        self.book = book
        self._limits = limits
        self._book_file = str(book.folder / "book.json")
        self._history_file = str(book.folder / "history.jsonl")
        self._stamp: Stamp | None = None
        self._refreshers = ThreadPoolExecutor(1, "phone-refresh")
        self._readers = ThreadPoolExecutor(1, "phone-read")
        self._finders = ThreadPoolExecutor(1, "phone-find")
        self._changers = ThreadPoolExecutor(1, "phone-change")
        self._decoders = ThreadPoolExecutor(1, "phone-photo")

    @property
    def records(self) -> Tables:
        """The records as this program knows them."""
        return self.book.records

    async def fresh(self) -> Tables:
        """The records, with what other programs have saved by now.

        Two looks at the files tell whether there is anything to read, without waiting for a
        change that is being made. Raises BookBusy when the book stays busy.
        """
        stamp = _identity(self._book_file), _identity(self._history_file)
        if stamp != self._stamp:
            reading = _in(self._refreshers, self.book.refresh)
            try:
                async with asyncio.timeout(self._limits.busy_seconds):
                    await asyncio.shield(reading)
            except TimeoutError:
                raise BookBusy(BUSY) from None
            self._stamp = stamp
        return self.book.records

    def now(self) -> datetime:
        """Local time."""
        return self.book.now()

    async def read(self, work: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Runs something that only reads."""
        return await _in(self._readers, partial(work, *args, **kwargs))

    async def find(self, work: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Runs something that uses the index."""
        return await _in(self._finders, partial(work, *args, **kwargs))

    async def change(
        self, phone: Phone | None, work: Callable[P, T], *args: P.args, **kwargs: P.kwargs
    ) -> Made[T]:
        """Runs something that changes the book; it is finished even if the phone hangs up.

        When it is for a phone, nothing is changed unless that phone is still paired in the book
        as it is at that very moment, whoever took it away. Raises BookBusy when the book stays
        busy.
        """
        till = time.monotonic() + self._limits.busy_seconds

        def check(tables: Tables) -> None:
            if phone is not None and str(phone.id) not in tables.phones:
                raise PageError(403, REVOKED)

        def run() -> Made[T]:
            left = max(0.1, till - time.monotonic())
            with self.book.on_terms(check, left) as saved:
                result = work(*args, **kwargs)
            return Made(result, saved[-1] if saved else None)

        return await asyncio.shield(_in(self._changers, run))

    async def decode(self, work: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Runs something that decodes a photo."""
        return await _in(self._decoders, partial(work, *args, **kwargs))

    def close(self) -> None:
        """Waits for what was begun."""
        pools = self._refreshers, self._readers, self._finders, self._changers, self._decoders
        for pool in pools:
            pool.shutdown(wait=True)


def _identity(path: str) -> tuple[int, int, int]:
    """What changes whenever a file is replaced or added to."""
    try:
        found = os.stat(path)  # noqa: PTH116 - asked for at every request
    except OSError:
        return (0, 0, 0)
    return found.st_ino, found.st_mtime_ns, found.st_size


def _in(pool: ThreadPoolExecutor, work: Callable[[], T]) -> asyncio.Future[T]:
    return asyncio.get_running_loop().run_in_executor(pool, work)
