"""A reading off a thread, and how well a thread of the tables agrees with it."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from operator import attrgetter

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.threads.limits import limits_of
from tagbench.trade.threads.pipe import known_threads
from tagbench.trade.threads.pitch import Pitch
from tagbench.trade.threads.thread import Thread

#: Pitches that differ by less fit the same gauge leaf just as well.
SAME_PITCH = 0.005
#: Pitches that differ by more are told apart with a gauge.
NEAR_PITCH = 0.03
#: A worn crest is lower by up to this share of the pitch; a plated or painted one higher.
_WORN = 0.10
_COATED = 0.04
#: Without a pitch gauge nothing else tells a worn one, so that much more wear is believed.
_WORN_MORE = 0.05

Span = tuple[float, float]
"""Smallest and largest, mm."""


class ThreadRow(msgspec.Struct, frozen=True):
    """A thread with its limits ready for comparing, mm."""

    thread: Thread
    screw: Span
    """Outside diameter of a new screw."""
    hole: Span
    """Inside diameter of a new hole."""
    worn_screw: Span
    """The same with wear below and coating above."""
    worn_hole: Span
    """The same with coating below and wear above."""


@cache
def rows() -> tuple[ThreadRow, ...]:
    """Every thread of the tables, ready for comparing."""
    return tuple(_row(thread) for thread in known_threads())


def _row(thread: Thread) -> ThreadRow:
    of, pitch = limits_of(thread), thread.pitch_mm
    worn, coated = _WORN * pitch, _COATED * pitch
    return ThreadRow(
        thread=thread,
        screw=(of.major_min, of.major_max),
        hole=(of.hole_minor_min, of.hole_minor_max),
        worn_screw=(of.major_min - worn, of.major_max + coated),
        worn_hole=(of.hole_minor_min - coated, of.hole_minor_max + worn),
    )


class MeasuredThread(msgspec.Struct, frozen=True):
    """What was measured."""

    across: float
    """Diameter, mm: outside a screw or inside a hole."""
    uncertainty: float
    """What the caliper may be off, mm."""
    pitch: Pitch | None
    """The pitch, if it was measured."""
    internal: bool
    """True for a hole."""

    def checked(self) -> MeasuredThread:
        """Itself; BadInput when no thread can measure so."""
        if not 0 < self.across < 1000:
            raise BadInput(
                "The diameter must be more than zero and less than 1000 mm, such as 4.95 mm."
            )
        if not 0 <= self.uncertainty < self.across / 2:
            raise BadInput(
                "The caliper's uncertainty must be small beside the diameter: 0.02 mm is usual."
            )
        if self.pitch and not 0 < self.pitch.mm < self.across / 2:
            raise BadInput(
                f"A pitch of {self.pitch.mm:g} mm cannot be on a diameter of"
                f" {self.across:g} mm; measure from crest to crest, such as 0.8 mm or 20 tpi."
            )
        return self

    def limits(self, row: ThreadRow) -> Span:
        """The limits that the reading is held against."""
        return row.hole if self.internal else row.screw

    def off_by(self, row: ThreadRow) -> float:
        """Signed distance outside the bare limits, mm: negative under, positive over."""
        low, high = self.limits(row)
        return min(self.across - low, 0.0) + max(self.across - high, 0.0)

    def inside(self, row: ThreadRow) -> bool:
        """True when the diameter suits a new thread, give or take the uncertainty."""
        return abs(self.off_by(row)) <= self.uncertainty + 1e-9

    def pitch_differs(self, row: ThreadRow) -> float:
        """How far the pitch is off as a share of the thread's own, past the counting error."""
        if self.pitch is None:
            return 0.0
        off = abs(row.thread.pitch_mm - self.pitch.mm) - self.pitch.uncertainty_mm
        return max(off, 0.0) / row.thread.pitch_mm

    def fitting(self, known: Iterable[ThreadRow]) -> list[ThreadRow]:
        """The threads that reading and pitch suit, worn and coated ones allowed for."""
        low, high = self.across - self.uncertainty - 1e-9, self.across + self.uncertainty + 1e-9
        span = attrgetter(f"worn_{self._side}")
        more = 0.0 if self.pitch else _WORN_MORE
        across = [
            row
            for row in known
            if (of := span(row))[0] - more * row.thread.pitch_mm <= high and low <= of[1]
        ]
        return [row for row in across if self.pitch_differs(row) <= NEAR_PITCH]

    @property
    def _side(self) -> str:
        return "hole" if self.internal else "screw"
