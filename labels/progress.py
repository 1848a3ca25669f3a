"""How long work tells how far it is."""

from collections.abc import Callable

Progress = Callable[[int, int], None]
"""Called with how many are done (tags, pages, rows), and of how many."""
