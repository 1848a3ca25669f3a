"""A closed machine that is worked on again is open, whatever the work was, and says so once."""

from __future__ import annotations

from collections.abc import Iterable

from tagbench.book.transaction import Transaction
from tagbench.records import Change, Machine, replace


def open_again(draft: Transaction) -> None:
    """Opens the machines that were closed before the draft and are worked on by it."""
    if not any(machine.closed for machine in draft.before.machines.values()):
        return
    from tagbench.rules.count.reopening import no_longer_closed

    found = {one.mark: one for one in no_longer_closed(draft.before, draft.records, draft.touched)}
    for mark in draft.machines_worked_on:
        machine = draft.records.machines.get(mark)
        if machine is not None and machine.closed is not None:
            found.setdefault(mark, machine)
    _open(draft, found.values())


def stay_open(draft: Transaction, since: Iterable[Change]) -> None:
    """Keeps machines open whose closing comes back with a change taken back, but not as it was.

    `since`: the changes that were made later and still hold.
    """
    closed = [m for m in draft.records.machines.values() if m.closed and _was_open(draft, m)]
    touched = (
        [(edit.table, edit.key) for change in since for edit in change.edits] if closed else []
    )
    worked_on = {key.split("-", 1)[0] for table, key in touched if table == "parts"}
    numbers = {key for table, key in touched if table == "settings"}
    for number in numbers.intersection(draft.records.settings):
        worked_on.add(draft.records.settings[number].machine)
    if not closed:
        return
    from tagbench.rules.count.reopening import lines_opened

    _open(draft, [m for m in closed if m.mark in worked_on or lines_opened(draft.records, m)])


def _was_open(draft: Transaction, machine: Machine) -> bool:
    before = draft.before.machines.get(machine.mark)
    return before is not None and before.closed is None


def _open(draft: Transaction, machines: Iterable[Machine]) -> None:
    for machine in machines:
        draft.put(replace(draft.records.machines[machine.mark], closed=None, closed_with={}))
        draft.words += f"; {machine.name} is open again"
