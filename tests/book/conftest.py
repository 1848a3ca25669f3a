"""A book in a folder of its own, with a clock that stands where the test puts it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tagbench.book import Book, Transaction
from tagbench.records import Machine, Part


class Clock:
    """Stands still until it is moved."""

    def __init__(self) -> None:
        self.time = datetime(2024, 5, 4, 19, 30, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.time

    def on(self, **span: float) -> None:
        """Moves the clock on."""
        self.time += timedelta(**span)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "book"


@pytest.fixture
def book(folder: Path, clock: Clock) -> Iterator[Book]:
    with Book(folder, now=clock) as opened:
        yield opened


def put_part(transaction: Transaction, name: str, **fields: object) -> Part:
    """A new part of the machine TP in a transaction."""
    if "TP" not in transaction.records.machines:
        transaction.put(Machine(mark="TP", name="Tarnbrook Packman"))
    part = Part(code=transaction.new_code("TP"), name=name, **fields)  # type: ignore[arg-type]
    transaction.put(part)
    return part


def strip(book: Book, name: str, **fields: object) -> Part:
    """Records one part as a change of its own."""
    with book.change(f"took off {name}") as transaction:
        return put_part(transaction, name, **fields)


def strip_slowly(book: Book, name: str, **fields: object) -> Part:
    """Records one part, and then the hands rest long enough for `book.json` to follow."""
    part = strip(book, name, **fields)
    book.checkpoint()
    return part
