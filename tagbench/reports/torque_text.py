"""What is said about a torque: in which units, how the wrench is set, how to go about it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tagbench.rules.describe.phrases import plural
from tagbench.trade.quantities.shown import show_torque, significant
from tagbench.trade.quantities.units import Range, exact
from tagbench.trade.torque.castle_nut import CastleNut
from tagbench.trade.torque.estimate import Estimate
from tagbench.trade.torque.lever import lever_words
from tagbench.trade.torque.stages import Stage
from tagbench.trade.torque.wrench import Lever, Scale, wrench_setting

SMALL_NM = 10
"""Under so many N·m the small units read better."""


def torque_lines(
    wanted: Range, unit: str = "", lever: Lever | None = None, scale: Scale | None = None
) -> Iterator[str]:
    """A torque in the unit request for, else in the usual ones, and what to set the wrench to."""
    shown = [unit] if unit else usual_units(wanted)
    others = [show_torque(wanted, one) for one in shown if one != wanted.unit]
    yield " = ".join([show_torque(wanted), *others])
    if lever is not None:
        setting = wrench_setting(wanted.to(unit or wanted.unit), lever)
        yield f"Set the wrench to {show_torque(setting)}: {lever_words(lever)}."
    if scale is not None:
        yield scale.sentence


def usual_units(wanted: Range) -> list[str]:
    """The units that a torque of this size is usually given in."""
    if wanted.to("N·m").high < SMALL_NM:
        return ["N·m", "lbf·in", "kgf·cm"]
    return ["N·m", "lbf·ft", "kgf·m"]


def castle_nut_lines(nut: CastleNut) -> Iterator[str]:
    """How to tighten a castle nut, in order."""
    holes = f"{plural(nut.cross_holes, 'cross-hole')}"
    yield f"Castle nut with {nut.slots} slots, {holes}:"
    yield from numbered(nut.sentences)


def stage_lines(stages: Iterable[Stage]) -> Iterator[str]:
    """Each stage round the circle: what to do, to which torque, in which order."""
    stages = list(stages)
    yield f"{len(stages[0].order)} bolts:" if len(stages) > 1 else "One fastener:"
    yield from numbered(
        f"{stage.sentence} {show_torque(stage.torque)}: {' '.join(map(str, stage.order))}"
        for stage in stages
    )


def estimate_lines(thread: str, found: Estimate) -> Iterator[str]:
    """An estimate, never without the sentences that mark it as one."""
    grade, condition = found.strength.grade, found.friction.condition
    yield f"ESTIMATE for {thread}, {grade}, {condition}, into {found.into}: {_figure(found)}"
    low, high = found.preload_low_n / 1000, found.preload_high_n / 1000
    yield (
        f"  Preload it gives: {found.preload_n / 1000:.3g} kN ± {found.spread_percent:.0f} %"
        f" ({low:.3g} to {high:.3g} kN); stress at most {found.of_yield_percent:.0f} % of yield."
    )
    yield from (f"  {sentence}" for sentence in found.sentences)


def numbered(sentences: Iterable[str]) -> Iterator[str]:
    """Sentences with their numbers, from 1."""
    return (f"  {number}. {sentence}" for number, sentence in enumerate(sentences, 1))


def _figure(found: Estimate) -> str:
    return f"{significant(exact(found.as_torque().low))} {found.unit}"
