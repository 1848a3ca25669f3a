"""The bolt card of a part: which screw belongs in which hole, from where its fasteners sat."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable

from labels.boltcard.card import CardHole, parse_clock, parse_place, spell_hole
from labels.errors import CardError
from tagbench.errors import BadInput
from tagbench.records import Fastener, Part, replace
from tagbench.rules.places import clock_positions
from tagbench.trade.fasteners.hole_phrases import OTHER_HOLES
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.fasteners.text import parse_fasteners
from tagbench.trade.threads.clearance import clearance_hole

_SORT = re.compile(r"\b(?:long|short|medium|middle)(?:er|est)?\b", re.IGNORECASE)
_BETWEEN = re.compile(r"\s*(?:;|\band\b|&|\|)\s*")


def card_holes(part: Part) -> tuple[CardHole, ...]:
    """A hole for every fastener whose place says where it sat, in the order of the fasteners.

    Places are clock positions (`12, 4 and 8 o'clock`) or millimetres right and up
    (`0 0; 40 0`). Screws of all other holes have none on the card; `other_holes` names them.
    Raises BadInput when no fastener has such a place, or when a place names fewer or more positions
    than there are fasteners.
    """
    placed = [one for one in part.fasteners if one.place and not _in_the_others(one)]
    holes = [hole for fastener in placed for hole in _holes(fastener)]
    if not holes:
        raise BadInput(
            f"No fastener of {part.code} says where it sat; add its place, such as "
            "(12, 4 and 8 o'clock), or name each hole, such as “6 o'clock: M6x45”."
        )
    return tuple(holes)


def with_rings(holes: Iterable[CardHole]) -> tuple[CardHole, ...]:
    """The holes, each with the clearance hole of its screw (ISO 273 or ASME B18.2.8, medium) where
    the screw names a thread."""
    return tuple(
        hole if hole.ring_mm else dataclasses.replace(hole, ring_mm=_clearance_mm(hole.screw))
        for hole in holes
    )


def _clearance_mm(screw: str) -> float | None:
    try:
        lines = parse_fasteners(screw)
        thread = next((line.thread for line in lines if line.thread), "")
        return float(clearance_hole(thread).number("mm")) if thread else None
    except BadInput:  # words such as “long one”: a ring of the usual size
        return None


def other_holes(part: Part) -> str:
    """`all other holes: 3 × M6x1x25`; empty where every hole is named."""
    rest = [one for one in part.fasteners if _in_the_others(one)]
    said = " and ".join(f"{one.quantity} × {screw_words(one)}" for one in rest)
    return f"{OTHER_HOLES}: {said}" if rest else ""


def _in_the_others(fastener: Fastener) -> bool:
    return fastener.place.casefold().endswith(OTHER_HOLES)


def screw_words(fastener: Fastener) -> str:
    """What tells one screw from the others at the hole: `M6x1x45 hex`, or `long screw`."""
    bare = replace(fastener, quantity=1, place="", torque=None, locking=(), grade="", note="")
    sort = _SORT.search(fastener.place) if fastener.length is None else None
    return f"{sort[0].casefold()} {spell(bare)}" if sort else spell(bare)


def holes_in_words(part: Part) -> list[str]:
    """Hole by hole, round the clock: `12 o'clock: M6x1x45`; what goes into all others last.

    Empty where nothing is to be mixed up: one sort of screw alone, or no hole named.
    """
    if len(part.fasteners) < 2:
        return []
    found = []
    for fastener in part.fasteners:
        if fastener.place and not _in_the_others(fastener):
            try:
                found += _holes(fastener)
            except BadInput:
                return []  # the card says what does not fit together
    found.sort(key=lambda hole: (hole.clock is None, hole.clock or 0.0))
    rest = other_holes(part)
    return [spell_hole(hole) for hole in found] + ([rest] if found and rest else [])


def _holes(fastener: Fastener) -> list[CardHole]:
    screw = screw_words(fastener)
    spots = _measured(fastener.place)
    holes = [CardHole(screw, at_mm=parse_place(spot)) for spot in spots]
    if not holes:
        positions = clock_positions(fastener.place)
        holes = [CardHole(screw, clock=parse_clock(position)) for position in positions]
    if len(holes) != fastener.quantity:
        raise BadInput(
            f"There are {fastener.quantity} of {screw}, but “{fastener.place}” names "
            f"{len(holes)} position{'s' * (len(holes) != 1)}; name each: 12, 4 and 8 o'clock."
        )
    return holes


def _measured(place: str) -> list[str]:
    """The typed x/y positions in a place; empty when it holds none."""
    spots = [spot for spot in _BETWEEN.split(place) if spot.strip()]
    try:
        for spot in spots:
            parse_place(spot)
    except CardError:
        return []
    return spots
