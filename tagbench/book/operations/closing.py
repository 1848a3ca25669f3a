"""Closing the machine after a clean count, or with a written reason for each open line."""

from __future__ import annotations

from collections.abc import Mapping

from tagbench.book.book import Book
from tagbench.book.operations.machines import by_mark
from tagbench.errors import BadInput
from tagbench.records import Machine, replace
from tagbench.rules.count.closing import check_closing
from tagbench.rules.count.identity import machine_count


def close_machine(book: Book, mark: str, reasons: Mapping[str, str] | None = None) -> Machine:
    """Closes the rebuild. `reasons`: name of an open line → why it is closed all the same.

    Raises Refused and names the lines that are open without a reason, BadInput for a reason whose
    line is not open.
    """
    with book.change() as transaction:
        machine = by_mark(transaction.records, mark)
        written = check_closing(machine_count(transaction.records, machine.mark), reasons or {})
        after = replace(machine, closed=transaction.now, closed_with=written)
        transaction.put(after)
        left = f" with {len(written)} written reasons" if written else ", nothing left open"
        transaction.words = f"closed {machine.name}{left}"
        return after


def reopen_machine(book: Book, mark: str) -> Machine:
    """Opens a closed machine again. Raises BadInput when it is not closed."""
    with book.change() as transaction:
        machine = by_mark(transaction.records, mark)
        if machine.closed is None:
            raise BadInput(f"{machine.name} is not closed.")
        after = replace(machine, closed=None, closed_with={})
        transaction.put(after)
        transaction.words = f"opened {machine.name} again"
        return after
