"""The want list in a transaction: a want by its number, put down with its supplier, in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput, NotFound
from tagbench.records import Tables, Want, replace

MOST_SUPPLIERS = 20
"""So many suppliers are remembered."""


def put_want(transaction: Transaction, want: Want) -> None:
    """Puts a want, and its supplier at the head of those remembered."""
    transaction.put(want)
    desk = transaction.records.desk
    if want.supplier:
        others = [s for s in desk.suppliers if s.casefold() != want.supplier.casefold()]
        transaction.put(replace(desk, suppliers=(want.supplier, *others)[:MOST_SUPPLIERS]))


def want_by_number(tables: Tables, number: int) -> Want:
    """The want with that number; NotFound when there is none."""
    want = tables.wants.get(str(number))
    if want is None:
        raise NotFound(f"There is no want {number}; list them with: wants.")
    return want


def chosen_numbers(numbers: Iterable[int]) -> list[int]:
    """Each number once; BadInput when there is none."""
    chosen = list(dict.fromkeys(numbers))
    if not chosen:
        raise BadInput("Choose at least one want by its number.")
    return chosen


def worded(want: Want) -> str:
    """`2 × felt seal`."""
    return f"{want.quantity} × {want.what}"


def many_words(wants: Sequence[Want]) -> str:
    """The one want in words, or how many."""
    return worded(wants[0]) if len(wants) == 1 else f"{len(wants)} things"
