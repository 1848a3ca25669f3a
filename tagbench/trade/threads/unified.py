"""Unified threads: ASME B1.1 limits of size for class 2A and 2B, stress area of the same."""

from __future__ import annotations

from math import pi, sqrt

from tagbench.trade.threads.thread import Thread, ThreadLimits

_INCH = 25.4
_PITCH_DEPTH = 3 * sqrt(3) / 8
_MINOR_DEPTH = 5 * sqrt(3) / 8
_STRESS_DEPTH = 0.9743  # as ASME B1.1 prints it

#: Series whose length of engagement is taken as the diameter; nine pitches for the others.
_GRADED = ("UNC", "UNF")


def _ten_thousandths(value: float) -> float:
    return round(value, 4)


def pitch_tolerance_2a(diameter: float, pitch: float, engaged: float) -> float:
    """Tolerance of the 2A pitch diameter, in: 0.0015 D^(1/3) + 0.0015 LE^(1/2) + 0.015 P^(2/3)."""
    root = 0.0015 * float(diameter ** (1 / 3)) + 0.0015 * sqrt(engaged)
    return _ten_thousandths(root + 0.015 * float(pitch ** (2 / 3)))


def minor_tolerance_2b(diameter: float, pitch: float) -> float:
    """Tolerance of the 2B inside diameter, in; one rule under 1/4 in and another from there on."""
    usual = 0.25 * pitch - 0.40 * pitch**2
    if diameter >= 0.25:
        return 0.15 * pitch if pitch > 0.25 else usual
    small = 0.05 * float(pitch ** (2 / 3)) + 0.03 * pitch / diameter - 0.002
    return min(max(small, usual), 0.394 * pitch)


def unified_limits(thread: Thread) -> ThreadLimits:
    """2A screw and 2B hole; computed in inches to four places as printed, returned in mm."""
    diameter, pitch = thread.diameter_mm / _INCH, thread.pitch_mm / _INCH
    engaged = diameter if thread.series in _GRADED else 9 * pitch
    pitch_tolerance = pitch_tolerance_2a(diameter, pitch, engaged)
    allowance = _ten_thousandths(0.3 * pitch_tolerance)
    largest = diameter - allowance
    basic_pitch = diameter - _PITCH_DEPTH * pitch
    nut_minor = diameter - _MINOR_DEPTH * pitch
    pitch_max = basic_pitch - allowance
    return ThreadLimits(
        screw_class="2A",
        hole_class="2B",
        major_max=largest * _INCH,
        major_min=(largest - _ten_thousandths(0.060 * pitch ** (2 / 3))) * _INCH,
        pitch_max=pitch_max * _INCH,
        pitch_min=(pitch_max - pitch_tolerance) * _INCH,
        hole_minor_min=nut_minor * _INCH,
        hole_minor_max=(nut_minor + minor_tolerance_2b(diameter, pitch)) * _INCH,
        hole_pitch_min=basic_pitch * _INCH,
        hole_pitch_max=(basic_pitch + _ten_thousandths(1.3 * pitch_tolerance)) * _INCH,
        stress_area=pi / 4 * (diameter - _STRESS_DEPTH * pitch) ** 2 * _INCH**2,
    )
