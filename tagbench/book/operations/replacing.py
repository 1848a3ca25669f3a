"""Wants that follow a verdict: replace puts a part on the want list, reuse takes it off again."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from tagbench.book.transaction import Transaction
from tagbench.records import Part, Want, replace
from tagbench.rules.buying.part_numbers import known_numbers
from tagbench.rules.buying.wants import want_for, with_what_is_here, without_part


def want_replacement(transaction: Transaction, parts: Iterable[Part], note: str = "") -> list[Want]:
    """A want in the transaction for each part that waits for a new one and is on no open want yet.

    One that is made by hand is not bought; one that came before is here.
    """
    parts = look_at_what_is_here(transaction, [part.code for part in parts])
    wanted = _on_open_wants(transaction)
    _note_on_wants(transaction, wanted.intersection(part.code for part in parts), note)
    waiting = [
        p for p in parts if p.replacement == "wanted" and p.make is None and p.code not in wanted
    ]
    known = known_numbers(transaction.records.parts.values()) if waiting else {}
    made = []
    for part in waiting:
        want = want_for(transaction.records, part, transaction.new_id("wants"), known)
        notes = "; ".join(text for text in (note, want.note) if text)
        made.append(replace(want, note=notes))
        transaction.put(made[-1])
    return made


def look_at_what_is_here(transaction: Transaction, codes: Iterable[str]) -> list[Part]:
    """The parts with those codes, each put down as here whose new one has arrived already."""
    found = []
    for code in codes:
        before = transaction.records.parts[code]
        part = with_what_is_here(transaction.records, before)
        if part != before:
            transaction.put(part)
        found.append(part)
    return found


def _on_open_wants(transaction: Transaction) -> set[str]:
    wants = transaction.records.wants.values()
    return {code for want in wants if want.arrived is None for code in want.parts}


def _note_on_wants(transaction: Transaction, codes: Collection[str], note: str) -> None:
    """A note for parts that are wanted already goes on the wants they are on."""
    for want in list(transaction.records.wants.values()):
        here = want.arrived is None and not set(codes).isdisjoint(want.parts)
        if note and here and note not in want.note:
            transaction.put(replace(want, note="; ".join(filter(None, (want.note, note)))))


def no_longer_wanted(transaction: Transaction, codes: Collection[str]) -> None:
    """Takes parts off the open wants; a want with nothing left to order is dropped."""
    for want in list(transaction.records.wants.values()):
        here = set(codes).intersection(want.parts) if want.arrived is None else ()
        left: Want | None = want
        for code in here:
            left = without_part(left, code) if left is not None else None
        if left is None:
            transaction.drop(want)
        elif left is not want:
            transaction.put(left)
