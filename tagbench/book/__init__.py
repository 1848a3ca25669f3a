"""The book on disk: crash-safe, shared by several programs, with history and undo."""

from typing import TYPE_CHECKING, Any

from tagbench.book.book import Book

if TYPE_CHECKING:
    from tagbench.book.transaction import Draft

__all__ = ["Book", "Draft"]


def __getattr__(name: str) -> Any:
    """`Draft`, read when it is first asked for: looking at a book needs none."""
    if name == "Draft":
        from tagbench.book.transaction import Draft

        return Draft
    raise AttributeError(name)
