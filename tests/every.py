"""One test for all rows of a table: a test each would cost more than what is asked of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

T = TypeVar("T")


def every(rows: Iterable[T]) -> Callable[[Callable[[T], None]], Callable[[], None]]:
    """Makes a test that asks the decorated check of each row, and names the row that fails it."""
    asked = tuple(rows)
    assert asked

    def made(check: Callable[[T], None]) -> Callable[[], None]:
        def test() -> None:
            for row in asked:
                try:
                    check(row)
                except Exception as failure:
                    failure.add_note(f"Asked of {row!r}.")
                    raise

        test.__name__, test.__doc__, test.__module__ = (
            check.__name__,
            check.__doc__,
            check.__module__,
        )
        return test

    return made
