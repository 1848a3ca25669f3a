"""Lengths and torques put into words, rounded the way a workshop reads them."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

from tagbench.trade.quantities.units import Quantity, Range, convert

#: Decimals that a length is worth in each unit; small lengths get one more.
_DECIMALS = {"mm": 2, "cm": 3, "m": 3, "µm": 0, "in": 3, "ft": 2, "thou": 1}


def plain_decimal(value: Fraction, decimals: int) -> str:
    """`value` rounded to at most `decimals` places, no trailing zeros, never an exponent."""
    exact = Decimal(value.numerator) / Decimal(value.denominator)
    rounded = exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_EVEN)
    text = f"{rounded:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def significant(value: Fraction, digits: int = 3) -> str:
    """`value` to `digits` significant figures, all figures before the point kept."""
    if value == 0:
        return "0"
    size = Decimal(value.numerator) / Decimal(value.denominator)
    return plain_decimal(value, max(0, digits - 1 - size.adjusted()))


def inch_fraction(value: Fraction) -> str:
    """`3/8`, `1-1/4` or `2` for a whole number of 64ths of an inch, else an empty text."""
    if 64 % value.denominator:
        return ""
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole}-{rest}" if whole else str(rest)


def show_length(length: Quantity, unit: str = "") -> str:
    """`4.95 mm`, `3/8 in`, `13 thou`: in `unit`, or in the one it was typed in."""
    unit = unit or length.unit
    value = convert(length.value, length.unit, unit)
    fraction = inch_fraction(value) if unit == "in" else ""
    return f"{fraction or _length_figure(value, unit)} {unit}"


def _length_figure(value: Fraction, unit: str) -> str:
    decimals = _DECIMALS[unit]
    return plain_decimal(value, decimals if value >= Fraction(1, 10) else decimals + 1)


def show_torque(torque: Range, unit: str = "") -> str:
    """`43.4–59.7 N·m` or `8 N·m`: three figures when converted or computed, as typed when not."""
    unit = unit or torque.unit
    shown = torque.to(unit)
    figure = _as_typed if unit == torque.unit else significant
    low, high = figure(shown.low), figure(shown.high)
    return f"{low} {unit}" if low == high else f"{low}–{high} {unit}"


def _as_typed(value: Fraction) -> str:
    """The figure as it stands; one with more decimals than anybody types was computed."""
    return plain_decimal(value, 3) if 1000 % value.denominator == 0 else significant(value)
