"""One part as its page shows it: plain words, in the order in which a person asks for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from tagbench.phone.fastener_line import FastenerLine, fastener_line
from tagbench.phone.outlook import Outlook
from tagbench.records import CARE_STEPS, CareStep, Machine, Part, Photo, Reading
from tagbench.rules.care.cautions import caution_lines, cautions_for
from tagbench.rules.care.pieces import care_of, needs_washing
from tagbench.rules.care.words import offered
from tagbench.rules.count.fastener_lines import lines_of, wants_torque
from tagbench.rules.rebuild.new_piece import kept_lines

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
    care: tuple[CareLine, ...]
    verdict: str
    readings: tuple[str, ...]
    numbers: tuple[str, ...]
    photos: tuple[tuple[int, Photo], ...]
    more_photos: int
    cautions: tuple[str, ...]


def part_view(outlook: Outlook, part: Part) -> PartView:
    """Everything about one part; `state` is ready, held up, snug or fitted."""
    reasons = tuple(reason.words for reason in outlook.reasons(part))
    machine = _machine(outlook, part)
    after, before = outlook.goes_on_after(part), outlook.goes_on_before(part)
    off = "held up" if reasons else "ready"
    return PartView(
        part=part,
        where=" · ".join(text for text in (part.assembly, part.position) if text),
        kept="; ".join(kept_lines(outlook.tables, part)),
        state=off if part.fitted == "off" else part.fitted,
        reasons=reasons if part.fitted == "off" else (),
        after=named(after[:SHOWN]),
        before=named(before[:SHOWN]),
        more_after=max(0, len(after) - SHOWN),
        more_before=max(0, len(before) - SHOWN),
        fasteners=tuple(fastener_line(line, machine) for line in lines_of([part])),
        torques=any(map(wants_torque, part.fasteners)),
        care=tuple(_care(part, step, outlook) for step in CARE_STEPS),
        verdict=_verdict(part),
        readings=tuple(map(_reading, part.readings)),
        numbers=tuple(_number(part, place) for place in range(len(part.part_numbers))),
        photos=tuple(enumerate(part.photos, 1))[-PHOTOS_SHOWN:],
        more_photos=max(0, len(part.photos) - PHOTOS_SHOWN),
        cautions=_cautions(part, machine),
    )


def named(parts: Sequence[Part]) -> tuple[Named, ...]:
    """Parts as links."""
    return tuple(Named(part.code, part.name, part.fitted != "off") for part in parts)


def _cautions(part: Part, machine: Machine) -> tuple[str, ...]:
    """The cautions for what is likely to be done next with the part."""
    step = "degreased" if needs_washing(part) else "fit"
    return tuple(caution_lines(cautions_for(part, step), machine.cautions_seen))


def _machine(outlook: Outlook, part: Part) -> Machine:
    known = outlook.tables.machines.get(part.machine)
    return known or Machine(mark=part.machine, name=part.machine)


def _care(part: Part, step: str, outlook: Outlook) -> CareLine:
    steps = [one for one in care_of(part) if one.step == step]
    known = offered(outlook.tables.desk, step, part)
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
