"""A circle of bolts tightened in stages."""

from __future__ import annotations

from fractions import Fraction

import msgspec

from labels.boltcard.tightening import star_order
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


def tightening_stages(wanted: Range, bolts: int) -> list[Stage]:
    """The stages for `bolts` on a circle, with a last check round it; one bolt has one stage.

    The maker's manual goes before this. BadInput for no bolts.
    """
    if not 1 <= bolts <= 200:
        raise BadInput("A circle has from 1 to 200 bolts.")
    if bolts == 1:
        return [Stage(100, wanted, (1,), "Tighten to the full torque.")]
    star = tuple(place + 1 for place in star_order(bolts))
    stages = [Stage(share, _part(wanted, share), star, _sentence(share)) for share in STAGES]
    round_it = tuple(range(1, bolts + 1))
    last = "Go once round at the full torque until no bolt turns any more."
    return [*stages, Stage(100, wanted, round_it, last)]


def _part(wanted: Range, percent: int) -> Range:
    share = Fraction(percent, 100)
    return Range(wanted.low * share, wanted.high * share, wanted.unit)


def _sentence(percent: int) -> str:
    if percent == STAGES[0]:
        return f"Snug all by hand, then crosswise to {percent} %."
    return f"Crosswise to {'the full torque' if percent == 100 else f'{percent} %'}."
