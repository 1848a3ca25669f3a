"""Names a thread from a caliper reading and, better, its pitch."""

from __future__ import annotations

from collections.abc import Iterable
from math import log
from operator import itemgetter

from tagbench.errors import BadInput
from tagbench.trade.threads.measured import NEAR_PITCH, SAME_PITCH, MeasuredThread, ThreadRow, rows
from tagbench.trade.threads.naming_notes import ThreadCandidate, with_notes
from tagbench.trade.threads.pitch import Pitch
from tagbench.trade.threads.thread import ANGLES

#: What an ordinary caliper may be off, mm.
CALIPER_UNCERTAINTY_MM = 0.02
#: The order in which systems are met, for threads that fit a reading equally well.
_SYSTEMS = tuple(ANGLES)
#: How many threads are named when none fits.
_NEAREST = 3


def name_thread(
    across_mm: float,
    pitch_mm: float | None = None,
    tpi: float | None = None,
    uncertainty_mm: float = CALIPER_UNCERTAINTY_MM,
    angle: float | None = None,
    internal: bool = False,
    pitch_uncertainty_mm: float = 0.0,
) -> list[ThreadCandidate]:
    """The threads that a measured one may be, best first; never empty.

    `across_mm` is the outside diameter of a screw, or with `internal` the inside diameter of
    a hole. Give `pitch_mm` or `tpi`, not both; without either, every thread of that diameter
    is named. `angle` (60, 55 or 47.5 degrees) leaves only threads of that form. Worn and
    coated screws are named after those inside the limits. When nothing fits the nearest are
    given, and none has `inside_limits`. BadInput for what cannot be.
    """
    pitch = _pitch(pitch_mm, tpi, pitch_uncertainty_mm)
    measured = MeasuredThread(across_mm, uncertainty_mm, pitch, internal).checked()
    known = rows() if angle is None else _of_angle(angle)
    fitting = measured.fitting(known)
    if not any(measured.inside(row) for row in fitting):
        fitting += [row for row in _nearest(known, measured) if row not in fitting]
    fitting.sort(key=lambda row: _rank(row, measured))
    return with_notes(fitting, measured)


def _pitch(pitch_mm: float | None, tpi: float | None, uncertainty: float) -> Pitch | None:
    if pitch_mm is not None and tpi is not None:
        raise BadInput("Give the pitch in mm or the threads per inch, not both.")
    if tpi is not None:
        if not tpi > 0:
            raise BadInput("Threads per inch must be more than zero, such as 20.")
        return Pitch(25.4 / tpi, uncertainty, tpi)
    return None if pitch_mm is None else Pitch(pitch_mm, uncertainty)


def _of_angle(angle: float) -> list[ThreadRow]:
    if not any(abs(angle - known) <= 1 for known in ANGLES.values()):
        raise BadInput(f"No thread here has an angle of {angle:g}°; it is 60, 55 or 47.5.")
    return [row for row in rows() if abs(row.thread.angle_deg - angle) <= 1]


def _rank(row: ThreadRow, measured: MeasuredThread) -> tuple[bool, bool, int, int, bool, float]:
    """Smallest first: fitting before the nearest, same pitch, everyday sizes, metric, coarse where
    no pitch was measured (ISO 965-1: a thread named without one is coarse), middle."""
    differs = measured.pitch_differs(row)
    low, high = measured.limits(row)
    from_middle = abs(measured.across - (low + high) / 2)
    common, system = row.thread.common, _SYSTEMS.index(row.thread.system)
    misfit = not measured.inside(row) or differs > NEAR_PITCH
    finer = measured.pitch is None and system == 0 and row.thread.series != "coarse"
    return misfit, differs > SAME_PITCH, common, system, finer, from_middle


def _nearest(known: Iterable[ThreadRow], measured: MeasuredThread) -> list[ThreadRow]:
    """The threads that come nearest when none fits, the diameter counting before the pitch."""

    def distance(row: ThreadRow) -> float:
        across = abs(measured.off_by(row)) / measured.across
        ratio = measured.pitch.mm / row.thread.pitch_mm if measured.pitch else 1.0
        return 5 * across + abs(log(ratio))

    ranked = sorted(
        ((distance(row), at, row) for at, row in enumerate(known)), key=itemgetter(0, 1)
    )
    return [row for _, _, row in ranked[:_NEAREST]]
