"""Twins: left and right of the same thing, each naming the other, never two of one side."""

from __future__ import annotations

from tagbench.errors import BadInput, Refused
from tagbench.records import Part, Tables, replace
from tagbench.rules.describe.phrases import named


def linked(one: Part, other: Part) -> tuple[Part, Part]:
    """The two as twins. Refused for one and the same, other machines, or one that has a twin.

    BadInput when their sides do not tell them apart.
    """
    if one.code == other.code:
        raise Refused(f"{named(one)} cannot be its own twin.")
    if one.machine != other.machine:
        raise Refused(f"{named(other)} is of another machine than {named(one)}.")
    for part, twin in ((one, other), (other, one)):
        if part.twin not in ("", twin.code):
            raise Refused(f"{named(part)} is the twin of {part.twin} already; part those first.")
    refuse_one_side(one.position, other.position, other)
    return replace(one, twin=other.code), replace(other, twin=one.code)


def refuse_one_side(position: str, others: str, other: Part) -> None:
    """Raises BadInput when two sides do not tell twins apart."""
    if not position.strip() or not others.strip():
        raise BadInput("Twins are told apart by their side; write down left or right for both.")
    if position.strip().casefold() == others.strip().casefold():
        raise BadInput(f"{named(other)} is the one on the {others}; give its twin the other side.")


def without_twin(tables: Tables, part: Part) -> list[Part]:
    """The part and its twin without the link; Refused for one that has no twin."""
    if not part.twin:
        raise Refused(f"{named(part)} has no twin.")
    twin = tables.parts.get(part.twin)
    both = [part, twin] if twin is not None and twin.twin == part.code else [part]
    return [replace(one, twin="") for one in both]


def twin_of(tables: Tables, part: Part) -> Part | None:
    """The same thing on the other side; None without one."""
    return tables.parts.get(part.twin) if part.twin else None


def twin_words(twin: Part) -> str:
    """Said beside a part at hand: `the other one is Wheel cylinder, left TP-016-9; …`."""
    return f"the other one is {named(twin)}; do not mix them"
