"""What is said where a record was taken away while it was shown."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.book.undoing import taken_away_by
from tagbench.rules.describe.phrases import day


def gone_words(book: Book, code: str) -> str:
    """That a record was taken away, by which change, and how it comes back where that can be."""
    change = taken_away_by(book.history(code, whole=False), code)
    if change is None:
        return f"The record of {code} is not in the book; Backups (Ctrl+G) may hold it."
    when = f"The record of {code} was taken away on {day(change.at)}: {change.words}."
    return f"{when} Ctrl+T lists it; Enter on that line brings it back."
