"""Gaskets made by hand: put down with their measures, made, or bought after all."""

from __future__ import annotations

from tagbench.book.book import Book
from tagbench.book.operations.replacing import no_longer_wanted, want_replacement
from tagbench.book.operations.strip import part_by_code
from tagbench.errors import BadInput
from tagbench.records import Gasket, Part, replace
from tagbench.rules.buying.gaskets import gasket_words
from tagbench.rules.care.steps import decide
from tagbench.rules.describe.phrases import named
from tagbench.trade.gasket import gasket_plan


def to_make(book: Book, code: str, gasket: Gasket) -> Part:
    """Puts down that a part is replaced by one cut by hand; it leaves the want list.

    Raises Refused for a part on the machine, BadInput for a gasket that cannot be cut.
    """
    gasket_plan(gasket)
    with book.change() as transaction:
        part = part_by_code(transaction.records, code)
        made = part.make is not None and part.make.made
        part = decide(replace(part, make=replace(gasket, made=made)), "replace")
        transaction.put(part)
        no_longer_wanted(transaction, [code])
        transaction.words = f"to make: {named(part)}, {gasket_words(gasket)}"
    return part


def made(book: Book, code: str) -> Part:
    """Writes down that the new one has been made and is here."""
    with book.change() as transaction:
        part = _to_be_made(part_by_code(transaction.records, code))
        if part.replacement == "here":
            raise BadInput(f"{part.said} {code} has been made already.")
        assert part.make is not None
        part = replace(part, replacement="here", make=replace(part.make, made=True))
        transaction.put(part)
        transaction.words = f"made {named(part)}"
    return part


def buy_instead(book: Book, code: str) -> Part:
    """Takes the gasket's measures away; the part goes on the want list if none is here."""
    with book.change() as transaction:
        part = replace(_to_be_made(part_by_code(transaction.records, code)), make=None)
        transaction.put(part)
        want_replacement(transaction, [part])
        transaction.words = f"no longer to make: {named(part)}"
    return part


def _to_be_made(part: Part) -> Part:
    if part.make is None:
        raise BadInput(f"{named(part)} is not a part to make; give its measures first.")
    return part
