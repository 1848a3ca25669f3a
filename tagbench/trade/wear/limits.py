"""A reading against its wear limit: good, marginal or worn, and what is left."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Literal

import msgspec

from tagbench.errors import BadInput
from tagbench.records import Reading
from tagbench.trade.quantities.kinds import KINDS
from tagbench.trade.quantities.shown import plain_decimal, show_length
from tagbench.trade.quantities.units import Quantity, convert, exact, millimetres

WearVerdict = Literal["good", "marginal", "worn"]

#: What an ordinary caliper may be off.
CALIPER = millimetres("0.02")

_NONE = "Give at least one reading, such as 2.1 mm."


class Wear(msgspec.Struct, frozen=True):
    """What a reading says about wear."""

    verdict: WearVerdict
    """good: clear of the limit; marginal: the uncertainty reaches over it; worn: past it."""
    left: float
    """What is left to the nearer limit, in `unit`; negative when it is past."""
    unit: str
    """The unit of the reading, and of `left`."""
    sentence: str
    """The same in words."""


def judge(
    reading: Quantity,
    minimum: Quantity | None = None,
    maximum: Quantity | None = None,
    uncertainty: Quantity = CALIPER,
) -> Wear:
    """A reading against a minimum, a maximum or both, in any units of length.

    A reading just on the limit is marginal. BadInput without a limit, for limits the wrong way
    round, and for a negative uncertainty.
    """
    return judge_all([reading], minimum, maximum, uncertainty)


def judge_all(
    readings: Sequence[Quantity],
    minimum: Quantity | None = None,
    maximum: Quantity | None = None,
    uncertainty: Quantity = CALIPER,
) -> Wear:
    """The reading nearest to its limit, or furthest past it, decides; in the first one's unit.

    BadInput as for one reading, and for none.
    """
    if not readings:
        raise BadInput(_NONE)
    unit = readings[0].unit
    low = None if minimum is None else minimum.to(unit).value
    high = None if maximum is None else maximum.to(unit).value
    values = tuple(reading.to(unit).value for reading in readings)
    return _judged(values, low, high, uncertainty.to(unit).value, unit)


def judge_reading(reading: Reading) -> Wear | None:
    """The readings of a record against its limits, in whatever unit it has; None without values
    or without a limit. The reading nearest to its limit, or furthest past it, decides."""
    if not reading.values or (reading.low is None and reading.high is None):
        return None
    low = None if reading.low is None else exact(reading.low)
    high = None if reading.high is None else exact(reading.high)
    values = tuple(exact(value) for value in reading.values)
    return _judged(values, low, high, exact(reading.uncertainty), reading.unit)


def _judged(
    values: tuple[Fraction, ...],
    low: Fraction | None,
    high: Fraction | None,
    off: Fraction,
    unit: str,
) -> Wear:
    _check(low, high, off)
    rooms = [value - low for value in values if low is not None]
    rooms += [high - value for value in values if high is not None]
    left = min(rooms)
    return Wear(_verdict(left, off), float(left), unit, _sentence(left, off, unit))


def _check(low: Fraction | None, high: Fraction | None, off: Fraction) -> None:
    if low is None and high is None:
        raise BadInput("A wear limit is needed: the smallest or the largest allowed, such as 2 mm.")
    if off < 0:
        raise BadInput("The uncertainty cannot be negative; 0.02 mm is usual for a caliper.")
    if low is not None and high is not None and low > high:
        raise BadInput("The smallest allowed is larger than the largest; change the two limits.")


def _verdict(left: Fraction, off: Fraction) -> WearVerdict:
    if abs(left) <= off:
        return "marginal"
    return "good" if left > 0 else "worn"


def _sentence(left: Fraction, off: Fraction, unit: str) -> str:
    room = _shown(abs(left), unit)
    if _verdict(left, off) == "marginal":
        side = "left" if left >= 0 else "past the limit"
        return f"Marginal: {room} {side}, measured to {_shown(off, unit)}."
    return f"Good: {room} left." if left > 0 else f"Worn: {room} past the limit."


def _shown(value: Fraction, unit: str) -> str:
    if unit in KINDS["length"].factors:
        return show_length(Quantity(value, unit))
    return f"{plain_decimal(value, 3)} {unit}".strip()


def worst(readings: Iterable[Quantity], smallest: bool) -> Quantity:
    """The smallest or the largest of several readings; BadInput for none."""
    found = list(readings)
    if not found:
        raise BadInput(_NONE)
    pick = min if smallest else max
    return pick(found, key=lambda reading: convert(reading.value, reading.unit, "mm"))
