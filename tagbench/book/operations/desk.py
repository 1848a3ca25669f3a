"""What the bench remembers of the person: dark or light screens."""

from __future__ import annotations

from typing import Literal

from tagbench.book.book import Book
from tagbench.records import replace


def choose_theme(book: Book, theme: Literal["dark", "light"]) -> None:
    """Remembers dark or light screens for the next evening."""
    if book.records.desk.theme != theme:
        with book.change(f"changed to {theme} screens") as draft:
            draft.put(replace(draft.records.desk, theme=theme))
