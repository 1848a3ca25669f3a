"""Ordering wants and taking in what arrived, each as one change."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tagbench.book.book import Book
from tagbench.book.operations.want_list import chosen_numbers, many_words, put_want, want_by_number
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput
from tagbench.records import Part, StockItem, Want, replace
from tagbench.rules.buying import deposits, returns, wants
from tagbench.rules.buying.single_use import in_stock, item_key, needed


def order(
    book: Book,
    numbers: Iterable[int],
    *,
    on: date | None = None,
    due: date | None = None,
    supplier: str = "",
) -> list[Want]:
    """Marks wants ordered, today or on an earlier day; all of them or, refused, none."""
    with book.change() as transaction:
        today = transaction.now.date()
        ordered = []
        for number in chosen_numbers(numbers):
            want = want_by_number(transaction.records, number)
            want = wants.order_want(want, on or today, today, due)
            want = replace(want, supplier=" ".join(supplier.split()) or want.supplier)
            put_want(transaction, want)
            ordered.append(want)
        transaction.words = f"ordered: {many_words(ordered)}"
        return ordered


def not_ordered(book: Book, numbers: Iterable[int]) -> list[Want]:
    """Puts wants back to be ordered, since nothing comes of the order."""
    with book.change() as transaction:
        chosen = chosen_numbers(numbers)
        again = [
            wants.not_ordered(want_by_number(transaction.records, number)) for number in chosen
        ]
        for want in again:
            transaction.put(want)
        transaction.words = f"to be ordered again: {many_words(again)}"
        return again


def wrong_came(book: Book, number: int, what: str = "", on: date | None = None) -> Want:
    """The wrong item came: the want stays open."""
    with book.change() as transaction:
        today = transaction.now.date()
        want = returns.wrong_came(
            want_by_number(transaction.records, number), on or today, today, what
        )
        transaction.put(want)
        transaction.words = f"the wrong one came for {want.what}"
        return want


def send_back(book: Book, number: int, on: date | None = None) -> Want:
    """The wrong item was sent back."""
    with book.change() as transaction:
        today = transaction.now.date()
        want = returns.send_back(want_by_number(transaction.records, number), on or today, today)
        transaction.put(want)
        transaction.words = f"sent back the wrong {want.what}"
        return want


def settle(book: Book, number: int, how: returns.Settled, due: date | None = None) -> Want:
    """The money came back, or the right item is on its way."""
    with book.change() as transaction:
        want = returns.settle(want_by_number(transaction.records, number), how, due)
        transaction.put(want)
        transaction.words = f"{how}: {want.what}"
        return want


def deposit_came_back(book: Book, number: int, on: date | None = None) -> Want:
    """The deposit on an exchange piece was paid back, today or on an earlier day."""
    with book.change() as transaction:
        today = transaction.now.date()
        want = deposits.deposit_back(
            want_by_number(transaction.records, number), on or today, today
        )
        transaction.put(want)
        transaction.words = f"the deposit on {want.what} came back"
        return want


def arrive(
    book: Book, numbers: Iterable[int], *, on: date | None = None, count: int | None = None
) -> tuple[list[Want], list[Part]]:
    """Marks wants arrived and their parts' replacements here; gives both.

    `count`: how many came when it was not all of one want; the rest stays wanted.
    """
    with book.change() as transaction:
        today = transaction.now.date()
        chosen = chosen_numbers(numbers)
        if count is not None and len(chosen) != 1:
            raise BadInput("Say how many came for one want at a time.")
        here = [_arrived(transaction, number, on or today, today, count) for number in chosen]
        parts: dict[str, Part] = {}
        for want in here:
            for part in wants.parts_here(transaction.records, want):
                transaction.put(part)
                parts[part.code] = part
        transaction.words = f"arrived: {many_words(here)}"
        return here, list(parts.values())


def _arrived(
    transaction: Transaction, number: int, on: date, today: date, count: int | None
) -> Want:
    want = returns.settled_by_arrival(want_by_number(transaction.records, number))
    want = wants.arrive(want, on, today)
    if count is not None and count != want.quantity:
        want, rest = wants.split_want(want, count, transaction.new_id("wants"))
        if rest is not None:
            transaction.put(replace(rest, arrived=None))
    transaction.put(want)
    _into_the_drawer(transaction, want)
    return want


def _into_the_drawer(transaction: Transaction, want: Want) -> None:
    """Single-use items go into stock, unless the want was for certain parts."""
    if want.parts:
        return
    item = in_stock(transaction.records, want.what)
    asked = {item_key(row.what) for row in needed(transaction.records, want.machine)}
    if item is None and item_key(want.what) in asked:
        item = StockItem(id=transaction.new_id("stock"), what=want.what)
    if item is not None:
        transaction.put(replace(item, quantity=item.quantity + want.quantity))
