"""Work on the book for the phones, in threads of its own, so that the screens never wait for it."""

from __future__ import annotations

import asyncio
import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from functools import partial
from typing import ParamSpec, TypeVar

from tagbench.book import Book
from tagbench.records import Tables

P = ParamSpec("P")
T = TypeVar("T")
Stamp = tuple[tuple[int, int, int], ...]


class Workroom:
    """One thread that reads, one that changes, one that decodes photos.

    A change may wait for another program that holds the book, and a photo takes a second; neither
    keeps a page waiting. One photo at a time bounds the memory.
    """

    def __init__(self, book: Book) -> None:
        self.book = book
        self._book_file = str(book.folder / "book.json")
        self._history_file = str(book.folder / "history.jsonl")
        self._stamp: Stamp | None = None
        self._readers = ThreadPoolExecutor(1, "phone-read")
        self._changers = ThreadPoolExecutor(1, "phone-change")
        self._decoders = ThreadPoolExecutor(1, "phone-photo")

    @property
    def records(self) -> Tables:
        """The records as this program knows them."""
        return self.book.records

    async def fresh(self) -> Tables:
        """The records, with what other programs have saved by now.

        Two looks at the files tell whether there is anything to read, without waiting for a
        change that is being made.
        """
        stamp = _identity(self._book_file), _identity(self._history_file)
        if stamp != self._stamp:
            await self.read(self.book.refresh)
            self._stamp = stamp
        return self.book.records

    def now(self) -> datetime:
        """Local time."""
        return self.book.now()

    async def read(self, work: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Runs something that only reads."""
        return await _in(self._readers, partial(work, *args, **kwargs))

    async def change(self, work: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Runs something that changes the book; it is finished even if the phone hangs up."""
        return await asyncio.shield(_in(self._changers, partial(work, *args, **kwargs)))

    async def decode(self, work: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """Runs something that decodes a photo."""
        return await _in(self._decoders, partial(work, *args, **kwargs))

    def close(self) -> None:
        """Waits for what was begun."""
        for pool in (self._readers, self._changers, self._decoders):
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
