"""What is painted, plated, blasted, and dry fits: each one change of the book."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tagbench.book.book import Book
from tagbench.book.operations.care import each, said, when_done
from tagbench.book.operations.strip import part_by_code
from tagbench.records import Finish, Part
from tagbench.rules.care.finish import drop_finish, dry_fitted, finish_done, plan_finish
from tagbench.rules.describe.phrases import named


def plan(book: Book, codes: Iterable[str], finish: Finish) -> list[Part]:
    """Parts are still to be blasted, painted, plated, …"""
    with book.change() as transaction:
        parts = each(transaction, codes, lambda part: plan_finish(part, finish))
        transaction.words = said(f"{{}} is to be {finish.what}", parts)
    return parts


def finish(book: Book, codes: Iterable[str], done: Finish, on: date | None = None) -> list[Part]:
    """Parts were blasted, painted, plated, …, today or on an earlier day."""
    with book.change() as transaction:
        at = when_done(transaction, on)
        parts = each(transaction, codes, lambda part: finish_done(part, done, at, transaction.now))
        transaction.words = said(f"{done.what} {{}}", parts)
    return parts


def no_finish(book: Book, codes: Iterable[str], what: str) -> list[Part]:
    """Takes a finish off parts, done or still to do."""
    with book.change() as transaction:
        parts = each(transaction, codes, lambda part: drop_finish(part, what))
        transaction.words = said(f"{{}} without {what}", parts)
    return parts


def dry_fit(book: Book, code: str) -> Part:
    """A part was fitted for a trial and came off again."""
    with book.change() as transaction:
        part = dry_fitted(part_by_code(transaction.records, code), transaction.now)
        transaction.put(part)
        transaction.words = f"dry fitted {named(part)}"
    return part
