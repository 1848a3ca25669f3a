"""What is asked about a torque on the command line, and the answer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from msgspec.structs import replace

from tagbench.errors import BadInput
from tagbench.reports.torque_text import (
    castle_nut_lines,
    estimate_lines,
    stage_lines,
    torque_lines,
)
from tagbench.rules.care.cautions import DEFER
from tagbench.trade.quantities.typed import parse_length, parse_torque
from tagbench.trade.quantities.unit_words import accepted_units, standard_unit
from tagbench.trade.quantities.units import Quantity, Range
from tagbench.trade.threads import parse_thread
from tagbench.trade.torque.castle_nut import CastleNut, castle_nut, parse_castle_nut
from tagbench.trade.torque.castle_nut_use import Bearing, NutUse, nut_use
from tagbench.trade.torque.estimate import Estimate, estimate_torque
from tagbench.trade.torque.lever import parse_lever
from tagbench.trade.torque.ranges import TorqueCard, as_range, torque_card
from tagbench.trade.torque.stages import Pattern, Stage, tightening_stages
from tagbench.trade.torque.wrench import Lever, Scale, on_the_scale, torque_given, wrench_setting

CASTLE_NUT = "6 slots"
"""The castle nut that is meant when no more is said of it."""


@dataclass(frozen=True, slots=True)
class TorqueQuestion:
    """The options as they were typed; empty where nothing was."""

    figures: tuple[str, ...]
    into: str
    wrench: str
    extension: str
    angle: str
    set_to: bool
    scale: str
    castle_nut: str
    slots: int | None
    cross_holes: int | None
    bearing: bool
    clamps: bool
    bolts: int | None
    pattern: Pattern
    hole: tuple[str, ...]
    estimate: str
    grade: str
    friction: str
    metal: str
    engaged: str
    used_on: str
    part: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TorqueAnswer:
    """The torque and all that was asked about it; None for what was not asked."""

    wanted: Range
    """The torque at the fastener, in the unit it was typed in."""
    unit: str
    """The unit asked for; empty for the one it was typed in."""
    lever: Lever | None
    card: TorqueCard
    scale: Scale | None
    castle_nut: CastleNut | None
    stages: list[Stage] | None
    estimate: Estimate | None
    thread: str
    """The thread of the estimate."""

    def lines(self) -> Iterator[str]:
        """The answer for a person."""
        if self.estimate:
            yield from estimate_lines(self.thread, self.estimate)
        yield from torque_lines(self.wanted, self.unit, self.lever, self.scale)
        if self.castle_nut:
            yield from castle_nut_lines(self.castle_nut)
            if self.castle_nut.use == "unclear":
                yield "Say --clamps or --bearing, or name its part: --part CODE."
        if self.stages:
            yield from stage_lines(self.stages)
        if self.castle_nut or self.stages:
            yield DEFER


def answer(asked: TorqueQuestion) -> TorqueAnswer:
    """Works out what was asked; BadInput says what is missing or cannot be read."""
    check_options(asked)
    unit = standard_unit(asked.into, "torque") if asked.into else ""
    lever = parse_lever(asked.wrench, asked.extension, asked.angle)
    guess = estimated(asked, unit or "N·m") if asked.estimate else None
    wanted = as_range(guess.as_torque()) if guess else typed_torque(asked, lever)
    shown = wanted.to(unit or wanted.unit)
    return TorqueAnswer(
        wanted=wanted,
        unit=unit,
        lever=lever,
        card=torque_card(wanted, unit, lever),
        scale=on_scale(asked, wrench_setting(shown, lever) if lever else shown),
        castle_nut=nut(asked, shown),
        stages=staged(asked, shown),
        estimate=guess,
        thread=parse_thread(asked.estimate).designation if guess else "",
    )


def check_options(asked: TorqueQuestion) -> None:
    """BadInput for options that do not go together."""
    if asked.estimate and asked.figures:
        raise BadInput("Give a torque or --estimate, not both.")
    estimating = (asked.grade, asked.friction, asked.metal, asked.engaged)
    if not asked.estimate and any(estimating):
        raise BadInput("--grade, --friction, --metal and --engaged go with --estimate THREAD.")
    if not (asked.estimate or asked.castle_nut) and (asked.used_on or asked.part):
        raise BadInput("--for and --part go with --estimate THREAD or --castle-nut.")
    if not (asked.estimate or asked.figures):
        raise BadInput(
            "Give a torque with its unit first, such as “32-44 lbf·ft”, or --estimate M8"
            f" --grade 8.8; the unit is {accepted_units('torque')}."
        )
    if not asked.castle_nut and (asked.bearing or asked.clamps or asked.slots or asked.cross_holes):
        raise BadInput("--slots, --cross-holes, --clamps and --bearing go with --castle-nut.")
    if asked.bearing and asked.clamps:
        raise BadInput("A castle nut clamps or sets a bearing: choose --clamps or --bearing.")
    if asked.set_to and not asked.wrench:
        raise BadInput("--set-to needs the lever: --wrench 400mm --extension 65mm.")


def typed_torque(asked: TorqueQuestion, lever: Lever | None) -> Range:
    """The torque at the fastener: as typed, or what a wrench set to it gives."""
    typed = parse_torque(" ".join(asked.figures))
    if not (asked.set_to and lever):
        return typed
    return replace(torque_given(typed, lever), typed=typed.typed)


def estimated(asked: TorqueQuestion, unit: str) -> Estimate:
    """The estimate asked for; Refused where only the maker's figure will do."""
    words = (asked.used_on, *asked.part)
    condition = asked.friction or "unknown"
    engaged = float(parse_length(asked.engaged).to("mm").value) if asked.engaged else None
    return estimate_torque(
        asked.estimate,
        asked.grade,
        condition,
        used_on=words,
        into=asked.metal,
        engaged_mm=engaged,
        unit=unit,
    )


def on_scale(asked: TorqueQuestion, setting: Range) -> Scale | None:
    """Whether the wrench whose scale was typed suits; a single figure is its full scale."""
    if not asked.scale:
        return None
    typed = parse_torque(asked.scale)
    bottom = None if typed.single else Quantity(typed.low, typed.unit)
    return on_the_scale(setting, Quantity(typed.high, typed.unit), bottom)


def staged(asked: TorqueQuestion, torque: Range) -> list[Stage] | None:
    """The stages for the bolts that were said, by pattern or by the positions of their holes."""
    if asked.bolts is None and not asked.hole:
        return None
    holes = [hole_position(text) for text in asked.hole] or None
    bolts = asked.bolts if asked.bolts is not None else len(asked.hole)
    return tightening_stages(torque, bolts, asked.pattern, holes)


def hole_position(text: str) -> tuple[float, float]:
    """`40 -5` or `40,-5`: x to the right and y downwards, mm; BadInput for anything else."""
    parts = text.replace(",", " ").split()
    try:
        x, y = (float(part) for part in parts)
    except ValueError as error:
        raise BadInput(f"“{text}” is not a hole position; write x and y as “40 -5”.") from error
    return x, y


def nut(asked: TorqueQuestion, torque: Range) -> CastleNut | None:
    """The guidance for the castle nut that was typed."""
    if not asked.castle_nut:
        return None
    said = parse_castle_nut(asked.castle_nut)
    slots = said.slots if asked.slots is None else asked.slots
    holes = said.cross_holes if asked.cross_holes is None else asked.cross_holes
    use, bearing = use_of_nut(asked)
    return castle_nut(said.thread, torque, slots, holes, use, bearing)


def use_of_nut(asked: TorqueQuestion) -> tuple[NutUse, Bearing | None]:
    """Whether the nut clamps or adjusts: as said, else by its part; unclear is asked about."""
    words = (asked.used_on, *asked.part)
    use, bearing = nut_use(*words)
    if asked.bearing:
        return "adjusts", bearing
    if asked.clamps:
        return "clamps", None
    return use, bearing
