"""Whether a torque that was given lies inside the range that is specified."""

from __future__ import annotations

from math import isclose

from tagbench.records import Fastener, Torque
from tagbench.trade.fasteners.spelling import spell_torque


def outside_words(fastener: Fastener, given: float) -> str:
    """Why a torque, in the unit of the line's range, is outside it; empty when inside or no range.

    Within one part in a thousand of a limit counts as inside: it is what rounding a converted
    figure does.
    """
    torque = fastener.torque
    if torque is None or _inside(torque, given):
        return ""
    side = "under" if given < torque.low else "over"
    return f"{given:.4g} {torque.unit} is {side} the range {spell_torque(torque)}"


def _inside(torque: Torque, given: float) -> bool:
    if torque.low <= given <= torque.high:
        return True
    return any(isclose(given, limit, rel_tol=1e-3) for limit in (torque.low, torque.high))
