"""Units of the bench with exact factors, and quantities that remember how they were typed."""

from __future__ import annotations

from fractions import Fraction

import msgspec

from tagbench.errors import BadInput

_INCH_MM = Fraction("25.4")
_KGF_N = Fraction("9.80665")
_LBF_N = Fraction("0.45359237") * _KGF_N
_OZF_N = _LBF_N / 16
_FOOT_M = _INCH_MM * 12 / 1000

#: Millimetres in one of each, every row exact by definition.
LENGTH_MM: dict[str, Fraction] = {
    "mm": Fraction(1),  # SI
    "cm": Fraction(10),  # SI
    "m": Fraction(1000),  # SI
    "µm": Fraction(1, 1000),  # SI
    "in": _INCH_MM,  # 25.4 mm: international yard and pound agreement, 1959
    "ft": _INCH_MM * 12,  # the same, 12 in
    "thou": _INCH_MM / 1000,  # the same, 1/1000 in
}

#: Newton metres in one of each, from 0.45359237 kg, 9.80665 m/s² and 25.4 mm, all exact.
TORQUE_NM: dict[str, Fraction] = {
    "N·m": Fraction(1),  # SI
    "N·cm": Fraction(1, 100),  # SI
    "daN·m": Fraction(10),  # SI
    "lbf·ft": _LBF_N * _FOOT_M,  # avoirdupois pound (1959), standard gravity (CGPM 1901), foot
    "lbf·in": _LBF_N * _INCH_MM / 1000,  # the same by the inch
    "ozf·in": _OZF_N * _INCH_MM / 1000,  # a sixteenth of it
    "kgf·m": _KGF_N,  # standard gravity, CGPM 1901
    "kgf·cm": _KGF_N / 100,  # the same
}


def _factor(unit: str) -> tuple[str, Fraction]:
    """The kind of a unit in its standard spelling, and its factor to mm or N·m."""
    if unit in LENGTH_MM:
        return "length", LENGTH_MM[unit]
    if unit in TORQUE_NM:
        return "torque", TORQUE_NM[unit]
    raise BadInput(
        f'"{unit}" is no unit known here; lengths are in {", ".join(LENGTH_MM)},'
        f" torques in {', '.join(TORQUE_NM)}."
    )


def convert(value: Fraction | int, unit: str, to: str) -> Fraction:
    """`value` in `unit` as an exact number of `to`; both in their standard spelling.

    BadInput when a unit is unknown or a length is asked for as a torque.
    """
    kind, factor = _factor(unit)
    wanted, divisor = _factor(to)
    if kind != wanted:
        raise BadInput(f"{unit} is a {kind} and cannot be shown in {to}, which is a {wanted}.")
    return value * factor / divisor


def exact(number: float) -> Fraction:
    """The decimal that a stored number was written as: 0.1 gives 1/10."""
    return Fraction(repr(float(number)))


class Quantity(msgspec.Struct, frozen=True):
    """A length or a torque, exact, with the text it was typed as."""

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
    """A range of lengths or torques; a single value is a range of one."""

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
