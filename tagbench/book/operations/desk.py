"""What the bench remembers of the person: dark or light screens, large or usual keys."""

from __future__ import annotations

from typing import Literal

from tagbench.book.book import Book
from tagbench.records import replace


def choose_theme(book: Book, theme: Literal["dark", "light"]) -> None:
    """Remembers dark or light screens for the next evening."""
    if book.records.desk.theme != theme:
        with book.change(f"changed to {theme} screens") as transaction:
            transaction.put(replace(transaction.records.desk, theme=theme))


def choose_size(book: Book, *, large: bool) -> None:
    """Remembers large or usual keys and codes for the next evening."""
    if book.records.desk.large != large:
        with book.change(f"changed to {'large' if large else 'usual'} keys") as transaction:
            transaction.put(replace(transaction.records.desk, large=large))


def set_paper(book: Book, paper: Literal["a4", "letter"]) -> None:
    """Remembers the paper that reports are laid out on."""
    if book.records.desk.paper != paper:
        with book.change(f"chose {paper} as the paper of reports") as transaction:
            transaction.put(replace(transaction.records.desk, paper=paper))
