"""Wants that follow a verdict: replace puts a part on the want list, reuse takes it off again."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from tagbench.book.transaction import Transaction
from tagbench.records import Part, Want, replace
from tagbench.rules.buying.part_numbers import known_numbers
from tagbench.rules.buying.wants import want_for, with_what_is_here, without_part


def want_replacement(draft: Transaction, parts: Iterable[Part], note: str = "") -> list[Want]:
    """A want in the draft for each part that waits for a new one and is on no open want yet.

    One that is made by hand is not bought; one that came before is here.
    """
    parts = look_at_what_is_here(draft, [part.code for part in parts])
    wanted = _on_open_wants(draft)
    _note_on_wants(draft, wanted.intersection(part.code for part in parts), note)
    waiting = [
        p for p in parts if p.replacement == "wanted" and p.make is None and p.code not in wanted
    ]
    known = known_numbers(draft.records.parts.values()) if waiting else {}
    made = []
    for part in waiting:
        want = want_for(draft.records, part, draft.new_id("wants"), known)
        notes = "; ".join(text for text in (note, want.note) if text)
        made.append(replace(want, note=notes))
        draft.put(made[-1])
    return made


def look_at_what_is_here(draft: Transaction, codes: Iterable[str]) -> list[Part]:
    """The parts with those codes, each put down as here whose new one has arrived already."""
    found = []
    for code in codes:
        before = draft.records.parts[code]
        part = with_what_is_here(draft.records, before)
        if part != before:
            draft.put(part)
        found.append(part)
    return found


def _on_open_wants(draft: Transaction) -> set[str]:
    wants = draft.records.wants.values()
    return {code for want in wants if want.arrived is None for code in want.parts}


def _note_on_wants(draft: Transaction, codes: Collection[str], note: str) -> None:
    """A note for parts that are wanted already goes on the wants they are on."""
    for want in list(draft.records.wants.values()):
        here = want.arrived is None and not set(codes).isdisjoint(want.parts)
        if note and here and note not in want.note:
            draft.put(replace(want, note="; ".join(filter(None, (want.note, note)))))


def no_longer_wanted(draft: Transaction, codes: Collection[str]) -> None:
    """Takes parts off the open wants of the draft; a want with nothing left to order is dropped."""
    for want in list(draft.records.wants.values()):
        here = set(codes).intersection(want.parts) if want.arrived is None else ()
        left: Want | None = want
        for code in here:
            left = without_part(left, code) if left is not None else None
        if left is None:
            draft.drop(want)
        elif left is not want:
            draft.put(left)
