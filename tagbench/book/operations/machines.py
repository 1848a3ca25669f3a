"""Machines: adding one, choosing one, naming the one that made itself."""

from __future__ import annotations

from typing import Any

from tagbench.book.book import Book
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput, NotFound, Refused
from tagbench.records import BIN_MARK, Machine, Tables, replace

FIRST_MARK = "A"


def spell_mark(text: str) -> str:
    """A mark in capitals; raises BadInput unless it is 1-3 letters or digits and not BIN."""
    mark = text.strip().upper()
    if not (1 <= len(mark) <= 3 and mark.isascii() and mark.isalnum()):
        raise BadInput(f"“{text}” is not a mark: use 1 to 3 letters or digits, such as TP.")
    if mark == BIN_MARK:
        raise BadInput("BIN is the mark of bags and boxes: choose another one, such as TP.")
    return mark


def free_mark(tables: Tables, name: str) -> str:
    """A mark that no code carries yet: the initials of the name, else the next letter."""
    initials = "".join(word[0] for word in name.upper().split() if word[0].isascii())
    letters = [chr(letter) for letter in range(ord("A"), ord("Z") + 1)]
    proposals = ["".join(filter(str.isalpha, initials))[:2], *letters]
    pairs = [one + other for one in letters for other in letters]
    taken = set(tables.machines) | set(tables.desk.serials) | {BIN_MARK}
    return next(mark for mark in [*proposals, *pairs] if mark and mark not in taken)


def add(book: Book, name: str, mark: str = "", **fields: Any) -> Machine:
    """Adds a machine and chooses it; without a mark one is made from the name's initials.

    An empty machine that made itself (mark A, not yet named) is not replaced: it stays.
    Raises BadInput for a mark that is taken, also by a machine taken away, since codes
    are never given out again.
    """
    if not name.strip():
        raise BadInput("The machine needs a name, for example: machine add “Packman” --mark TP.")
    with book.change(f"added the machine {name.strip()}") as transaction:
        wanted = spell_mark(mark) if mark else free_mark(transaction.records, name)
        if wanted in transaction.records.machines or wanted in transaction.records.desk.serials:
            raise BadInput(f"The mark {wanted} has been used; choose another one with --mark.")
        machine = replace(Machine(mark=wanted, name=name.strip()), **fields)
        transaction.put(machine)
        transaction.put(replace(transaction.records.desk, machine=wanted))
        return machine


def choose(book: Book, mark: str) -> Machine:
    """Chooses the machine that new parts belong to; one that was set aside is taken up again."""
    machine = by_mark(book.records, mark)
    if book.records.desk.machine != machine.mark or machine.aside:
        with book.change(f"chose the machine {machine.name}") as transaction:
            machine = replace(by_mark(transaction.records, mark), aside=None, aside_why="")
            transaction.put(machine)
            transaction.put(replace(transaction.records.desk, machine=machine.mark))
    return machine


def set_aside(book: Book, mark: str, why: str = "") -> tuple[Machine, Machine | None]:
    """A machine is set aside; the one that is worked on instead, where it is clear which.

    Choosing it takes it up again. Refused for one that is closed or set aside already.
    """
    with book.change() as transaction:
        machine = by_mark(transaction.records, mark)
        if machine.aside is not None:
            raise Refused(f"{machine.name} is set aside already; choose it to take it up again.")
        if machine.closed is not None:
            raise Refused(f"{machine.name} is closed, so there is nothing to set aside.")
        machine = replace(machine, aside=transaction.now, aside_why=" ".join(why.split()))
        transaction.put(machine)
        others = [
            one
            for one in transaction.records.machines.values()
            if one.mark != machine.mark and one.aside is None and one.closed is None
        ]
        now = others[0] if len(others) == 1 else None
        if now is not None and transaction.records.desk.machine == machine.mark:
            transaction.put(replace(transaction.records.desk, machine=now.mark))
        transaction.words = f"set aside {machine.name}" + (
            f"; on the bench: {now.name}" if now else ""
        )
        return machine, now


def edit_machine(book: Book, mark: str, **fields: Any) -> Machine:
    """Changes the named fields of a machine (never its mark, which stands on the tags).

    In another unit of torque the scale of its wrench stays what it was.
    """
    if "mark" in fields:
        raise BadInput("The mark stands on the printed tags and cannot be changed.")
    with book.change(f"changed the machine {mark}") as transaction:
        before = by_mark(transaction.records, mark)
        machine = replace(before, **(_wrench_in_units(before, fields) | fields))
        transaction.put(machine)
        return machine


def _wrench_in_units(before: Machine, fields: dict[str, Any]) -> dict[str, Any]:
    """The scale of the wrench in the units that the machine is to have."""
    from tagbench.trade.quantities.units import convert, exact

    unit = fields.get("units", before.units).torque
    scale = {"wrench_low": before.wrench_low, "wrench_high": before.wrench_high}
    return {
        name: float(convert(exact(value), before.units.torque, unit))
        for name, value in scale.items()
        if value is not None and unit != before.units.torque
    }


def by_mark(tables: Tables, mark: str) -> Machine:
    """The machine with that mark; raises NotFound and names the marks there are."""
    machine = tables.machines.get(mark.strip().upper())
    if machine is None:
        there = ", ".join(sorted(tables.machines)) or "none yet; add one with machine add NAME"
        raise NotFound(f"No machine has the mark {mark}; there is: {there}.")
    return machine


def chosen(tables: Tables) -> Machine | None:
    """The chosen machine, else the only one, else None."""
    machine = tables.machines.get(tables.desk.machine)
    if machine is None and len(tables.machines) == 1:
        return next(iter(tables.machines.values()))
    return machine


def chosen_or_made(transaction: Transaction, mark: str = "") -> Machine:
    """The machine for a new part: the named one, the chosen one, else a new one with mark A."""
    if mark:
        return by_mark(transaction.records, mark)
    machine = chosen(transaction.records)
    if machine is None and transaction.records.machines:
        marks = ", ".join(sorted(transaction.records.machines))
        raise BadInput(f"Which machine? Choose one first with: machine choose MARK ({marks}).")
    if machine is None:
        taken = FIRST_MARK in transaction.records.desk.serials
        mark = free_mark(transaction.records, "") if taken else FIRST_MARK
        machine = Machine(mark=mark, name="Machine not yet named")
        transaction.put(machine)
        transaction.put(replace(transaction.records.desk, machine=mark))
    return machine
