"""What the part screen says about putting a part back: torques, the wrench, the nut, the tools."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.records import Machine, Part, Tables
from tagbench.rules.care.cautions import DEFER
from tagbench.rules.count.fastener_lines import lines_of
from tagbench.rules.rebuild.guide import LineGuide, line_guide
from tagbench.rules.rebuild.steps import bench_tools, off_in
from tagbench.screens.widgets.sections import Section
from tagbench.trade.torque.lever import lever_words
from tagbench.trade.torque.wrench import Lever

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
        yield f"  torqued to {fastener.torqued:g} {fastener.torque.unit}"


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
