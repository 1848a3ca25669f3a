"""The registry of kinds of quantity: lengths, torques, pressures, angles.

The rows of `tables/units.csv` are all that a new kind takes: its units with exact factors, every
spelling of them in use, and the examples that refusals give. Settings, readings and fields then
read and convert its units; pint agrees with each factor in the tests.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from fractions import Fraction
from itertools import groupby
from typing import NamedTuple

from tagbench.trade.published import read_table


class UnitKind(NamedTuple):
    """One kind of quantity."""

    name: str
    """length, torque, pressure, angle."""
    factors: Mapping[str, Fraction]
    """Standard spelling of a unit → how many of the first unit there are in one of it, exact."""
    spellings: Mapping[str, str]
    """Every spelling, in lower case without blanks, points and strokes → the standard one."""
    halves: Mapping[str, tuple[str, str]]
    """Unit that is a product → the words for its force and for its arm."""
    accepted: str
    """The units that a person may type, as words for a sentence."""
    examples: str
    """Figures of that kind, as words for a sentence."""


def _kind(name: str, rows: Iterable[Mapping[str, str]]) -> UnitKind:
    first, *others = rows
    factors: dict[str, Fraction] = {}
    spellings: dict[str, str] = {}
    halves: dict[str, tuple[str, str]] = {}
    for row in (first, *others):
        unit = row["unit"]
        factors[unit] = _exact(row["factor"])
        words, _, arms = row["spellings"].partition(" | ")
        if arms:
            halves[unit] = words, arms
        for word in words.split():
            for arm in arms.split() or [""]:
                spellings[word + arm] = spellings.setdefault(arm + word, unit)
    return UnitKind(name, factors, spellings, halves, first["accepted"], first["examples"])


def _exact(factor: str) -> Fraction:
    """The product or quotient of decimal numbers, worked out from the left."""
    begin, *steps = re.split(r"([*/])", factor)
    value = Fraction(begin)
    for sign, number in zip(steps[::2], steps[1::2], strict=True):
        value = value * Fraction(number) if sign == "*" else value / Fraction(number)
    return value


KINDS: Mapping[str, UnitKind] = {
    name: _kind(name, rows)
    for name, rows in groupby(read_table("units"), key=lambda row: row["kind"])
}
"""Name → kind of quantity."""


def kind_of_unit(unit: str) -> UnitKind | None:
    """The kind that a unit in its standard spelling belongs to; None for an unknown one."""
    return next((kind for kind in KINDS.values() if unit in kind.factors), None)
