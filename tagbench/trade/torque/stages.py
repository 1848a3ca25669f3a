"""Bolts tightened in stages: round a circle, on a rectangle, in a line, on an odd-shaped cover."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

import msgspec

from labels.boltcard.tightening import Point, spiral_order, star_order, tightening_order
from tagbench.errors import BadInput
from tagbench.trade.quantities.units import Range

#: Percent of the wanted torque at each stage, by ASME PCC-1 (legacy star pattern), from memory.
STAGES = (30, 60, 100)


class Stage(msgspec.Struct, frozen=True):
    """Once round the bolts."""

    percent: int
    """Share of the wanted torque, percent."""
    torque: Range
    """What each bolt gets at this stage."""
    order: tuple[int, ...]
    """Numbers of the bolts in the order of tightening, counted from 1 round the circle."""
    sentence: str
    """What to do."""


Pattern = Literal["circle", "rectangle", "line"]
"""How bolts sit: round a circle, in two rows, in one row."""
_ACROSS = 1.6
"""Distance between the two rows of a rectangle against that of neighbours in a row."""


def tightening_stages(
    wanted: Range,
    bolts: int,
    pattern: Pattern = "circle",
    holes: Sequence[Point] | None = None,
) -> list[Stage]:
    """The stages for `bolts`, with a last check over all; one bolt has one stage.

    Bolts of a circle are numbered round it, those of a rectangle round its edge from the top
    left, those of a line from the left. `holes` are positions of an odd-shaped cover (x to the
    right, y downwards, any unit) and go before the pattern. The maker's manual goes before this.
    BadInput for no bolts, and for positions that are not as many as the bolts.
    """
    if not 1 <= bolts <= 200:
        raise BadInput("A circle has from 1 to 200 bolts.")
    if holes is not None and len(holes) != bolts:
        raise BadInput(f"There are {len(holes)} hole positions for {bolts} bolts.")
    if bolts == 1:
        return [Stage(100, wanted, (1,), "Tighten to the full torque.")]
    order = tuple(place + 1 for place in order_of(bolts, pattern, holes))
    stages = [
        Stage(share, _part(wanted, share), order, _sentence(share, pattern, holes is not None))
        for share in STAGES
    ]
    over_all = tuple(range(1, bolts + 1))
    last = "Go once round at the full torque until no bolt turns any more."
    return [*stages, Stage(100, wanted, over_all, last)]


def order_of(bolts: int, pattern: Pattern, holes: Sequence[Point] | None) -> list[int]:
    """The order of tightening as places counted from 0: a star round a circle, else inside out."""
    if holes is not None:
        return tightening_order(holes)
    if pattern == "circle":
        return star_order(bolts)
    return spiral_order(_row(bolts) if pattern == "line" else _rectangle(bolts))


def _row(bolts: int) -> list[Point]:
    return [(float(place), 0.0) for place in range(bolts)]


def _rectangle(bolts: int) -> list[Point]:
    """Two rows, numbered along the upper one and back along the lower one; an odd one ends it."""
    upper = (bolts + 1) // 2
    lower = bolts - upper
    stretch = (upper - 1) / (lower - 1) if lower > 1 else 1.0
    above = [(float(place), 0.0) for place in range(upper)]
    below = [(stretch * place, _ACROSS) for place in range(lower)]
    return [*above, *reversed(below)]


def _part(wanted: Range, percent: int) -> Range:
    share = Fraction(percent, 100)
    return Range(wanted.low * share, wanted.high * share, wanted.unit)


def _sentence(percent: int, pattern: Pattern, odd: bool) -> str:
    way = "Crosswise" if pattern == "circle" or odd else "From the middle outwards"
    if percent == STAGES[0]:
        return f"Snug all by hand, then {way[0].lower()}{way[1:]} to {percent} %."
    return f"{way} to {'the full torque' if percent == 100 else f'{percent} %'}."
