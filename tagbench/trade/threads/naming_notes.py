"""What is to be said about each thread that a measured one may be."""

from __future__ import annotations

import msgspec

from tagbench.trade.threads.measured import (
    NEAR_PITCH,
    SAME_PITCH,
    MeasuredThread,
    ThreadRow,
)


class ThreadCandidate(msgspec.Struct, frozen=True):
    """A thread that the measured one may be."""

    designation: str
    """Standard spelling."""
    inside_limits: bool
    """True when the reading lies inside the limits, give or take the caliper's uncertainty."""
    off_by_mm: float
    """How far the reading lies outside the limits of the standard, mm; 0 inside."""
    limit_min_mm: float
    """Smallest diameter a new one may have, mm."""
    limit_max_mm: float
    """Largest diameter it may have, mm."""
    pitch_mm: float
    """Its pitch, mm."""
    angle_deg: float
    """Its flank angle, degrees."""
    note: str = ""
    """What is to be said about it: worn, plated, what tells it from the others."""


def with_notes(rows: list[ThreadRow], measured: MeasuredThread) -> list[ThreadCandidate]:
    """The threads as candidates, in the same order, each with its note."""
    inside = [row for row in rows if measured.inside(row)]
    return [_candidate(row, inside, measured) for row in rows]


def _candidate(
    row: ThreadRow, inside: list[ThreadRow], measured: MeasuredThread
) -> ThreadCandidate:
    low, high = measured.limits(row)
    fits = measured.inside(row) and measured.pitch_differs(row) <= NEAR_PITCH
    return ThreadCandidate(
        designation=row.thread.designation,
        inside_limits=fits,
        off_by_mm=round(abs(measured.off_by(row)), 4),
        limit_min_mm=round(low, 4),
        limit_max_mm=round(high, 4),
        pitch_mm=round(row.thread.pitch_mm, 4),
        angle_deg=row.thread.angle_deg,
        note="; ".join(_notes(row, inside, measured)),
    )


def _notes(row: ThreadRow, inside: list[ThreadRow], measured: MeasuredThread) -> list[str]:
    notes = [_fit_note(row, measured)]
    differs = measured.pitch_differs(row)
    if differs > NEAR_PITCH:
        notes.append(f"its pitch is {row.thread.pitch_mm:.3g} mm, so this is only the nearest")
    elif differs > SAME_PITCH:
        notes.append(f"its pitch differs by {100 * differs:.1f} %")
    if measured.pitch is None and len(inside) > 1:
        notes.append("the diameter alone cannot decide: measure the pitch")
    elif row in inside:
        notes.append(_angle_note(row, inside))
    return [note for note in notes if note]


def _fit_note(row: ThreadRow, measured: MeasuredThread) -> str:
    off = measured.off_by(row)
    if measured.inside(row):
        return ""
    side = "under the lower" if off < 0 else "over the upper"
    cause = (
        "if worn (or made small)" if (off < 0) != measured.internal else "plated, painted or burred"
    )
    if measured.internal:
        cause = "if worn or stripped" if off > 0 else "dirty or not cut to size"
    if not measured.fitting([row]):
        cause = "only the nearest there is"
    return f"{abs(off):.2f} mm {side} limit: {cause}"


def _angle_note(row: ThreadRow, inside: list[ThreadRow]) -> str:
    """Names the other thread that the same reading and pitch fit, and what tells them apart."""
    mine = row.thread
    others = [
        other.thread
        for other in inside
        if other is not row and abs(other.thread.pitch_mm / mine.pitch_mm - 1) <= NEAR_PITCH
    ]
    if not others:
        return ""
    same = [other for other in others if other.angle_deg == mine.angle_deg]
    angled = [other for other in others if other.angle_deg != mine.angle_deg]
    told = []
    if same:
        names = ", ".join(other.designation for other in same[:3])
        told.append(f"may also be {names}: a longer pitch gauge or a nut that fits decides")
    if angled:
        names = ", ".join(other.designation for other in angled[:3])
        own = f"this one has {mine.angle_deg:g}°"
        told.append(f"may also be {names}: the thread angle decides, {own}")
    return "; ".join(told)
