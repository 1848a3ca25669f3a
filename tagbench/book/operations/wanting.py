"""Wants as one change each: added, changed, dropped; collected from parts and single-use items."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from tagbench.book.book import Book
from tagbench.book.operations.machines import chosen_or_made
from tagbench.book.operations.replacing import look_at_what_is_here
from tagbench.book.operations.strip import part_by_code
from tagbench.book.operations.want_list import (
    chosen_numbers,
    many_words,
    put_want,
    want_by_number,
    worded,
)
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput
from tagbench.records import Want, replace
from tagbench.rules.buying.deposits import with_deposit
from tagbench.rules.buying.single_use import Needed, needed
from tagbench.rules.buying.wants import check_want, due_on, priced, want_for


@dataclass(frozen=True)
class WantForm:
    """What the person says about a want; None and empty leave a field of an old want as it is."""

    what: str = ""
    """What is wanted."""
    codes: tuple[str, ...] | None = None
    """Codes of the parts that wait for it; empty for general supplies."""
    number: str | None = None
    """Part number to order."""
    quantity: int | None = None
    """How many."""
    supplier: str | None = None
    """Who sells it."""
    price: str | None = None
    """Price of one as typed, with comma or point; empty takes it out."""
    currency: str = ""
    """Currency when it does not stand beside the price."""
    due: date | None = None
    """Day it should arrive."""
    no_due: bool = False
    """Whether the day it should arrive is taken out."""
    deposit: str | None = None
    """Deposit on the exchange piece, as typed; empty takes it out."""
    note: str | None = None
    """Anything else."""
    mark: str = ""
    """Mark of the machine; else that of the parts, else the chosen one."""


def add_want(book: Book, form: WantForm) -> Want:
    """Adds a want; with parts it is named and numbered after the first one, unless said."""
    with book.change() as transaction:
        parts = [part_by_code(transaction.records, code) for code in form.codes or ()]
        if not parts and not form.what.strip():
            raise BadInput("Say what is wanted, in a word or two, or for which part.")
        machine = chosen_or_made(transaction, form.mark or (parts[0].machine if parts else ""))
        number = transaction.new_id("wants")
        if parts:
            start = replace(want_for(transaction.records, parts[0], number), machine=machine.mark)
        else:
            start = Want(id=number, machine=machine.mark, what=form.what)
        want = _filled(transaction, start, form)
        put_want(transaction, want)
        transaction.words = f"wanted: {worded(want)}"
        return want


def _filled(transaction: Transaction, want: Want, form: WantForm) -> Want:
    """The want with what the form says, checked against the book."""
    if form.quantity is not None and form.quantity < 1:
        raise BadInput(f"The quantity must be 1 or more, not {form.quantity}.")
    said: dict[str, Any] = {
        "what": form.what if form.what.strip() else None,
        "parts": form.codes,
        "number": form.number,
        "quantity": form.quantity,
        "supplier": form.supplier,
        "note": form.note,
    }
    want = replace(want, **{name: value for name, value in said.items() if value is not None})
    if form.no_due:
        want = replace(want, due=None)
    elif form.due is not None:
        want = due_on(want, form.due, transaction.now.date())
    if form.price is not None or form.currency:
        machine = transaction.records.machines.get(want.machine)
        preferred = machine.units.currency if machine is not None else ""
        price = want.price if form.price is None else form.price
        if form.currency and not price.strip():
            raise BadInput("A currency goes with a price, such as 12.50.")
        want = priced(want, price, form.currency, preferred)
    if form.deposit is not None:
        machine = transaction.records.machines.get(want.machine)
        want = with_deposit(want, form.deposit, machine.units.currency if machine else "")
    return check_want(transaction.records, want)


def want_single_use(book: Book, mark: str = "") -> list[Want]:
    """A want for each single-use item that neither stock nor other wants cover."""
    with book.change() as transaction:
        machine = chosen_or_made(transaction, mark).mark
        rows = [row for row in needed(transaction.records, machine) if row.to_buy]
        if not rows:
            raise BadInput("No single-use item is to be bought: stock and wants cover them all.")
        wants = [_want_of(transaction, machine, row) for row in rows]
        for want in wants:
            transaction.put(want)
        transaction.words = f"wanted: {many_words(wants)}"
        return wants


def _want_of(transaction: Transaction, machine: str, row: Needed) -> Want:
    return Want(
        id=transaction.new_id("wants"),
        machine=machine,
        what=row.what,
        quantity=row.to_buy,
        note="single-use",
    )


def edit_want(book: Book, number: int, form: WantForm) -> Want:
    """Changes what the form names of a want and nothing else."""
    with book.change() as transaction:
        before = want_by_number(transaction.records, number)
        want = _filled(transaction, before, form)
        put_want(transaction, want)
        look_at_what_is_here(transaction, _in_the_book(transaction, before.parts))
        transaction.words = f"changed the want {worded(want)}"
        return want


def drop_want(book: Book, numbers: Iterable[int]) -> list[Want]:
    """Takes wants off the list; a part that only waited for the rest of an order waits no more."""
    with book.change() as transaction:
        wants = [want_by_number(transaction.records, number) for number in chosen_numbers(numbers)]
        for want in wants:
            transaction.drop(want)
        for want in wants:
            look_at_what_is_here(transaction, _in_the_book(transaction, want.parts))
        transaction.words = f"no longer wanted: {many_words(wants)}"
        return wants


def _in_the_book(transaction: Transaction, codes: Iterable[str]) -> list[str]:
    return [code for code in codes if code in transaction.records.parts]
