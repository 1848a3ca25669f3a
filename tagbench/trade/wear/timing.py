"""Ignition timing: degrees of the crank and millimetres of the piston before top dead centre.

Geometry of crank and rod, no source needed: with r half the stroke, l the rod between centres
and a the crank angle before top dead centre, the piston stands below the top by

    x = r (1 - cos a) + l - sqrt(l^2 - r^2 sin^2 a)
"""

from __future__ import annotations

from math import acos, cos, degrees, radians, sin, sqrt

import msgspec

from tagbench.errors import BadInput

_ROD = (1.3, 5.0)
"""Rods that exist, in strokes; outside it the lengths were mistaken."""


class Timing(msgspec.Struct, frozen=True):
    """A point of the crank before top dead centre."""

    degrees: float
    """Crank angle before top dead centre, degrees."""
    millimetres: float
    """The piston below its top, along the cylinder, mm."""
    mm_per_degree: float
    """How far the piston moves for one degree more here: a dial reading's worth, mm."""
    sentence: str
    """Both in words, with what to mind."""


def piston_below_top(stroke_mm: float, rod_mm: float, angle_deg: float) -> float:
    """How far the piston stands below top dead centre at a crank angle, mm.

    BadInput for a rod or an angle that cannot be.
    """
    _check(stroke_mm, rod_mm)
    if not 0 <= angle_deg <= 180:
        raise BadInput("An angle before top dead centre lies between 0 and 180 degrees.")
    half, angle = stroke_mm / 2, radians(angle_deg)
    return half * (1 - cos(angle)) + rod_mm - sqrt(rod_mm**2 - (half * sin(angle)) ** 2)


def angle_before_top(stroke_mm: float, rod_mm: float, below_mm: float) -> float:
    """The crank angle at which the piston stands `below_mm` under its top, degrees.

    From the law of cosines in the triangle of crank, rod and piston. BadInput beyond the stroke.
    """
    _check(stroke_mm, rod_mm)
    if not 0 <= below_mm <= stroke_mm:
        raise BadInput("The piston stands between nothing and one stroke below its top.")
    half = stroke_mm / 2
    height = half + rod_mm - below_mm
    share = (half**2 + height**2 - rod_mm**2) / (2 * half * height)
    return degrees(acos(max(-1.0, min(1.0, share))))


def _check(stroke_mm: float, rod_mm: float) -> None:
    if stroke_mm <= 0 or rod_mm <= 0:
        raise BadInput("Give stroke and rod, such as --stroke 50mm --rod 100mm.")
    if not _ROD[0] <= rod_mm / stroke_mm <= _ROD[1]:
        raise BadInput(
            f"A rod of {rod_mm:g} mm does not fit a stroke of {stroke_mm:g} mm; it is measured"
            " between the centres of its eyes and is mostly about twice the stroke."
        )


def timing(
    stroke_mm: float, rod_mm: float, degrees_before: float | None, mm_before: float | None
) -> Timing:
    """Degrees from millimetres or the other way round; BadInput unless one of them is given."""
    if (degrees_before is None) == (mm_before is None):
        raise BadInput("Give the timing in degrees or in mm before top dead centre, one of them.")
    if mm_before is not None:
        degrees_before = angle_before_top(stroke_mm, rod_mm, mm_before)
    angle = degrees_before or 0.0
    below = piston_below_top(stroke_mm, rod_mm, angle)
    step = piston_below_top(stroke_mm, rod_mm, min(angle + 1, 180)) - below
    sentence = (
        f"{angle:.1f}° before top dead centre is {below:.2f} mm of piston; one degree more there is"
        f" {step:.3f} mm. The gauge must stand along the cylinder: through a slanted plug hole it"
        " shows another figure. The maker's timing takes precedence."
    )
    return Timing(angle, below, step, sentence)
