"""Out-of-round and taper of a bore or a journal, from several readings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.shown import show_length
from tagbench.trade.units import Quantity


class Roundness(msgspec.Struct, frozen=True):
    """How far a bore or journal is from a cylinder."""

    out_of_round: float
    """Largest difference between directions at one level, in `unit`."""
    taper: float
    """Largest difference between levels in one direction, in `unit`."""
    largest: float
    """Largest reading, in `unit`."""
    smallest: float
    """Smallest reading, in `unit`."""
    unit: str
    """Unit of all figures: that of the first reading."""
    sentence: str
    """The same in words."""


def roundness(levels: Mapping[str, Sequence[Quantity]]) -> Roundness:
    """From readings by level (`top`, `middle`, …), each in the same directions in turn.

    Out-of-round needs two directions, usually square to each other, and taper two levels;
    what is missing counts as 0. BadInput for none, or for levels of different lengths.
    """
    rows = [list(readings) for readings in levels.values()]
    if not rows or not rows[0] or any(len(row) != len(rows[0]) for row in rows):
        raise BadInput(
            "Give the same number of readings at each level, such as top 52.03 52.05 mm."
        )
    unit = rows[0][0].unit
    values = [[reading.to(unit).value for reading in row] for row in rows]
    out_of_round = max(max(row) - min(row) for row in values)
    taper = max(max(column) - min(column) for column in zip(*values, strict=True))
    every = [value for row in values for value in row]
    return Roundness(
        out_of_round=float(out_of_round),
        taper=float(taper),
        largest=float(max(every)),
        smallest=float(min(every)),
        unit=unit,
        sentence=_sentence(out_of_round, taper, unit),
    )


def _sentence(out_of_round: Fraction, taper: Fraction, unit: str) -> str:
    by, along = (show_length(Quantity(value, unit)) for value in (out_of_round, taper))
    return f"Out of round by {by}, taper {along}."
