"""A closed machine that is worked on again is open, whatever the work was, and says so once."""

from __future__ import annotations

from collections.abc import Iterable

from tagbench.book.transaction import Transaction
from tagbench.records import Change, Machine, replace


def open_again(transaction: Transaction) -> None:
    """Opens the machines that were closed before the transaction and are worked on by it."""
    if not any(machine.closed for machine in transaction.before.machines.values()):
        return
    from tagbench.rules.count.reopening import no_longer_closed

    found = {
        one.mark: one
        for one in no_longer_closed(transaction.before, transaction.records, transaction.touched)
    }
    for mark in transaction.machines_worked_on:
        machine = transaction.records.machines.get(mark)
        if machine is not None and machine.closed is not None:
            found.setdefault(mark, machine)
    _open(transaction, found.values())


def stay_open(transaction: Transaction, since: Iterable[Change]) -> None:
    """Keeps machines open whose closing comes back with a change taken back, but not as it was.

    `since`: the changes that were made later and still hold.
    """
    closed = [
        m for m in transaction.records.machines.values() if m.closed and _was_open(transaction, m)
    ]
    touched = (
        [(edit.table, edit.key) for change in since for edit in change.edits] if closed else []
    )
    worked_on = {key.split("-", 1)[0] for table, key in touched if table == "parts"}
    numbers = {key for table, key in touched if table == "settings"}
    for number in numbers.intersection(transaction.records.settings):
        worked_on.add(transaction.records.settings[number].machine)
    if not closed:
        return
    from tagbench.rules.count.reopening import lines_opened

    _open(
        transaction,
        [m for m in closed if m.mark in worked_on or lines_opened(transaction.records, m)],
    )


def _was_open(transaction: Transaction, machine: Machine) -> bool:
    before = transaction.before.machines.get(machine.mark)
    return before is not None and before.closed is None


def _open(transaction: Transaction, machines: Iterable[Machine]) -> None:
    for machine in machines:
        transaction.put(
            replace(transaction.records.machines[machine.mark], closed=None, closed_with={})
        )
        transaction.words += f"; {machine.name} is open again"
