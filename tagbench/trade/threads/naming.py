"""Names a thread from a caliper reading and, better, its pitch."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from math import log
from operator import itemgetter

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.threads.limits import limits_of
from tagbench.trade.threads.pitch import Pitch
from tagbench.trade.threads.sizes import all_threads
from tagbench.trade.threads.thread import ANGLES, Thread

#: What an ordinary caliper may be off, mm.
CALIPER_UNCERTAINTY_MM = 0.02
#: Pitches that differ by less fit the same gauge leaf just as well.
_SAME_PITCH = 0.005
#: Pitches that differ by more are told apart with a gauge.
_NEAR_PITCH = 0.03
#: A worn crest is lower by up to this share of the pitch; a plated or painted one higher.
_WORN = 0.10
_COATED = 0.04
#: The order in which systems are met, for threads that fit a reading equally well.
_SYSTEMS = tuple(ANGLES)
#: How many threads are named when none fits.
_NEAREST = 3


class Candidate(msgspec.Struct, frozen=True):
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


class _Row(msgspec.Struct, frozen=True):
    """A thread with its outside and inside limits ready for comparing."""

    thread: Thread
    screw: tuple[float, float]
    hole: tuple[float, float]


class _Measured(msgspec.Struct, frozen=True):
    """What was measured, checked."""

    across: float
    uncertainty: float
    pitch: Pitch | None
    internal: bool


@cache
def _rows() -> tuple[_Row, ...]:
    limits = ((thread, limits_of(thread)) for thread in all_threads())
    return tuple(
        _Row(thread, (of.major_min, of.major_max), (of.hole_minor_min, of.hole_minor_max))
        for thread, of in limits
    )


def name_thread(
    across_mm: float,
    pitch_mm: float | None = None,
    tpi: float | None = None,
    uncertainty_mm: float = CALIPER_UNCERTAINTY_MM,
    angle: float | None = None,
    internal: bool = False,
    pitch_uncertainty_mm: float = 0.0,
) -> list[Candidate]:
    """The threads that a measured one may be, best first; never empty.

    `across_mm` is the outside diameter of a screw, or with `internal` the inside diameter of
    a hole. Give `pitch_mm` or `tpi`, not both; without either, every thread of that diameter
    is named. `angle` (60, 55 or 47.5 degrees) leaves only threads of that form. Worn and
    coated screws are named after those inside the limits. When nothing fits the nearest are
    given, and none has `inside_limits`. BadInput for what cannot be.
    """
    pitch = _pitch(pitch_mm, tpi, pitch_uncertainty_mm)
    measured = _Measured(across_mm, uncertainty_mm, pitch, internal)
    _check(measured)
    rows = _rows() if angle is None else _of_angle(angle)
    fitting = [row for row in rows if _may_be(row, measured)]
    if not any(_inside(row, measured) for row in fitting):
        fitting += [row for row in _nearest(rows, measured) if row not in fitting]
    fitting.sort(key=lambda row: _rank(row, measured))
    return _with_notes(fitting, measured)


def _pitch(pitch_mm: float | None, tpi: float | None, uncertainty: float) -> Pitch | None:
    if pitch_mm is not None and tpi is not None:
        raise BadInput("Give the pitch in mm or the threads per inch, not both.")
    if tpi is not None:
        if not tpi > 0:
            raise BadInput("Threads per inch must be more than zero, such as 20.")
        return Pitch(25.4 / tpi, uncertainty, tpi)
    return None if pitch_mm is None else Pitch(pitch_mm, uncertainty)


def _check(measured: _Measured) -> None:
    if not 0 < measured.across < 1000:
        raise BadInput(
            "The diameter must be more than zero and less than 1000 mm, such as 4.95 mm."
        )
    if not 0 <= measured.uncertainty < measured.across / 2:
        raise BadInput(
            "The caliper's uncertainty must be small beside the diameter: 0.02 mm is usual."
        )
    if measured.pitch and not 0 < measured.pitch.mm < measured.across / 2:
        raise BadInput(
            f"A pitch of {measured.pitch.mm:g} mm cannot be on a diameter of"
            f" {measured.across:g} mm; measure from crest to crest, such as 0.8 mm or 20 tpi."
        )


def _of_angle(angle: float) -> list[_Row]:
    if not any(abs(angle - known) <= 1 for known in ANGLES.values()):
        raise BadInput(f"No thread here has an angle of {angle:g}°; it is 60, 55 or 47.5.")
    return [row for row in _rows() if abs(row.thread.angle_deg - angle) <= 1]


def _limits(row: _Row, measured: _Measured) -> tuple[float, float]:
    return row.hole if measured.internal else row.screw


def _pitch_differs(row: _Row, measured: _Measured) -> float:
    """How far the pitch is off as a share of the thread's own, past the counting error."""
    if measured.pitch is None:
        return 0.0
    off = abs(row.thread.pitch_mm - measured.pitch.mm) - measured.pitch.uncertainty_mm
    return max(off, 0.0) / row.thread.pitch_mm


def _may_be(row: _Row, measured: _Measured) -> bool:
    """True when reading and pitch suit the thread, wear and coating allowed for."""
    low, high = _limits(row, measured)
    worn, coated = _WORN * row.thread.pitch_mm, _COATED * row.thread.pitch_mm
    if measured.internal:  # a hole wears wider
        worn, coated = coated, worn
    reach = measured.uncertainty
    if not low - worn - reach <= measured.across <= high + coated + reach:
        return False
    if measured.pitch is None:
        return _inside(row, measured)
    return _pitch_differs(row, measured) <= _NEAR_PITCH


def _off_by(row: _Row, measured: _Measured) -> float:
    """Signed distance outside the bare limits, mm: negative under, positive over, 0 inside."""
    low, high = _limits(row, measured)
    return min(measured.across - low, 0.0) + max(measured.across - high, 0.0)


def _inside(row: _Row, measured: _Measured) -> bool:
    return abs(_off_by(row, measured)) <= measured.uncertainty + 1e-9


def _rank(row: _Row, measured: _Measured) -> tuple[bool, bool, int, int, float]:
    """Smallest first: fitting before the nearest, same pitch, everyday sizes, metric, middle."""
    differs = _pitch_differs(row, measured)
    low, high = _limits(row, measured)
    from_middle = abs(measured.across - (low + high) / 2)
    common, system = row.thread.common, _SYSTEMS.index(row.thread.system)
    misfit = not _inside(row, measured) or differs > _NEAR_PITCH
    return misfit, differs > _SAME_PITCH, common, system, from_middle


def _nearest(rows: Iterable[_Row], measured: _Measured) -> list[_Row]:
    """The threads that come nearest when none fits, the diameter counting before the pitch."""

    def distance(row: _Row) -> float:
        across = abs(_off_by(row, measured)) / measured.across
        ratio = measured.pitch.mm / row.thread.pitch_mm if measured.pitch else 1.0
        return 5 * across + abs(log(ratio))

    ranked = sorted(((distance(row), at, row) for at, row in enumerate(rows)), key=itemgetter(0, 1))
    return [row for _, _, row in ranked[:_NEAREST]]


def _with_notes(rows: list[_Row], measured: _Measured) -> list[Candidate]:
    inside = [row for row in rows if _inside(row, measured)]
    return [_candidate(row, inside, measured) for row in rows]


def _candidate(row: _Row, inside: list[_Row], measured: _Measured) -> Candidate:
    low, high = _limits(row, measured)
    fits = _inside(row, measured) and _pitch_differs(row, measured) <= _NEAR_PITCH
    return Candidate(
        designation=row.thread.designation,
        inside_limits=fits,
        off_by_mm=round(abs(_off_by(row, measured)), 4),
        limit_min_mm=round(low, 4),
        limit_max_mm=round(high, 4),
        pitch_mm=round(row.thread.pitch_mm, 4),
        angle_deg=row.thread.angle_deg,
        note="; ".join(_notes(row, inside, measured)),
    )


def _notes(row: _Row, inside: list[_Row], measured: _Measured) -> list[str]:
    notes = [_fit_note(row, measured)]
    differs = _pitch_differs(row, measured)
    if differs > _NEAR_PITCH:
        notes.append(f"its pitch is {row.thread.pitch_mm:.3g} mm, so this is only the nearest")
    elif differs > _SAME_PITCH:
        notes.append(f"its pitch differs by {100 * differs:.1f} %")
    if measured.pitch is None and len(inside) > 1:
        notes.append("the diameter alone cannot decide: measure the pitch")
    elif row in inside:
        notes.append(_angle_note(row, inside))
    return [note for note in notes if note]


def _fit_note(row: _Row, measured: _Measured) -> str:
    off = _off_by(row, measured)
    if _inside(row, measured):
        return ""
    side = "under the lower" if off < 0 else "over the upper"
    cause = "worn or made small" if (off < 0) != measured.internal else "plated, painted or burred"
    if measured.internal:
        cause = "worn or stripped" if off > 0 else "dirty or not cut to size"
    if not _may_be(row, measured):
        cause = "only the nearest there is"
    return f"{abs(off):.2f} mm {side} limit: {cause}"


def _angle_note(row: _Row, inside: list[_Row]) -> str:
    """Names the other thread that the same reading and pitch fit, and what tells them apart."""
    mine = row.thread
    others = [
        other.thread
        for other in inside
        if other is not row and abs(other.thread.pitch_mm / mine.pitch_mm - 1) <= _NEAR_PITCH
    ]
    if not others:
        return ""
    names = ", ".join(other.designation for other in others[:3])
    angles = {other.angle_deg for other in others}
    if angles == {mine.angle_deg}:
        return f"may also be {names}: a longer pitch gauge or a nut that fits decides"
    return f"may also be {names}: the thread angle decides, this one has {mine.angle_deg:g}°"
