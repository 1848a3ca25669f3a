"""A V-belt from its width, its pulleys and their distance: wear, length, thumb deflection.

Geometry: a belt that has lost w of its width sinks w / (2 tan(a/2)) into a groove of angle a. An
open belt over effective diameters D and d at a distance C is as long as its two straight spans and
its two arcs, and a span is sqrt(C² - ((D - d)/2)²). The share of the width where a belt ends and
the deflection of a span are from memory: the maker's figures go before both.
"""

from __future__ import annotations

from math import asin, pi, radians, sqrt, tan

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.wear.limits import WearVerdict
from tagbench.trade.wear.usual import MAKER

LOST_PERCENT = 5.0
"""Part of its width where a belt ends unless its maker says so (memory; makers print 5 to 10)."""
GROOVE_DEG = 38.0
"""Usual angle of a groove, degrees (34 to 38 by the size of the pulley, ISO 4183, from memory)."""
UNCERTAINTY_MM = 0.1
"""What a caliper laid over the edges of a belt may be off, mm (common practice, no source)."""
DEFLECTION_MM_PER_M = (14.0, 18.0)
"""Thumb deflection in the middle of a span, mm per m of span (memory; 1/64 of it is 15.6)."""


class BeltWear(msgspec.Struct, frozen=True):
    """A belt by its width."""

    lost_percent: float
    """How much narrower than new, percent."""
    limit_mm: float
    """Width where it ends: the maker's, else the usual share of the new one, mm."""
    sinks_mm: float
    """How much deeper than new it sits in its groove, mm."""
    verdict: WearVerdict
    """good, marginal (the uncertainty reaches over the limit) or worn."""
    sentence: str
    """The same in words."""


class BeltRun(msgspec.Struct, frozen=True):
    """A belt over two pulleys."""

    length_mm: float
    """Its effective length, mm."""
    span_mm: float
    """One straight span, mm."""
    wrap_deg: float
    """Angle that it lies round the smaller pulley, degrees."""
    deflection_mm: tuple[float, float]
    """How far it gives under the thumb in the middle of a span, mm."""
    sentence: str
    """The same in words."""


def belt_wear(
    new_mm: float,
    now_mm: float,
    limit_mm: float | None = None,
) -> BeltWear:
    """A belt's width across the top when new and now, mm; BadInput where they cannot be.

    The groove is taken to be the usual one, `GROOVE_DEG`.
    """
    if not 0 < now_mm <= 1.05 * new_mm:
        raise BadInput("Give the width of the belt when new and now, such as 17 mm and 16.4 mm.")
    if limit_mm is not None and not 0 < limit_mm < new_mm:
        raise BadInput("The limit of a belt is a width under the new one.")
    lost = 100 * (new_mm - now_mm) / new_mm
    limit = limit_mm if limit_mm is not None else new_mm * (1 - LOST_PERCENT / 100)
    left = now_mm - limit
    verdict: WearVerdict = (
        "marginal" if abs(left) <= UNCERTAINTY_MM else "good" if left > 0 else "worn"
    )
    sinks = (new_mm - now_mm) / (2 * tan(radians(GROOVE_DEG / 2)))
    whose = "the maker's limit" if limit_mm is not None else "5 % of the width, from memory"
    sentence = (
        f"{verdict.capitalize()}: {lost:.1f} % narrower than new, limit {limit:.3g} mm ({whose});"
        f" it sits {max(sinks, 0.0):.1f} mm deeper. A belt that touches the bottom of the groove,"
        f" is cracked, oily or shiny goes whatever its width. {MAKER}"
    )
    return BeltWear(lost, limit, sinks, verdict, sentence)


def belt_run(large_mm: float, small_mm: float, centres_mm: float) -> BeltRun:
    """The length and spans of an open belt; BadInput for pulleys that do not stand apart."""
    large, small = max(large_mm, small_mm), min(large_mm, small_mm)
    if small <= 0 or centres_mm <= (large + small) / 2:
        raise BadInput(
            "Give the diameters of both pulleys where the belt runs and the distance of their"
            " centres, such as 120 mm, 60 mm and 300 mm."
        )
    lean = asin((large - small) / (2 * centres_mm))
    span = sqrt(centres_mm**2 - ((large - small) / 2) ** 2)
    length = 2 * span + pi * (large + small) / 2 + lean * (large - small)
    low, high = (each * span / 1000 for each in DEFLECTION_MM_PER_M)
    wrap = 180 - 2 * lean * 180 / pi
    sentence = (
        f"Length {length:.0f} mm, each span {span:.0f} mm, {wrap:.0f}° round the smaller pulley; it"
        f" gives {low:.1f} to {high:.1f} mm under the thumb in the middle of a span (from memory)."
        f" Engine off and key out before a hand goes near it. {MAKER}"
    )
    return BeltRun(length, span, wrap, (low, high), sentence)
