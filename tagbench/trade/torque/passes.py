"""A torque that is given in stages: how far it is, and whether the last pass was the final one."""

from __future__ import annotations

from datetime import datetime
from math import isclose
from typing import Literal

import msgspec

from tagbench.records import Fastener, Torque, TorquePass, replace
from tagbench.trade.quantities.shown import show_torque
from tagbench.trade.quantities.units import Range, exact
from tagbench.trade.torque.stages import STAGES

TorqueState = Literal["none", "stage", "final", "over"]
"""none: nothing given yet; stage: under the range, so open; final: inside it; over: past it."""

ROUNDING = 1e-3
"""Part of a limit that counts as on it: what rounding a converted figure does."""


class TorqueProgress(msgspec.Struct, frozen=True):
    """How far a line of fasteners is with its torque."""

    standing: TorqueState
    """Where the last pass lies."""
    stage: int
    """Passes given so far."""
    of: int
    """Stages in all, three unless more were needed; `stage` when it is final."""
    words: str
    """`20 of 32–44 lbf·ft, not final, stage 1 of 3`; empty for nothing given."""

    @property
    def open(self) -> bool:
        """Whether another pass is wanted."""
        return self.standing in ("none", "stage")


def standing_of(torque: Torque | None, given: float | None) -> TorqueState:
    """Where a torque lies against its range, both in the unit of the range.

    Without a range any torque is final. A value under it is a stage and no mistake.
    """
    if given is None:
        return "none"
    if torque is None:
        return "final"
    near = any(isclose(given, limit, rel_tol=ROUNDING) for limit in (torque.low, torque.high))
    if torque.low <= given <= torque.high or near:
        return "final"
    return "stage" if given < torque.low else "over"


def progress_of(fastener: Fastener) -> TorqueProgress:
    """How far a line is, from the last torque that it was given and its passes."""
    standing = standing_of(fastener.torque, fastener.torqued)
    stage = max(len(fastener.passes), 0 if fastener.torqued is None else 1)
    of = max(len(STAGES), stage + 1) if standing == "stage" else max(stage, 1)
    return TorqueProgress(standing, stage, of, _words(fastener, standing, stage, of))


def _words(fastener: Fastener, standing: TorqueState, stage: int, of: int) -> str:
    torque, given = fastener.torque, fastener.torqued
    if given is None:
        return ""
    if torque is None:
        return f"{given:g} N·m"
    wanted = show_torque(Range(exact(torque.low), exact(torque.high), torque.unit))
    if standing == "stage":
        return f"{given:.4g} of {wanted}, not final, stage {stage} of {of}"
    if standing == "over":
        return f"{given:.4g} {torque.unit} is over {wanted}"
    return f"{given:.4g} {torque.unit} of {wanted}, final"


def torqued_words(fastener: Fastener) -> str:
    """What a line was given: `torqued to 38 lbf·ft`, or `20 of 32–44 lbf·ft, not final, …`.

    Empty for nothing given.
    """
    if fastener.torqued is None:
        return ""
    told = progress_of(fastener)
    if told.standing == "stage":
        return told.words
    unit = fastener.torque.unit if fastener.torque else "N·m"
    return f"torqued to {fastener.torqued:g} {unit}"


def with_pass(fastener: Fastener, given: float, at: datetime | None = None) -> Fastener:
    """The line after one more pass of `given`, in the unit of its torque.

    A pass after the final one, or a lower one than the last, begins anew: somebody loosened it.
    """
    before = fastener.passes
    standing = standing_of(fastener.torque, fastener.torqued)
    if standing in ("none", "final", "over") or given < (fastener.torqued or 0.0):
        before = ()
    made = TorquePass(given=given, at=at)
    return replace(fastener, torqued=given, passes=(*before, made))


def without_passes(fastener: Fastener) -> Fastener:
    """The line loosened: what it was given is forgotten."""
    return replace(fastener, torqued=None, passes=())
