"""What is in the drawer: cotter pins, washers, gaskets; counted, added, used."""

from __future__ import annotations

from tagbench.book.book import Book
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput, NotFound
from tagbench.records import StockItem, replace
from tagbench.rules.buying.single_use import in_stock


def count_stock(book: Book, what: str, quantity: int, note: str | None = None) -> StockItem:
    """Writes down how many of an item there are; a new item gets a line of its own."""
    with book.change() as transaction:
        return _counted(transaction, what, quantity, note)


def move_stock(book: Book, what: str, by: int) -> StockItem:
    """Puts so many of an item into the drawer, or takes them out; BadInput below none."""
    with book.change() as transaction:
        old = in_stock(transaction.records, what)
        have = old.quantity if old is not None else 0
        if have + by < 0:
            raise BadInput(f"There are only {have} of {what}; {-by} cannot be taken out.")
        return _counted(transaction, what, have + by)


def _counted(
    transaction: Transaction, what: str, quantity: int, note: str | None = None
) -> StockItem:
    what = " ".join(what.split())
    if not what:
        raise BadInput("Say what is in the drawer, for example “cotter pin 3.2x32”.")
    if quantity < 0:
        raise BadInput(f"There cannot be {quantity} of {what}; count again.")
    old = in_stock(transaction.records, what) or StockItem(
        id=transaction.new_id("stock"), what=what
    )
    item = replace(old, quantity=quantity, note=old.note if note is None else note)
    transaction.put(item)
    transaction.words = f"{quantity} × {item.what} in stock"
    return item


def drop_stock(book: Book, what: str) -> StockItem:
    """Takes the line of an item away; NotFound when there is none."""
    with book.change(f"no more stock line for {what}") as transaction:
        item = in_stock(transaction.records, what)
        if item is None:
            raise NotFound(f"There is no {what} in stock.")
        transaction.drop(item)
        return item
