"""One part as its page shows it: the answer first, then what can be done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from tagbench.phone.cache import Snapshot
from tagbench.records import CARE_STEPS, CareStep, Fastener, Machine, Part, Photo, Reading, replace
from tagbench.rules.bins import kept_in_words
from tagbench.rules.care.cautions import caution_lines, cautions_for
from tagbench.rules.care.pieces import care_of, needs_washing
from tagbench.rules.care.words import offered
from tagbench.rules.count.fastener_lines import Line, lines_of, missing, wants_torque
from tagbench.rules.describe.fasteners import unit_given_in
from tagbench.rules.rebuild.guide import line_guide
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.quantities.shown import show_torque
from tagbench.trade.quantities.units import convert
from tagbench.trade.torque.ranges import as_range

SHOWN = 25
"""So many parts of one list are shown; the others are counted."""
PHOTOS_SHOWN = 8
"""So many photos are shown, the newest ones."""


class Named(NamedTuple):
    """Another part, as a link."""

    code: str
    """Its code."""
    name: str
    """What it is."""
    on: bool
    """Whether it is on the machine."""
    screws: str
    """Its fasteners in short form."""


class FastenerLine(NamedTuple):
    """One line of a part's fasteners, in the units of its machine."""

    number: int
    """Which line, counted from 1."""
    text: str
    """How many of what."""
    place: str
    """Where it sat."""
    torque: str
    """Its torque in the person's unit, and whether that is an estimate."""
    source: str
    """The torque once more, with its source."""
    remarks: tuple[str, ...]
    """How far it is: torqued, short, not back yet."""
    steps: tuple[str, ...]
    """How it goes in: the castle nut, the stages round a circle, what is renewed."""
    quantity: int
    """How many there are."""
    short: int
    """How many are known to be missing."""
    wants: bool
    """Whether a torque is specified."""
    example: str
    """A torque that would be right, as it is typed: the low figure."""


class CareLine(NamedTuple):
    """One care step."""

    step: str
    """degreased, inspected or lubed."""
    done: str
    """With what and when; empty when it is still to be done."""
    ticked: bool
    """Whether it is done."""
    known: tuple[str, ...]
    """What it may be done with, the likeliest first."""


@dataclass(frozen=True)
class PartView:
    """What the part page shows."""

    part: Part
    where: str
    kept: str
    state: str
    reasons: tuple[str, ...]
    after: tuple[Named, ...]
    before: tuple[Named, ...]
    more_after: int
    more_before: int
    fasteners: tuple[FastenerLine, ...]
    torques: bool
    torque_unit: str
    care: tuple[CareLine, ...]
    verdict: str
    readings: tuple[str, ...]
    numbers: tuple[str, ...]
    photos: tuple[tuple[int, Photo], ...]
    more_photos: int
    cautions: tuple[str, ...]
    twin: str
    spelled: str


def part_view(snapshot: Snapshot, part: Part) -> PartView:
    """Everything about one part; `state` is ready, held up, snug or fitted."""
    reasons = tuple(reason.words for reason in snapshot.reasons(part))
    machine = machine_of(snapshot, part)
    after, before = snapshot.goes_on_after(part), snapshot.goes_on_before(part)
    off = "held up" if reasons else "ready"
    return PartView(
        part=part,
        where=" · ".join(text for text in (part.assembly, part.position) if text),
        kept=kept_in_words(part.bin, snapshot.tables.bins),
        state=off if part.fitted == "off" else part.fitted,
        reasons=reasons if part.fitted == "off" else (),
        after=named(after[:SHOWN]),
        before=named(before[:SHOWN]),
        more_after=max(0, len(after) - SHOWN),
        more_before=max(0, len(before) - SHOWN),
        fasteners=tuple(_fastener_line(line, machine) for line in lines_of([part])),
        torques=any(line.torque for line in part.fasteners),
        torque_unit=machine.units.torque,
        care=tuple(_care(part, step, snapshot) for step in CARE_STEPS),
        verdict=_verdict(part),
        readings=tuple(map(_reading, part.readings)),
        numbers=tuple(_number(part, place) for place in range(len(part.part_numbers))),
        photos=tuple(enumerate(part.photos, 1))[-PHOTOS_SHOWN:][::-1],
        more_photos=max(0, len(part.photos) - PHOTOS_SHOWN),
        cautions=_cautions(part, machine),
        twin=other_side(part.position),
        spelled="\n".join(map(spell, part.fasteners)),
    )


_SIDES = {"left": "right", "right": "left"}


def other_side(position: str) -> str:
    """The position of a part's mirror twin: `left` → `right`; empty where there is none."""
    words = position.split()
    if not any(word.casefold() in _SIDES for word in words):
        return ""
    return " ".join(_SIDES.get(word.casefold(), word) for word in words)


def named(parts: Sequence[Part]) -> tuple[Named, ...]:
    """Parts as links."""
    return tuple(
        Named(part.code, part.name, part.fitted != "off", screws_of(part)) for part in parts
    )


def screws_of(part: Part) -> str:
    """The fasteners of a part in short form, without place and torque."""
    return "; ".join(map(_bare, part.fasteners))


def _bare(fastener: Fastener) -> str:
    return spell(replace(fastener, place="", torque=None))


def machine_of(snapshot: Snapshot, part: Part) -> Machine:
    """The machine of a part, which an imported book may not name."""
    known = snapshot.tables.machines.get(part.machine)
    return known or Machine(mark=part.machine, name=part.machine)


def _fastener_line(line: Line, machine: Machine) -> FastenerLine:
    fastener = line.fastener
    guide = line_guide(line, machine)
    return FastenerLine(
        number=line.number,
        text=_bare(fastener),
        place=fastener.place,
        torque=_torque(fastener, machine),
        source=guide.torque,
        remarks=tuple(filter(None, _remarks(fastener))),
        steps=guide.steps,
        quantity=fastener.quantity,
        short=fastener.short,
        wants=fastener.torque is not None,
        example=_example(fastener, machine),
    )


def _torque(fastener: Fastener, machine: Machine) -> str:
    if fastener.torque is None:
        return ""
    shown = show_torque(as_range(fastener.torque), machine.units.torque)
    return f"{shown}, an estimate" if fastener.torque.estimate else shown


def _example(fastener: Fastener, machine: Machine) -> str:
    if fastener.torque is None:
        return ""
    wanted = as_range(fastener.torque)
    middle = convert((wanted.low + wanted.high) / 2, wanted.unit, machine.units.torque)
    return f"{float(middle):.3g}"


def _remarks(fastener: Fastener) -> tuple[str, ...]:
    given = fastener.torqued
    return (
        f"torqued to {given:g} {unit_given_in(fastener)}" if given is not None else "",
        "not torqued yet" if wants_torque(fastener) and fastener.back else "",
        f"{fastener.short} short" if fastener.short else "",
        f"{missing(fastener)} not back yet" if fastener.back and missing(fastener) else "",
    )


def _cautions(part: Part, machine: Machine) -> tuple[str, ...]:
    """The cautions for what is likely to be done next with the part."""
    step = "degreased" if needs_washing(part) else "fit"
    return tuple(caution_lines(cautions_for(part, step), machine.cautions_seen))


def _care(part: Part, step: str, snapshot: Snapshot) -> CareLine:
    steps = [one for one in care_of(part) if one.step == step]
    known = offered(snapshot.tables.desk, step, part)
    return CareLine(step, _done(steps[-1]) if steps else "", bool(steps), known)


def _done(step: CareStep) -> str:
    with_what = f"with {step.with_what}" if step.with_what else ""
    on = f"{step.at:%Y-%m-%d}" if step.at else ""
    return ", ".join(text for text in (with_what, on) if text)


def _verdict(part: Part) -> str:
    here = {"": "", "wanted": ", new one wanted", "here": ", new one is here"}
    return part.verdict + (here[part.replacement] if part.verdict == "replace" else "")


def _reading(reading: Reading) -> str:
    values = ", ".join(f"{value:g}" for value in reading.values) or "not yet measured"
    limits = [
        f"{word} {limit:g}"
        for word, limit in (("at least", reading.low), ("at most", reading.high))
        if limit is not None
    ]
    allowed = f" ({', '.join(limits)} {reading.unit})" if limits else ""
    return f"{reading.what}: {values}{f' {reading.unit}' if reading.values else ''}{allowed}"


def _number(part: Part, place: int) -> str:
    number = part.part_numbers[place]
    told = "" if number.status == "original" else f", {number.status}"
    return number.number + told + (f" by {number.superseded_by}" if number.superseded_by else "")
