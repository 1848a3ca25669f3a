"""Faults made on purpose: programs that die at a call, calls that fail, bits that tip over."""

from __future__ import annotations

import errno
import io
import os
import random
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from tagbench.book import Book
from tagbench.records import replace
from tests.book.conftest import strip

CALLS = ("fsync", "replace", "rename", "link", "unlink", "mkdir", "ftruncate", "open")
"""What a save asks of the system, by the name in `os`."""


@dataclass
class Table:
    """How many faults were tried, and what came of them; printed at the end of each test."""

    what: str
    tried: int = 0
    survived: int = 0
    lost: list[str] = field(default_factory=list)

    def survive(self) -> None:
        """One more that was survived."""
        self.tried += 1
        self.survived += 1

    def lose(self, what: str) -> None:
        """One more in which something went wrong."""
        self.tried += 1
        self.lost.append(what)

    def __str__(self) -> str:
        figures = f"tried {self.tried:5}  survived {self.survived:5}  lost {len(self.lost):3}"
        return f"{self.what:44} {figures}"


@contextmanager
def at_call(number: int, then: Callable[[str], None]) -> Iterator[list[str]]:
    """Calls `then` just before the call with that number; gives the calls that were made."""
    made: list[str] = []
    owner = threading.get_ident()
    real = {name: getattr(os, name) for name in CALLS}
    real_open = io.open

    def counted(name: str) -> None:
        if threading.get_ident() == owner:
            made.append(name)
            if len(made) == number:
                then(name)

    def stand_in(name: str) -> Callable[..., Any]:
        def call(*words: Any, **named: Any) -> Any:
            counted(name)
            return real[name](*words, **named)

        return call

    def opening(file: Any, mode: str = "r", *words: Any, **named: Any) -> Any:
        if any(sign in mode for sign in "wa+x"):
            counted("open")
        return real_open(file, mode, *words, **named)

    for name in CALLS[:-1]:
        setattr(os, name, stand_in(name))
    io.open = opening
    try:
        yield made
    finally:
        for name, function in real.items():
            setattr(os, name, function)
        io.open = real_open


def fail(code: int) -> Callable[[str], None]:
    """A call that fails with that error."""

    def then(_: str) -> None:
        raise OSError(code, os.strerror(code))

    return then


def dies_at(number: int, work: Callable[[Callable[[str], None]], None]) -> tuple[bool, list[str]]:
    """Runs `work` in a process of its own that dies just before a call.

    `work` is given a function that acknowledges. Gives whether it died, and what it acknowledged.
    """
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        code = 0
        try:
            with at_call(number, lambda _: os._exit(9)):
                work(lambda text: void(os.write(writing, f"{text}\n".encode())))
        except BaseException:  # noqa: BLE001 - whatever it is, the parent is told
            code = 3
        finally:
            os._exit(code)
    os.close(writing)
    with os.fdopen(reading, encoding="utf-8") as pipe:
        acknowledged = pipe.read().splitlines()
    _, status = os.waitpid(child, 0)
    code = os.waitstatus_to_exitcode(status)
    if code not in (0, 9):
        raise AssertionError(f"the program ended with {code} at call {number}")
    return code == 9, acknowledged


def void(_: object) -> None:
    """Nothing, whatever it is given."""


def an_evening(folder: Path, acknowledge: Callable[[str], None]) -> None:
    """A few changes of every kind, each acknowledged with the names of the parts there are."""
    now = datetime(2024, 5, 4, 19, 30, tzinfo=UTC)
    book = Book(folder, now=lambda: now)
    for number in range(3):
        strip(book, f"part {number}")
        acknowledge(state(book))
        book.checkpoint()
        now += timedelta(minutes=11)
    with book.change("note") as transaction:
        part = next(iter(transaction.records.parts.values()))
        transaction.put(replace(part, note="cracked"))
    acknowledge(state(book))
    book.undo()
    acknowledge(state(book))
    book.redo()
    acknowledge(state(book))
    book.close()
    acknowledge(state(book))


def state(book: Book) -> str:
    """All that the parts say, in one line."""
    return ";".join(f"{part.code} {part.name} {part.note}" for part in book.records.parts.values())


def grown(folder: Path, changes: int = 12) -> Book:
    """A book with some changes, backups between them and a tail that is in the history alone."""
    now = datetime(2024, 5, 4, 19, 30, tzinfo=UTC)
    book = Book(folder, now=lambda: now)
    for number in range(changes):
        strip(book, f"part {number}", note="n" * (number * 7))
        now += timedelta(minutes=4)
        if number < changes - 3:
            book.checkpoint()
    return book


def flipped(data: bytes, chance: random.Random) -> bytes:
    """The data with one bit tipped over somewhere."""
    damaged = bytearray(data)
    damaged[chance.randrange(len(damaged))] ^= 1 << chance.randrange(8)
    return bytes(damaged)


def damaged(data: bytes, chance: random.Random) -> bytes:
    """The data with one of the faults that disks, editors and hands make."""
    place = chance.randrange(len(data) or 1)
    kind = chance.randrange(8)
    if kind == 0:
        return data[:place]
    if kind == 1:
        return data[:place] + b"\0" * min(512, len(data) - place) + data[place + 512 :]
    if kind == 2:
        return data.replace(b"\n", b"\r\n")
    if kind == 3:
        lines = data.splitlines(keepends=True)
        start = chance.randrange(len(lines))
        del lines[start : start + chance.randrange(1, 3)]
        return b"".join(lines)
    if kind == 4:
        lines = data.splitlines(keepends=True)
        return b"".join(lines[: chance.randrange(len(lines))])
    if kind == 5:
        return b""
    if kind == 6:
        return data[place:]
    return flipped(data, chance)


NO_SPACE = errno.ENOSPC
EIO = errno.EIO
