"""The book on disk: crash-safe, shared by several programs, with history and undo."""

from tagbench.book.book import Book
from tagbench.book.transaction import Transaction

__all__ = ["Book", "Transaction"]
