"""The find index of the open book, made when it is first asked and then kept up to date."""

from __future__ import annotations

from threading import Lock
from typing import TYPE_CHECKING

from tagbench.book import Book

if TYPE_CHECKING:
    from tagbench.rules.find.index import Found, Index


class FindIndex:
    """Answers from the book as it is now; only parts that changed are looked at again."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._index: Index | None = None
        self._seen = -1
        self._busy = Lock()

    def find(self, words: str, limit: int) -> list[Found]:
        """The parts that answer best, best first."""
        return self.up_to_date().find(words, limit)

    def up_to_date(self) -> Index:
        """The index over the records as they are now; may be called ahead in a thread."""
        from tagbench.rules.find.index import Index

        with self._busy:
            if self._index is None:
                self._index = Index()
            if self._seen != self._book.revision:
                self._seen = self._book.revision
                self._index.refresh(self._book.records)
            return self._index
