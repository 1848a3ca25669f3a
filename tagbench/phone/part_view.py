"""One part as its page shows it: the answer first, then what can be done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from tagbench.phone.cache import Snapshot
from tagbench.records import CARE_STEPS, Fastener, Machine, Part, Photo, replace
from tagbench.records.care_steps import CLEANING
from tagbench.rules.care.cautions import caution_lines, cautions_for
from tagbench.rules.care.pieces import needs_washing
from tagbench.rules.care.substances import substances_for
from tagbench.rules.count.fastener_lines import FastenerLine, lines_of
from tagbench.rules.describe.fact import Fact
from tagbench.rules.describe.fasteners import LineFacts
from tagbench.rules.describe.part import PartFacts, describe_part, describe_rebuild, machine_of
from tagbench.rules.rebuild.guide import line_guide
from tagbench.rules.stacks import going_on_lines
from tagbench.rules.stripping.same_again import other_side
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.quantities.shown import show_torque
from tagbench.trade.quantities.units import convert
from tagbench.trade.torque.ranges import as_range

SHOWN = 25
"""So many parts of one list are shown; the others are counted."""
PHOTOS_SHOWN = 8
"""So many photos are shown, the newest ones."""


class PartLink(NamedTuple):
    """Another part, as a link."""

    code: str
    """Its code."""
    name: str
    """What it is."""
    on: bool
    """Whether it is on the machine."""
    screws: str
    """Its fasteners in short form."""


class FastenerText(NamedTuple):
    """One line of a part's fasteners, and how it goes in."""

    facts: LineFacts
    """What is said about it."""
    torque: str
    """Its torque alone, for the top of the page; the source stands where it goes in."""
    steps: tuple[str, ...]
    """How it goes in: the castle nut, the stages round a circle, what is renewed."""
    example: str
    """A torque that would be right, as it is typed; empty when none is specified."""


class CareLine(NamedTuple):
    """One care step."""

    step: str
    """Its name."""
    fact: Fact
    """Done, with what and when; or open."""
    known: tuple[str, ...]
    """What it may be done with, the likeliest first."""


@dataclass(frozen=True)
class PartView:
    """What the part page shows."""

    part: Part
    facts: PartFacts
    state: str
    rebuild: tuple[Fact, ...]
    after: tuple[PartLink, ...]
    before: tuple[PartLink, ...]
    more_after: int
    more_before: int
    fasteners: tuple[FastenerText, ...]
    torque_unit: str
    care: tuple[CareLine, ...]
    photos: tuple[tuple[int, Photo], ...]
    more_photos: int
    cautions: tuple[str, ...]
    twin: str
    stack: tuple[str, ...]
    spelled: str


def part_view(snapshot: Snapshot, part: Part, now: datetime) -> PartView:
    """Everything about one part; `state` is ready, held up, snug or fitted."""
    reasons = snapshot.reasons(part)
    machine = machine_of(part, snapshot.tables)
    after, before = snapshot.goes_on_after(part), snapshot.goes_on_before(part)
    facts = describe_part(snapshot.tables, part, now, after)
    off = "held up" if reasons else "ready"
    lines = zip(lines_of([part]), facts.fasteners, strict=True)
    steps = zip(CARE_STEPS, facts.care, strict=True)
    turned = other_side(part.position)
    return PartView(
        part=part,
        facts=facts,
        state=off if part.fitted == "off" else part.fitted,
        rebuild=tuple(describe_rebuild(snapshot.tables, part, reasons)),
        after=part_links(after[:SHOWN]),
        before=part_links(before[:SHOWN]),
        more_after=max(0, len(after) - SHOWN),
        more_before=max(0, len(before) - SHOWN),
        fasteners=tuple(_fastener_line(line, told, machine) for line, told in lines),
        torque_unit=machine.units.torque,
        care=tuple(
            CareLine(step, fact, substances_for(snapshot.tables.desk, step, part))
            for step, fact in steps
        ),
        photos=tuple(enumerate(part.photos, 1))[-PHOTOS_SHOWN:][::-1],
        more_photos=max(0, len(part.photos) - PHOTOS_SHOWN),
        cautions=_cautions(part, machine),
        twin="" if part.twin or turned == part.position else turned,
        stack=tuple(going_on_lines(part)),
        spelled="\n".join(map(spell, part.fasteners)),
    )


def part_links(parts: Sequence[Part]) -> tuple[PartLink, ...]:
    """Parts as links."""
    return tuple(
        PartLink(part.code, part.said, part.fitted != "off", screws_of(part)) for part in parts
    )


def screws_of(part: Part) -> str:
    """The fasteners of a part in short form, without place and torque."""
    return "; ".join(spell(replace(line, place="", torque=None)) for line in part.fasteners)


def _fastener_line(line: FastenerLine, told: LineFacts, machine: Machine) -> FastenerText:
    fastener = line.fastener
    return FastenerText(
        facts=told,
        torque=_torque(fastener, machine),
        steps=line_guide(line, machine).steps,
        example=_example(fastener, machine),
    )


def _torque(fastener: Fastener, machine: Machine) -> str:
    if fastener.torque is None:
        return ""
    torque, unit = fastener.torque, machine.units.torque
    shown = show_torque(as_range(torque))
    if torque.unit != unit:
        shown += f" ({show_torque(as_range(torque), unit)})"
    return f"{shown}, an estimate" if fastener.torque.estimate else shown


def _example(fastener: Fastener, machine: Machine) -> str:
    if fastener.torque is None:
        return ""
    wanted = as_range(fastener.torque)
    middle = convert((wanted.low + wanted.high) / 2, wanted.unit, machine.units.torque)
    return f"{float(middle):.3g}"


def _cautions(part: Part, machine: Machine) -> tuple[str, ...]:
    """The cautions for what is likely to be done next with the part."""
    step = CLEANING.name if needs_washing(part) else "fit"
    return tuple(caution_lines(cautions_for(part, step), machine.cautions_seen))
