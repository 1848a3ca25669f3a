"""What the part screen says about a part, section by section."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import NamedTuple

from textual.content import Content

from tagbench.records import CARE_STEPS, Change, Machine, Part, PartNumber, Tables
from tagbench.rules.care.cautions import DEFER, caution_lines, cautions_for, seen_cautions
from tagbench.rules.care.words import work_on
from tagbench.rules.count.fastener_lines import lines_of
from tagbench.rules.describe.care import verdict_words
from tagbench.rules.rebuild.guide import LineGuide, line_guide
from tagbench.rules.rebuild.new_piece import kept_lines
from tagbench.rules.rebuild.steps import bench_tools, off_in
from tagbench.screens.widgets.facts import Section
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.torque.lever import lever_words
from tagbench.trade.torque.passes import torqued_words
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
    done = next((one for one in reversed(part.care) if one.step == step), None)
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


NO_LEVER = "Ctrl+W: your torque wrench, and an extension on it"


def machine_of(part: Part, tables: Tables) -> Machine:
    """The machine of a part; one with the usual units where its record is gone."""
    return tables.machines.get(part.machine, Machine(mark=part.machine, name=part.machine))


def guides(part: Part, tables: Tables, lever: Lever | None) -> list[LineGuide]:
    """How each line of its fasteners goes in; `lever` is the wrench with an extension."""
    machine = machine_of(part, tables)
    return [line_guide(line, machine, lever) for line in lines_of([part])]


def torques(part: Part, tables: Tables, lever: Lever | None = None) -> Iterator[Section]:
    """Each torque in the person's unit, what to set the wrench to, and what was given."""
    lines = [line for guide in guides(part, tables, lever) for line in torque_lines(guide)]
    if lines and part.fitted != "fitted":
        lines.append(f"With a {lever_words(lever)}; Ctrl+W changes it." if lever else NO_LEVER)
    if lines:
        yield "Torque", lines


def torque_lines(guide: LineGuide) -> Iterator[str]:
    """One line's torque, and under it the wrench and what was given."""
    if not guide.torque:
        return
    yield f"{guide.line.named}: {guide.torque}"
    if guide.wrench and guide.line.part.fitted != "fitted":
        yield f"  {guide.wrench}"
    fastener = guide.line.fastener
    if fastener.torqued is not None and fastener.torque:
        yield f"  {torqued_words(fastener)}"


def going_back(part: Part, tables: Tables) -> Iterator[Section]:
    """How its fasteners go in and the tools for them, as long as it is not fitted and done."""
    if part.fitted == "fitted":
        return
    lines = [line for guide in guides(part, tables, None) for line in step_lines(guide)]
    if lines:
        yield "Going back on", [*lines, DEFER]
    if tools := bench_tools(tables, [part]):
        yield "On the bench", tools


def step_lines(guide: LineGuide) -> Iterator[str]:
    """A line of fasteners and what to do about it, in order."""
    if guide.steps:
        yield f"{guide.line.named}:"
        yield from (f"  {number}. {step}" for number, step in enumerate(guide.steps, 1))


def off_in_order(part: Part, tables: Tables) -> list[str]:
    """The parts to lay out together with one: those of its assembly that are still off."""
    return off_in(tables, part.machine, part.assembly) if part.assembly else [part.code]
