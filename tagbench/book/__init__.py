"""The book on disk: crash-safe, shared by several programs, with history and undo."""

from typing import TYPE_CHECKING, Any

from tagbench.book.book import Book

if TYPE_CHECKING:
    from tagbench.book.transaction import Transaction

__all__ = ["Book", "Transaction"]


def __getattr__(name: str) -> Any:
    """`Transaction`, read when it is first asked for: looking at a book needs none."""
    if name == "Transaction":
        from tagbench.book.transaction import Transaction

        return Transaction
    raise AttributeError(name)
