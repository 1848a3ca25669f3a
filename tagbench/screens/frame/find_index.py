"""The find index of the open book, made when it is first asked and then kept up to date."""

from __future__ import annotations

import gc
from threading import Lock
from typing import TYPE_CHECKING

from tagbench.book import Book
from tagbench.book.memory import no_garbage_collection

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
        with self._busy:
            if self._index is None:
                self._index = self._made()
            if self._seen != self._book.revision:
                self._seen = self._book.revision
                self._index.refresh(self._book.records)
            return self._index

    def _made(self) -> Index:
        """The first index: a million objects that stay, and that no look for garbage need walk.

        A look at them all would hold up the screens longer than anything they do.
        """
        from tagbench.rules.find.index import Index

        with no_garbage_collection():
            self._seen = self._book.revision
            index = Index(self._book.records)
            if gc.get_freeze_count():  # as the program has done with all that it read
                gc.freeze()
        return index
