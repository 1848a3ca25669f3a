"""A torque estimated from size, class and friction, for when no figure is to be had.

Friction is uncertain by nature, and a slippery screw stretches most. So everything is reckoned
with the lowest friction of the condition: there the combined stress of tension and torsion (von
Mises) stays at or under 90 % of yield, and T = K d F with the lowest published nut factor aims
at no more than three quarters of the proof load. An estimate is always marked as one, and it is
refused where a wrong one can hurt somebody.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from tagbench.errors import BadInput, Refused
from tagbench.records import Torque
from tagbench.trade.quantities.units import convert, exact
from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.limits import limits_of
from tagbench.trade.threads.thread import Thread
from tagbench.trade.torque.friction import Friction, Mating, friction_of, mating_of
from tagbench.trade.torque.safety import danger_of
from tagbench.trade.torque.strength import UNMARKED, Strength, strength_of
from tagbench.trade.torque.stress import stress_per_newton, strip_load, torque_arm

#: Preload as a share of proof load for a joint that comes apart again (Shigley 9th ed., 8-31).
REUSABLE = 0.75
#: Shigley's share for a permanent joint; more is refused.
PERMANENT = 0.90
#: Combined stress as a share of yield that is never passed (VDI 2230-1 uses the same share).
OF_YIELD = 0.90
#: The load that strips the tapped thread against the highest preload, at least (project rule).
STRIP_SAFETY = 1.5
#: Thread that is taken to hold when nobody says how much, in diameters (steel nuts have 0.8).
UNSAID_ENGAGEMENT = 1.0

YIELDS = "This is an estimate and yields to the maker's manual."


class Estimate(msgspec.Struct, frozen=True):
    """An estimated torque; never to be taken for a maker's figure."""

    torque: float
    """The estimate, in `unit`."""
    unit: str
    """Unit of the torque."""
    preload_n: float
    """The preload in the middle of what this torque may give, N."""
    preload_low_n: float
    """The preload by the highest friction of the condition, N."""
    preload_high_n: float
    """The preload by the lowest friction, which the figure was reckoned with, N."""
    spread_percent: float
    """Plus or minus on `preload_n`."""
    of_yield_percent: float
    """Combined stress at the lowest friction in percent of yield; never over 90."""
    friction: Friction
    """The friction it was reckoned with."""
    strength: Strength
    """The strength it was reckoned with."""
    into: str
    """The metal that takes the screw."""
    sentences: tuple[str, ...]
    """What to say with it; never show it without."""
    estimate: Literal[True] = True
    """Always true."""

    def as_torque(self) -> Torque:
        """The estimate for a fastener's record, marked as one; rounded down, never up."""
        figure = rounded_down(self.torque)
        source = f"estimate, {self.strength.grade}, {self.friction.condition}, into {self.into}"
        return Torque(low=figure, high=figure, unit=self.unit, source=source, estimate=True)


def rounded_down(value: float) -> float:
    """`value` with three figures, never more than it was."""
    shown = float(f"{value:.3g}")
    step = 10.0 ** (len(f"{int(value)}") - 3) if value >= 1 else 0.001
    return shown if shown <= value else round(shown - step, 6)


def torque_for(nut_factor: float, diameter: float, preload: float) -> float:
    """T = K d F, in the unit of `diameter` times that of `preload`."""
    return nut_factor * diameter * preload


def preload_for(stress: float, area: float, fraction: float = REUSABLE) -> float:
    """F = fraction x stress x area, in the units of the two."""
    return fraction * stress * area


def estimate_torque(
    thread: str | Thread,
    grade: str = "",
    condition: str = "unknown",
    *,
    used_on: tuple[str, ...],
    into: str,
    engaged_mm: float | None = None,
    fraction: float = REUSABLE,
    unit: str = "N·m",
) -> Estimate:
    """The torque of a thread of some class under some friction, as an estimate.

    `used_on` says what the fastener is and holds (name, kind, assembly, note of its part), `into`
    what it is screwed into, over `engaged_mm` of thread. A screw without a `grade` counts as
    unmarked, 4.6. BadInput for what is missing or not in the tables; Refused where only the
    maker's figure will do.
    """
    thread = parse_thread(thread) if isinstance(thread, str) else thread
    check_use(used_on)
    if not 0 < fraction <= PERMANENT:
        raise BadInput("The preload is more than nothing and at most 0.9 of the proof load.")
    strength = strength_of(grade or UNMARKED, thread)
    friction = _friction(condition, strength)
    mating = mating_of(into)
    preload = _highest_preload(thread, strength, friction, mating, engaged_mm, fraction)
    torque = preload * torque_arm(thread, friction.mu_low) / 1000
    lowest = torque * 1000 / torque_arm(thread, friction.mu_high)
    middle = (preload + lowest) / 2
    return Estimate(
        torque=float(convert(exact(torque), "N·m", unit)),
        unit=unit,
        preload_n=middle,
        preload_low_n=lowest,
        preload_high_n=preload,
        spread_percent=100 * (preload - lowest) / (2 * middle),
        of_yield_percent=100
        * preload
        * stress_per_newton(thread, friction.mu_low)
        / strength.yield_stress,
        friction=friction,
        strength=strength,
        into=mating.metal,
        sentences=_sentences(friction, strength, mating, bool(grade)),
    )


def check_use(used_on: tuple[str, ...]) -> None:
    """Refuses an estimate for a dangerous fastener; BadInput when nobody says what it holds."""
    if not any(text.strip() for text in used_on):
        raise BadInput(
            "Say what the fastener holds (--for “toolbox lid”) or name its part (--part CODE)."
        )
    danger = danger_of(*used_on)
    if danger is None:
        return
    why = f"{danger.reason[0].lower()}{danger.reason[1:-1]}"
    raise Refused(
        f"No estimate for a {danger.part}{' fastener' * (danger.how == 'place')}: {why};"
        " only the maker's figure will do; look in the maker's manual or ask a qualified person."
    )


def _friction(condition: str, strength: Strength) -> Friction:
    """The friction said; a dry stainless screw has its own, an unknown one counts as oiled too."""
    friction = friction_of(condition)
    if strength.stainless and friction.condition in ("dry", "zinc"):
        return friction_of("stainless")
    return friction


def _highest_preload(
    thread: Thread,
    strength: Strength,
    friction: Friction,
    mating: Mating,
    engaged_mm: float | None,
    fraction: float,
) -> float:
    """The preload at the lowest friction that no limit forbids, N."""
    area = limits_of(thread).stress_area
    by_stress = OF_YIELD * strength.yield_stress / stress_per_newton(thread, friction.mu_low)
    aimed = preload_for(strength.ceiling, area, fraction)
    by_factor = torque_for(friction.k, thread.diameter_mm, aimed) / torque_arm(
        thread, friction.mu_low
    )
    engaged = UNSAID_ENGAGEMENT * thread.diameter_mm if engaged_mm is None else engaged_mm
    if engaged < 0.5 * thread.diameter_mm:
        raise Refused(
            "No estimate for so little thread: less than half a diameter holds;"
            " use a longer screw or ask a qualified person."
        )
    engaged = min(engaged, 2 * thread.diameter_mm)  # more does not help: the first turns carry
    by_strip = strip_load(thread, mating.shear_mpa, engaged) / STRIP_SAFETY
    return min(mating.share * min(by_stress, by_factor), by_strip)


def _sentences(
    friction: Friction, strength: Strength, mating: Mating, marked: bool
) -> tuple[str, ...]:
    said = [YIELDS]
    if not marked:
        said.append(f"No marking was given, so it counts as the weakest steel, {strength.grade}.")
    if friction.condition in ("unknown", "black"):
        said.append("Black or of unknown condition counts as oiled, which stretches a screw most.")
    said.append("The spread is of the preload that this one torque gives: no range to choose from.")
    if strength.stainless:
        said.append("Stainless seizes on stainless when dry: use a paste, and say so with it.")
    if mating.metal != "steel":
        said.append(
            f"Into {mating.metal} it is less than into steel; clean the thread, count the turns by"
            " hand, and stop if it goes soft."
        )
    said.append("Never use it on brakes, steering, wheels, connecting rods or cylinder heads.")
    return tuple(said)
