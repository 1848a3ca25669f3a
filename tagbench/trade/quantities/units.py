"""Exact conversion, and quantities that remember how they were typed."""

from __future__ import annotations

from fractions import Fraction

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.quantities.kinds import KINDS, UnitKind, kind_of_unit


def _factor(unit: str) -> tuple[UnitKind, Fraction]:
    """The kind of a unit in its standard spelling, and its factor to the first unit of its kind."""
    kind = kind_of_unit(unit)
    if kind is not None:
        return kind, kind.factors[unit]
    known = "; ".join(f"{kind.name}: {', '.join(kind.factors)}" for kind in KINDS.values())
    raise BadInput(f"“{unit}” is not a unit known here; the units are {known}.")


def convert(value: Fraction | int, unit: str, to: str) -> Fraction:
    """`value` in `unit` as an exact number of `to`; both in their standard spelling.

    BadInput when a unit is unknown or a length is asked for as a torque.
    """
    kind, factor = _factor(unit)
    wanted, divisor = _factor(to)
    if kind is not wanted:
        raise BadInput(
            f"{unit} measures {kind.name} and cannot be shown in {to}, which measures"
            f" {wanted.name}."
        )
    return value * factor / divisor


def exact(number: float) -> Fraction:
    """The decimal that a stored number was written as: 0.1 gives 1/10."""
    return Fraction(repr(float(number)))


class Quantity(msgspec.Struct, frozen=True):
    """One figure with its unit, exact, with the text it was typed as."""

    value: Fraction
    """The number, in `unit`."""
    unit: str
    """Standard spelling: mm, cm, m, µm, in, ft, thou, N·m, lbf·ft, …"""
    typed: str = ""
    """The text as it was typed; empty for a computed value."""

    def to(self, unit: str) -> Quantity:
        """The same quantity in another unit, exact, the typed text kept."""
        return Quantity(convert(self.value, self.unit, unit), unit, self.typed)

    def number(self, unit: str = "") -> float:
        """The number in `unit` (its own when none is named)."""
        return float(convert(self.value, self.unit, unit or self.unit))


class Range(msgspec.Struct, frozen=True):
    """A range of figures with their unit; a single value is a range of one."""

    low: Fraction
    """Low figure, in `unit`."""
    high: Fraction
    """High figure, in `unit`; never under `low`."""
    unit: str
    """Standard spelling, as for a quantity."""
    typed: str = ""
    """The text as it was typed; empty for a computed range."""

    def to(self, unit: str) -> Range:
        """The same range in another unit, exact, the typed text kept."""
        low = convert(self.low, self.unit, unit)
        return Range(low, convert(self.high, self.unit, unit), unit, self.typed)

    @property
    def single(self) -> bool:
        """True when low and high are one figure."""
        return self.low == self.high


def millimetres(value: Fraction | int | str) -> Quantity:
    """A length in mm from an exact number, for figures that were not typed."""
    return Quantity(Fraction(value), "mm")
