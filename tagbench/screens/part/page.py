"""What the part screen says about a part, section by section."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import NamedTuple

from textual.content import Content

from tagbench.records import CARE_STEPS, Change, Part, PartNumber, Tables
from tagbench.rules.care.cautions import caution_lines, cautions_for
from tagbench.rules.care.pieces import care_of
from tagbench.rules.care.words import next_step, verdict_words
from tagbench.rules.rebuild.new_piece import kept_lines
from tagbench.screens.part.rebuild_facts import going_back, torques
from tagbench.screens.widgets.sections import Section
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.torque.wrench import Lever


class Near(NamedTuple):
    """A part that is linked with the one on the screen."""

    words: str
    """How: `came off first`, `came off after`."""
    part: Part
    """The other part."""


def near(part: Part, tables: Tables) -> list[Near]:
    """The parts it is linked with, both ways."""
    first = [tables.parts[code] for code in part.behind if code in tables.parts]
    after = [other for other in tables.parts.values() if part.code in other.behind]
    return [Near("came off first", one) for one in first] + [
        Near("was behind this", one) for one in after
    ]


def heading(part: Part) -> Content:
    """Code and name, where it came from, when it came off."""
    count = f"{part.quantity} × " if part.quantity > 1 else ""
    return Content.from_markup(
        "[bold $primary]$code[/]   [bold]$name[/]\n$from_where\n[$quiet]$when[/]",
        code=part.code,
        name=count + part.name,
        from_where=", ".join(filter(None, [part.assembly, part.position])) or "no assembly",
        when=came_off(part),
    )


def came_off(part: Part) -> str:
    """Its place in the removal order, and the day."""
    when = f" on {day(part.removed)}" if part.removed else ""
    return f"no. {part.order} to come off{when}"


def facts(part: Part, tables: Tables, lever: Lever | None = None) -> Iterator[Section]:
    """The sections above the linked parts, those with something in them.

    `lever` is the torque wrench with the extension that is on it.
    """
    yield "Where it is", where(part, tables)
    if part.fasteners:
        yield "Fasteners", [spell(fastener) for fastener in part.fasteners]
        yield from torques(part, tables, lever)
    if part.sits_how:
        yield "Sits how", [part.sits_how]
    cautions = caution_lines(cautions_for(part, work_on(part)), seen_cautions(part, tables))
    if cautions:
        yield "Caution", cautions


WORK = {
    "degrease": "degreased",
    "wait for the soak": "soak",
    "inspect": "inspected",
    "decide": "inspected",
    "lube": "lubed",
}
"""What comes next for a part → the step of work that cautions are asked for."""


def work_on(part: Part) -> str:
    """The step of work that comes next, as the cautions call it."""
    if part.fitted == "snug":
        return "torque"
    return WORK.get(next_step(part, frozenset()), "fit")


def seen_cautions(part: Part, tables: Tables) -> tuple[str, ...]:
    """The cautions that were acknowledged for the machine of a part."""
    machine = tables.machines.get(part.machine)
    return machine.cautions_seen if machine else ()


def further(part: Part, tables: Tables, changes: list[Change]) -> Iterator[Section]:
    """The sections below the linked parts."""
    yield from going_back(part, tables)
    yield "Care", care(part)
    if part.readings:
        yield (
            "Readings",
            [f"{r.what}: {', '.join(map(str, r.values))} {r.unit}" for r in part.readings],
        )
    if part.part_numbers:
        yield "Part numbers", [number_words(number) for number in part.part_numbers]
    if part.note:
        yield "Note", part.note.splitlines()
    if changes:
        yield "History", [f"{day(change.at)}   {change.words}" for change in changes]


def where(part: Part, tables: Tables) -> list[str]:
    """On the machine, or in which bag, box and shelf; of a replaced part, the new one first."""
    if part.fitted != "off":
        done = "fitted" if part.fitted == "fitted" else "snug, not torqued yet"
        return [f"on the machine, {done}" + (f", {day(part.fitted_at)}" if part.fitted_at else "")]
    return kept_lines(tables, part)


def care(part: Part) -> list[str]:
    """The care steps with a box each, then the verdict."""
    return [_step(part, step) for step in CARE_STEPS] + [verdict(part)]


def _step(part: Part, step: str) -> str:
    done = next((one for one in reversed(care_of(part)) if one.step == step), None)
    if done is None:
        return f"[ ] {step}"
    details = [done.with_what, day(done.at) if done.at else ""]
    return f"[x] {step}   {', '.join(filter(None, details))}".rstrip()


def verdict(part: Part) -> str:
    """Reuse or replace, and whether the replacement is here."""
    if part.verdict == "undecided":
        return "[ ] reuse or replace: undecided"
    return f"[x] {verdict_words(part)}"


def number_words(number: PartNumber) -> str:
    """A part number and what became of it."""
    status = "" if number.status == "original" else str(number.status)
    by = f"now {number.superseded_by}" if number.superseded_by else ""
    said = ", ".join(filter(None, [status, by, number.differs]))
    return f"{number.number}   {said}".rstrip()


def day(moment: datetime) -> str:
    """A day as people write it: `3 Nov 2025`."""
    return f"{moment.day} {moment:%b %Y}"
