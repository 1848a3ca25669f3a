"""How a part goes on: torques in the person's unit, wrench, castle nuts, stages, cautions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from tagbench.records import Gasket, Machine, Part, Tables, Torque
from tagbench.rules.care.cautions import caution_lines, cautions_for_all
from tagbench.rules.count.fastener_lines import FastenerLine, lines_of, renewed_items
from tagbench.rules.describe.fasteners import torque_words
from tagbench.rules.rebuild.burying import Burial, burying
from tagbench.rules.rebuild.held_up import Reason, obstacles, on_machine
from tagbench.rules.rebuild.hole_places import HolePlaces, gaskets_of, hole_places
from tagbench.rules.rebuild.links import Links
from tagbench.rules.rebuild.steps import Step, step_for
from tagbench.trade.fasteners.notes import locking_notes
from tagbench.trade.fasteners.vocabulary import lock_item, without_size
from tagbench.trade.quantities.shown import show_torque
from tagbench.trade.quantities.units import Quantity, Range, exact
from tagbench.trade.torque.castle_nut import castle_nut
from tagbench.trade.torque.castle_nut_use import nut_use
from tagbench.trade.torque.ranges import as_range
from tagbench.trade.torque.stages import tightening_stages
from tagbench.trade.torque.wrench import Lever, on_the_scale, wrench_setting

CIRCLE = 3
"""From so many alike on, fasteners with a torque are tightened crosswise in stages."""


@dataclass(frozen=True, slots=True)
class LineGuide:
    """How one line of fasteners goes in."""

    line: FastenerLine
    """The line."""
    torque: str
    """Its torque in the person's unit, and as the source has it when that differs; or empty."""
    wrench: str
    """What to set the wrench to, and whether its scale suits; or empty."""
    steps: tuple[str, ...]
    """What to do: the castle nut, the stages round a circle, what is renewed, how it is locked."""


@dataclass(frozen=True, slots=True)
class FitGuide:
    """All that a person wants to see before a part goes on."""

    step: Step
    """The part, where it is, what it goes on after, tools and supplies."""
    reasons: list[Reason]
    """Why it is held up; empty when it is ready or on the machine already."""
    burial: Burial | None
    """What it would shut in now."""
    lines: list[LineGuide]
    """How its fasteners go in."""
    cautions: list[str]
    """The cautions for fitting and torquing it."""


def fit_guide(
    tables: Tables,
    links: Links,
    code: str,
    lever: Lever | None = None,
    today: date | None = None,
) -> FitGuide:
    """How a part goes on; `lever` is the torque wrench with its extension. Raises NotFound."""
    here = links.at(code)
    part = links.parts[here]
    machine = tables.machines.get(part.machine, Machine(mark=part.machine, name=part.machine))
    off = not on_machine(part)
    gaskets = gaskets_of(part, links.parts)
    return FitGuide(
        step=step_for(tables, links, code),
        reasons=obstacles(tables, links, today).reasons(here) if off else [],
        burial=burying(tables, links, code) if off else None,
        lines=[line_guide(line, machine, lever, gaskets) for line in lines_of([part])],
        cautions=_cautions(part, machine),
    )


def line_guide(
    line: FastenerLine,
    machine: Machine,
    lever: Lever | None = None,
    gaskets: Sequence[Gasket] = (),
) -> LineGuide:
    """How one line of fasteners goes in; `gaskets` may show where its bolts sit."""
    torque = line.fastener.torque
    castle = _castle_nut(line, machine)
    return LineGuide(
        line=line,
        torque=torque_words(torque, machine.units.torque) if torque else "",
        wrench=_wrench(torque, machine, lever) if torque else "",
        steps=(
            *castle,
            *_circle(line, machine, gaskets),
            *_renewed(line, castle),
            *locking_notes(line.fastener),
        ),
    )


def _wrench(torque: Torque, machine: Machine, lever: Lever | None) -> str:
    unit = machine.units.torque
    wanted = as_range(torque).to(unit)
    setting = wrench_setting(wanted, lever) if lever else wanted
    said = [f"Set the wrench to {show_torque(setting)}."] if lever else []
    if machine.wrench_high:
        bottom, top = (
            Quantity(exact(end), unit) for end in (machine.wrench_low or 0, machine.wrench_high)
        )
        said.append(on_the_scale(setting, top, bottom).sentence)
    return " ".join(said)


def _castle_nut(line: FastenerLine, machine: Machine) -> tuple[str, ...]:
    fastener = line.fastener
    if fastener.kind != "castle nut":
        return ()
    part = line.part
    said = (fastener.place, fastener.note, part.name, part.kind, part.assembly, part.note)
    use, bearing = nut_use(*said)
    torque = as_range(fastener.torque).to(machine.units.torque) if fastener.torque else None
    thread = fastener.thread or None
    sentences = castle_nut(thread, torque, use=use, bearing=bearing).sentences
    return tuple(_own_pin(line, one) if one.startswith(_NEW_PIN) else one for one in sentences)


_NEW_PIN = "Fit a new cotter pin"


def _own_pin(line: FastenerLine, sentence: str) -> str:
    """The pin of the part's own line, or of the nut's, before what the general table has."""
    for other in lines_of([line.part]):
        if other.fastener.kind == "cotter pin":
            return f"{_NEW_PIN}, line {other.number}: {other.named}; never an old one."
    pins = [lock for lock in line.fastener.locking if lock_item(lock) == "cotter pin"]
    locks = [pin for pin in pins if without_size(pin) != pin]
    return f"Fit a new {locks[0]}; never an old one." if locks else sentence


def _circle(line: FastenerLine, machine: Machine, gaskets: Sequence[Gasket]) -> tuple[str, ...]:
    """The stages round a circle; lines of one thread and torque are one circle, whatever length."""
    torque = line.fastener.torque
    together = [other for other in lines_of([line.part]) if _alike(other, line)]
    count = sum(other.fastener.quantity for other in together)
    if torque is None or count < CIRCLE:
        return ()
    if together[0].number != line.number:
        return (f"In the same circle as line {together[0].number}.",)
    numbers = " and ".join(str(other.number) for other in together)
    told = (f"Lines {numbers} are one circle of {count}.",) if len(together) > 1 else ()
    places = hole_places(line.part, [other.fastener for other in together], gaskets)
    numbered = (places.words,) if places else ()
    wanted = as_range(torque).to(machine.units.torque)
    return (*told, *numbered, *_stages(wanted, count, places))


def _alike(one: FastenerLine, other: FastenerLine) -> bool:
    mine, theirs = one.fastener, other.fastener
    return mine.thread == theirs.thread and mine.torque == theirs.torque


def _stages(wanted: Range, count: int, places: HolePlaces | None) -> tuple[str, ...]:
    holes = places.points if places else None
    return tuple(
        f"{stage.sentence} {show_torque(stage.torque)}: {', '.join(map(str, stage.order))}."
        for stage in tightening_stages(wanted, count, holes=holes)
    )


def _renewed(line: FastenerLine, said: tuple[str, ...]) -> tuple[str, ...]:
    if any("new cotter pin" in one or "Fit a new" in one for one in said):
        return ()  # the sentences of the nut name its new pin
    return tuple(f"Fit a new {item}." for item in renewed_items(line))


def _cautions(part: Part, machine: Machine) -> list[str]:
    found = [*cautions_for_all([part], "fit"), *cautions_for_all([part], "torque")]
    return caution_lines({one.id: one for one in found}.values(), machine.cautions_seen)
