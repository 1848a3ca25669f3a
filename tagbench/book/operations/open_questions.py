"""A thread or size that was not yet known is written down once it was measured."""

from __future__ import annotations

from tagbench.book.book import Book
from tagbench.book.operations.strip import edit
from tagbench.records import Part


def answer_question(book: Book, code: str, line: int, text: str) -> Part:
    """Writes the thread (`M6`) or size (`3.2x32`) of a part's line, counted from 1.

    The fasteners stay the same ones, so what is back of them stays back. BadInput for a line that
    asks nothing, and for a text that is no thread or size.
    """
    return edit(book, code, measured={line: text})
