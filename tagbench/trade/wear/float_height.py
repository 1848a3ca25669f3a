"""The float height of a carburettor against the maker's range, and how far its tongue is bent.

There is no usual height: it belongs to one carburettor. Geometry of a lever: the float turns on its
pin, so that bending the tongue by t moves the float by t times the arm of the float over that of
the tongue. Measured from the joint face without its gasket, the needle just shut; a larger height
shuts the needle at a lower level of the fuel (from memory).
"""

from __future__ import annotations

from typing import Literal

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.wear.usual import MAKER

FuelLevel = Literal["low", "right", "high", "unsure"]
_BELIEVABLE_MM = 60.0


class FloatHeight(msgspec.Struct, frozen=True):
    """A float by its height."""

    level: FuelLevel
    """Where the fuel stands: low (lean), right, high (rich, it may flood); unsure near an end."""
    off_mm: float
    """How far the height is outside the range, mm; below zero under it, 0 inside."""
    bend_mm: float | None
    """How far the tongue is bent at the needle to reach the middle, mm; None without the arms."""
    sentence: str
    """The same in words."""


def float_height(
    height_mm: float,
    low_mm: float,
    high_mm: float,
    arms_mm: tuple[float, float] | None = None,
    uncertainty_mm: float = 0.25,
) -> FloatHeight:
    """A height against the maker's range; `arms_mm` are pin to float's middle, pin to needle.

    BadInput for figures that no carburettor of a small machine has.
    """
    figures = (height_mm, low_mm, high_mm)
    if low_mm > high_mm or not all(0 < each <= _BELIEVABLE_MM for each in figures):
        raise BadInput("Give the height and the maker's range in mm, such as 21 mm and 20 to 22.")
    if arms_mm is not None and not 0 < arms_mm[1] < arms_mm[0]:
        raise BadInput("The arm of the float is longer than that of the tongue, both above zero.")
    off = min(height_mm - low_mm, 0.0) + max(height_mm - high_mm, 0.0)
    edge = min(abs(height_mm - low_mm), abs(height_mm - high_mm))
    unsure = edge < uncertainty_mm and high_mm - low_mm > 2 * uncertainty_mm
    level: FuelLevel = "unsure" if unsure else "low" if off > 0 else "high" if off < 0 else "right"
    away = height_mm - (low_mm + high_mm) / 2
    bend = None if arms_mm is None else abs(away) * arms_mm[1] / arms_mm[0]
    return FloatHeight(level, off, bend, _sentence(level, height_mm, (low_mm, high_mm), bend))


def _sentence(
    level: FuelLevel, height: float, ends: tuple[float, float], bend: float | None
) -> str:
    told = {
        "low": "too large: the needle shuts early, the fuel stands low and the mixture is lean",
        "high": "too small: the needle shuts late, the fuel stands high, it may flood",
        "right": "inside the range",
        "unsure": "so near an end that the reading does not tell: measure again",
    }[level]
    bent = f" Bend the tongue {bend:.2f} mm at the needle for the middle." if bend else ""
    set_it = "" if level == "right" else bent
    return (
        f"{height:g} mm of {ends[0]:g} to {ends[1]:g} mm is {told}.{set_it}"
        " Never press the needle while bending."
        f" Petrol vapour ignites: work outdoors, no flame. {MAKER}"
    )
