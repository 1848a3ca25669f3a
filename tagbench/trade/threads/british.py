"""The old British threads: BS 84 (BSW, BSF), BS 811 (cycle) and BS 93 (BA).

The tolerance formulas are from memory. Screws were made with an allowance after 1956 and
without one before, so the outside diameter is taken from the loose end of the one to the
tight end of the other.
"""

from __future__ import annotations

from math import pi, sqrt

from tagbench.trade.threads.thread import Thread, ThreadLimits

_INCH = 25.4

#: Depth of thread per side in pitches. The cycle depth is the one that reproduces the
#: published minor diameters; 0.5376, which is also printed, does not.
_DEPTH = {"Whitworth": 0.640327, "cycle": 0.5327, "BA": 0.6}

#: Threads per inch from which on BS 84 gives the nut's inside diameter 0.004, 0.005, 0.007 in.
_NUT_MINOR_STEPS = ((26.0, 0.004), (22.0, 0.005), (0.0, 0.007))


def whitworth_pitch_tolerance(diameter: float, pitch: float) -> float:
    """Medium-class effective diameter tolerance of BS 84, in: 0.002 D^(1/3) + 0.003 D^(1/2) + …"""
    return 0.002 * float(diameter ** (1 / 3)) + 0.003 * sqrt(diameter) + 0.005 * sqrt(pitch)


def _inch_limits(thread: Thread) -> ThreadLimits:
    diameter, pitch = thread.diameter_mm / _INCH, thread.pitch_mm / _INCH
    tolerance = whitworth_pitch_tolerance(diameter, pitch)
    allowance = 0.3 * tolerance if diameter <= 0.75 else 0.0
    nut_extra = next(extra for tpi, extra in _NUT_MINOR_STEPS if 1 / pitch >= tpi - 0.01)
    return _limits(
        thread,
        fit="medium",
        major_room=(allowance + tolerance + 0.01 * sqrt(pitch)) * _INCH,
        pitch_room=(allowance + tolerance) * _INCH,
        nut_minor_room=(0.2 * pitch + nut_extra) * _INCH,
        nut_pitch_room=tolerance * _INCH,
    )


def _ba_limits(thread: Thread) -> ThreadLimits:
    pitch = thread.pitch_mm
    return _limits(
        thread,
        fit="normal",
        major_room=0.025 + 0.20 * pitch,
        pitch_room=0.025 + 0.10 * pitch + 0.025,
        nut_minor_room=0.375 * pitch,
        nut_pitch_room=0.12 * pitch + 0.03,
    )


def _limits(
    thread: Thread,
    *,
    fit: str,
    major_room: float,
    pitch_room: float,
    nut_minor_room: float,
    nut_pitch_room: float,
) -> ThreadLimits:
    """Limits from the basic sizes and the room (allowance and tolerance, mm) that each has."""
    depth = _DEPTH[thread.system] * thread.pitch_mm
    effective = thread.diameter_mm - depth
    minor = thread.diameter_mm - 2 * depth
    return ThreadLimits(
        screw_class=fit,
        hole_class=fit,
        major_max=thread.diameter_mm,
        major_min=thread.diameter_mm - major_room,
        pitch_max=effective,
        pitch_min=effective - pitch_room,
        hole_minor_min=minor,
        hole_minor_max=minor + nut_minor_room,
        hole_pitch_min=effective,
        hole_pitch_max=effective + nut_pitch_room,
        # no British standard prints one: the mean of effective and minor, as ISO 898-1 takes it
        stress_area=pi / 4 * ((effective + minor) / 2) ** 2,
    )


def british_limits(thread: Thread) -> ThreadLimits:
    """Medium fit of BS 84 (for cycle threads too, whose own tolerances were not at hand), or BA."""
    return _ba_limits(thread) if thread.system == "BA" else _inch_limits(thread)
