"""ISO metric threads: ISO 68-1 form, ISO 965-1 tolerances 6g and 6H, ISO 898-1 stress area."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from functools import cache
from math import pi, sqrt

from tagbench.trade.published import read_table
from tagbench.trade.threads.thread import Thread, ThreadLimits

_PITCH_DEPTH = 3 * sqrt(3) / 8  # pitch diameter lies this many pitches under the nominal one
_MINOR_DEPTH = 5 * sqrt(3) / 8  # inside diameter of the nut
_STRESS_DEPTH = 0.9382  # as ISO 898-1 prints it

#: R40 preferred numbers of ISO 3 between 100 and 1000, to which ISO 965-1 rounds.
_R40 = (
    100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280,
    300, 315, 335, 355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850,
    900, 950, 1000,
)  # fmt: skip

#: Edges of the diameter ranges of ISO 965-1, mm; a tolerance is computed for the middle of one.
_RANGES = (0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0, 180.0, 355.0)


@cache
def _printed() -> Mapping[tuple[str, str, float], float]:
    """Kind, upper edge of the diameter range and pitch → µm where print leaves the formula."""
    return {
        (row["kind"], row["up_to_mm"], float(row["pitch_mm"])): float(row["printed_um"])
        for row in read_table("printed_tolerances")
    }


def preferred(value: float) -> float:
    """`value` rounded to the nearest R40 preferred number; `value` must be positive."""
    scale = 1.0
    while value >= 1000:
        value, scale = value / 10, scale * 10
    while value < 100:
        value, scale = value * 10, scale / 10
    return scale * min(_R40, key=lambda number: abs(number - value))


def allowance_g(pitch: float) -> float:
    """Fundamental deviation g in µm below nominal, ISO 965-1: 15 + 11 P."""
    return _printed().get(("allowance", "", pitch)) or round(preferred(15 + 11 * pitch), 0)


def major_tolerance_6(pitch: float) -> float:
    """Tolerance Td(6) of the outside diameter in µm, ISO 965-1: 180 P^(2/3) - 3.15 P^(-1/2)."""
    computed = preferred(max(180 * pitch ** (2 / 3) - 3.15 / sqrt(pitch), 10.0))
    return _printed().get(("major", "", pitch)) or computed


def minor_tolerance_6(pitch: float) -> float:
    """Tolerance TD1(6) of the nut's inside diameter in µm, ISO 965-1, two formulas about 1 mm."""
    computed = 230 * pitch**0.7 if pitch >= 1 else 433 * pitch - 190 * pitch**1.22
    return _printed().get(("minor", "", pitch)) or preferred(computed)


def pitch_tolerance_6(diameter: float, pitch: float) -> float:
    """Tolerance Td2(6) of the screw's pitch diameter in µm, ISO 965-1: 90 P^0.4 d^0.1."""
    above = _upper(diameter)
    middle = sqrt(_RANGES[above - 1] * _RANGES[above])
    printed = _printed().get(("screw pitch", f"{_RANGES[above]:g}", pitch))
    return printed or preferred(90 * pitch**0.4 * middle**0.1)


def hole_pitch_tolerance_6(diameter: float, pitch: float) -> float:
    """Tolerance TD2(6) of the hole's pitch diameter in µm, ISO 965-1: 1.32 Td2(6)."""
    printed = _printed().get(("hole pitch", f"{_RANGES[_upper(diameter)]:g}", pitch))
    return printed or preferred(1.32 * pitch_tolerance_6(diameter, pitch))


def _upper(diameter: float) -> int:
    """Index of the upper edge of the range that a diameter lies in: over one, up to the next."""
    return min(max(bisect_left(_RANGES, diameter), 1), len(_RANGES) - 1)


def iso_limits(thread: Thread) -> ThreadLimits:
    """6g screw and 6H hole, computed from the standard's formulas."""
    diameter, pitch = thread.diameter_mm, thread.pitch_mm
    largest = diameter - allowance_g(pitch) / 1000
    basic_pitch = diameter - _PITCH_DEPTH * pitch
    nut_minor = diameter - _MINOR_DEPTH * pitch
    pitch_tolerance = pitch_tolerance_6(diameter, pitch) / 1000
    pitch_max = basic_pitch - allowance_g(pitch) / 1000
    return ThreadLimits(
        screw_class="6g",
        hole_class="6H",
        major_max=largest,
        major_min=largest - major_tolerance_6(pitch) / 1000,
        pitch_max=pitch_max,
        pitch_min=pitch_max - pitch_tolerance,
        hole_minor_min=nut_minor,
        hole_minor_max=nut_minor + minor_tolerance_6(pitch) / 1000,
        hole_pitch_min=basic_pitch,
        hole_pitch_max=basic_pitch + hole_pitch_tolerance_6(diameter, pitch) / 1000,
        stress_area=pi / 4 * (diameter - _STRESS_DEPTH * pitch) ** 2,
    )
