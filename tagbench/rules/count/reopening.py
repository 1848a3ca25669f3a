"""Work on a closed machine: what is no longer as it was when it was closed."""

from __future__ import annotations

from collections.abc import Iterable

from tagbench.records import Fastener, Machine, Part, Setting, Tables
from tagbench.rules.count.closing import open_lines
from tagbench.rules.count.identity import machine_count

DESCRIPTION = frozenset(
    (
        *("name", "assembly", "position", "order", "removed", "sits_how", "photos", "bin"),
        *("new_bin", "behind", "kind", "part_numbers", "note", "what", "source", "typed"),
    )
)
"""Fields of a part or setting that say what it is; to change one is no work on the machine."""


def no_longer_closed(
    before: Tables, after: Tables, touched: Iterable[tuple[str, str]]
) -> list[Machine]:
    """The machines, as they were, that were closed before a change and are worked on by it.

    `touched`: table and key of the records that the change may have changed. Work is any change
    of a part or setting but in its description, and whatever opens a line of the count that was
    not closed with a reason. A machine that the change itself closed or opened is not among them.
    """
    found: dict[str, Machine] = {}
    for table, key in touched:
        old = getattr(before, table).get(key) if table in _OF_MACHINES else None
        new = getattr(after, table).get(key) if table in _OF_MACHINES else None
        for record in (old, new):
            machine = after.machines.get(record.machine) if record is not None else None
            if machine is None or machine.mark in found or old == new:
                continue
            if _is_closed(before, machine) and (_is_work(old, new) or lines_opened(after, machine)):
                found[machine.mark] = machine
    return list(found.values())


_OF_MACHINES = ("parts", "settings", "wants")


def _is_closed(before: Tables, machine: Machine) -> bool:
    """Whether it was closed and is just as it was."""
    then = before.machines.get(machine.mark)
    return machine.closed is not None and then is not None and then.closed == machine.closed


def _is_work(old: object, new: object) -> bool:
    kept = old if old is not None else new
    if not isinstance(kept, Part | Setting):
        return False
    if old is None or new is None:
        return True
    return any(
        _counted(getattr(old, name)) != _counted(getattr(new, name))
        for name in kept.__struct_fields__
        if name not in DESCRIPTION
    )


def _counted(value: object) -> object:
    """A field as it matters to the count: of fasteners how many, what they are to be and are."""
    if not isinstance(value, tuple):
        return value
    return tuple(
        (one.quantity, one.back, one.short, one.single_use, one.renewed, one.torque, one.torqued)
        if isinstance(one, Fastener)
        else one
        for one in value
    )


def lines_opened(tables: Tables, machine: Machine) -> bool:
    """Whether the count has an open line that the machine was not closed with a reason for."""
    lines = open_lines(machine_count(tables, machine.mark))
    return any(line.key not in machine.closed_with for line in lines)
