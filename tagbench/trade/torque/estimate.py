"""A torque estimated from size, class and friction, for when no figure is to be had.

T = K d F. The nut factor K is uncertain by nature: handbooks disagree by half, and even a good
wrench leaves the preload a quarter to a third off. So an estimate is always marked as one, and
it is refused where a wrong one can hurt somebody.
"""

from __future__ import annotations

from functools import cache
from typing import Literal

import msgspec

from tagbench.errors import BadInput, Refused
from tagbench.records import Torque
from tagbench.trade.published import read_table
from tagbench.trade.quantities.units import convert, exact
from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.limits import limits_of
from tagbench.trade.threads.thread import Thread
from tagbench.trade.torque.safety import safety_critical
from tagbench.trade.torque.strength import Strength, strength_of

#: Preload as a share of proof load for a joint that comes apart again (Shigley 9th ed., 8-31).
REUSABLE = 0.75
#: Shigley's share for a permanent joint; more is refused.
PERMANENT = 0.90

YIELDS = "This is an estimate and yields to the maker's manual, which goes before it."


class Friction(msgspec.Struct, frozen=True):
    """The nut factor K of a condition, and how far it may be off."""

    condition: str
    """unknown, dry, black, zinc, cadmium, lubricated, anti-seize or stainless."""
    k: float
    """The figure used."""
    low: float
    """The lowest that a handbook prints."""
    high: float
    """The highest."""
    scatter_percent: float
    """Plus or minus on the preload with a torque wrench."""


class Estimate(msgspec.Struct, frozen=True):
    """An estimated torque; never to be taken for a maker's figure."""

    torque: float
    """The estimate, in `unit`."""
    torque_low: float
    """The same preload by the lowest published nut factor for the condition, in `unit`."""
    torque_high: float
    """The same by the highest, in `unit`."""
    unit: str
    """Unit of the torques."""
    preload_n: float
    """The preload aimed at, N."""
    preload_low_n: float
    """What it may come out as, at the low end of the scatter, N."""
    preload_high_n: float
    """The same at the high end, N."""
    scatter_percent: float
    """Plus or minus on the preload."""
    friction: Friction
    """The friction it was reckoned with."""
    strength: Strength
    """The strength it was reckoned with."""
    sentences: tuple[str, ...]
    """What to say with it; never show it without."""
    estimate: Literal[True] = True
    """Always true."""

    def as_torque(self) -> Torque:
        """The estimate for a fastener's record, marked as one."""
        figure = float(f"{self.torque:.3g}")
        source = f"estimate, {self.strength.grade}, {self.friction.condition}"
        return Torque(low=figure, high=figure, unit=self.unit, source=source, estimate=True)


def torque_for(nut_factor: float, diameter: float, preload: float) -> float:
    """T = K d F, in the unit of `diameter` times that of `preload`."""
    return nut_factor * diameter * preload


def preload_for(stress: float, area: float, fraction: float = REUSABLE) -> float:
    """F = fraction x stress x area, in the units of the two."""
    return fraction * stress * area


def estimate_torque(
    thread: str | Thread,
    grade: str,
    condition: str = "unknown",
    *,
    used_on: tuple[str, ...],
    fraction: float = REUSABLE,
    unit: str = "N·m",
) -> Estimate:
    """The torque of a thread of some class under some friction, as an estimate.

    `used_on` names assembly, part and fastener; Refused when one is safety-critical. `fraction`
    is the preload as a share of proof load. BadInput for what is not in the tables.
    """
    thread = parse_thread(thread) if isinstance(thread, str) else thread
    if word := safety_critical(*used_on):
        raise Refused(
            f"No estimate for a {word} fastener: only the maker's figure will do;"
            " look in the maker's manual or ask a qualified person."
        )
    if not 0 < fraction <= PERMANENT:
        raise BadInput("The preload is more than nothing and at most 0.9 of the proof load.")
    friction, strength = friction_of(condition), strength_of(grade, thread)
    preload = preload_for(strength.ceiling, limits_of(thread).stress_area, fraction)
    low, middle, high = (
        _in_unit(torque_for(k, thread.diameter_mm / 1000, preload), unit)
        for k in (friction.low, friction.k, friction.high)
    )
    scatter = friction.scatter_percent / 100
    return Estimate(
        torque=middle,
        torque_low=low,
        torque_high=high,
        unit=unit,
        preload_n=preload,
        preload_low_n=preload * (1 - scatter),
        preload_high_n=preload * (1 + scatter),
        scatter_percent=friction.scatter_percent,
        friction=friction,
        strength=strength,
        sentences=_sentences(friction),
    )


def _in_unit(newton_metres: float, unit: str) -> float:
    return float(convert(exact(newton_metres), "N·m", unit))


def _sentences(friction: Friction) -> tuple[str, ...]:
    share = f"{friction.scatter_percent:g} %"
    return (
        YIELDS,
        f"Friction alone puts the preload up to {share} off either way;"
        f" handbooks print K from {friction.low:g} to {friction.high:g} for this.",
        "Never use it on brakes, steering, wheels, connecting rods or cylinder heads.",
        "Steel on steel with full thread: less in aluminium, brass or a thin nut.",
    )


def friction_of(condition: str) -> Friction:
    """The nut factor of a condition, also by everyday words: oiled, zinc plated, copper paste.

    BadInput, with the conditions known, for any other.
    """
    found = _frictions().get(" ".join(condition.lower().split()))
    if found is None:
        known = dict.fromkeys(friction.condition for friction in _frictions().values())
        raise BadInput(f'The condition "{condition}" is not known; write {", ".join(known)}.')
    return found


@cache
def _frictions() -> dict[str, Friction]:
    found = {}
    for row in read_table("nut_factors"):
        friction = Friction(
            row["condition"],
            float(row["K"]),
            float(row["low"]),
            float(row["high"]),
            float(row["scatter_percent"]),
        )
        for word in (row["condition"], *row["words"].split("|")):
            found[word] = friction
    found.pop("", None)
    return found
