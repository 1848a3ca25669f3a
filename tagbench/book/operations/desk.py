"""What the bench remembers of the person: dark or light screens, large or usual keys."""

from __future__ import annotations

from typing import Literal

from tagbench.book.book import Book
from tagbench.records import replace


def choose_theme(book: Book, theme: Literal["dark", "light"]) -> None:
    """Remembers dark or light screens for the next evening."""
    if book.records.desk.theme != theme:
        with book.change(f"changed to {theme} screens") as draft:
            draft.put(replace(draft.records.desk, theme=theme))


def choose_size(book: Book, *, large: bool) -> None:
    """Remembers large or usual keys and codes for the next evening."""
    if book.records.desk.large != large:
        with book.change(f"changed to {'large' if large else 'usual'} keys") as draft:
            draft.put(replace(draft.records.desk, large=large))
