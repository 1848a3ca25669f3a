"""Out-of-round and taper of a bore or a journal, from several readings."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.quantities.lengths import parse_lengths
from tagbench.trade.quantities.shown import show_length
from tagbench.trade.quantities.units import Quantity

_LEVEL = re.compile(r"\s*(?P<name>[^\W\d][^\d:=]*?)\s*[:=\s]\s*(?P<readings>[-−]?[0-9.,].*)")


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


def parse_levels(texts: Iterable[str]) -> dict[str, tuple[Quantity, ...]]:
    """Levels as typed, each `top 52.03 52.05 mm`; BadInput for one without name or readings."""
    levels: dict[str, tuple[Quantity, ...]] = {}
    for text in texts:
        found = _LEVEL.fullmatch(text)
        if found is None:
            raise BadInput(f"“{text}” is not a level; write name and readings: top 52.03 52.05.")
        if found["name"] in levels:
            raise BadInput(f"The level “{found['name']}” was given twice; name them apart.")
        levels[found["name"]] = parse_lengths(found["readings"])
    return levels
