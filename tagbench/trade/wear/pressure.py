"""Compression by the height above the sea: the gauge reads less where the air is thinner.

Standard atmosphere, ISO 2533 below 11 km: p = 101.325 kPa (1 - 0.0065 h / 288.15)^5.25588, h in m.
A gauge shows pressure over that outside; both scale with it, so readings compare by p / p0.
"""

from __future__ import annotations

import msgspec

from tagbench.errors import BadInput

_SEA_KPA = 101.325
_LAPSE, _SEA_K, _EXPONENT = 0.0065, 288.15, 5.25588


class Compression(msgspec.Struct, frozen=True):
    """A compression reading by the height."""

    factor: float
    """Reading there against one at the sea."""
    outside_kpa: float
    """Air pressure there, kPa."""
    at_sea: float | None
    """The reading as it would be at the sea, in the unit of the reading; None without one."""
    sentence: str
    """The same in words."""


def air_pressure(height_m: float) -> float:
    """Standard air pressure at a height, kPa; BadInput beyond where people work."""
    if not -500 <= height_m <= 6000:
        raise BadInput("Give the height above sea level in metres, such as 650.")
    return float(_SEA_KPA * (1 - _LAPSE * height_m / _SEA_K) ** _EXPONENT)


def compression(height_m: float, reading: float | None = None) -> Compression:
    """What a compression reading at a height is worth at the sea."""
    outside = air_pressure(height_m)
    factor = outside / _SEA_KPA
    if reading is not None and reading <= 0:
        raise BadInput("A compression reading is more than nothing.")
    at_sea = None if reading is None else reading / factor
    told = "" if at_sea is None else f" {reading:g} here would be {at_sea:.3g} at sea level."
    sentence = (
        f"At {height_m:g} m a gauge shows {100 * factor:.0f} % of what it shows at sea level.{told}"
        " Throttle open, engine warm, battery or legs fresh; compare with the maker's figure, and"
        " cylinders with each other: more than a tenth apart calls for a look."
    )
    return Compression(factor, outside, at_sea, sentence)
