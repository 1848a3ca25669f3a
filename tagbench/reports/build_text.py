"""The rebuild in plain lines: what is ready, what is held up, the order, the next steps."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from tagbench.records import Machine, Tables
from tagbench.rules.bolt_card import holes_in_words
from tagbench.rules.count.fastener_lines import FastenerLine, renewed_items, wants_torque
from tagbench.rules.describe.fact import BOXES, PART_STATES
from tagbench.rules.describe.fasteners import torque_words
from tagbench.rules.describe.phrases import came_from, counted, named, plural
from tagbench.rules.open_questions import spelled
from tagbench.rules.rebuild.links import Links
from tagbench.rules.rebuild.overview import Build
from tagbench.rules.rebuild.steps import LayOut, Step, bench_layout
from tagbench.trade.torque.passes import torqued_words


def build_lines(now: Build, machine: Machine) -> Iterator[str]:
    """Where the rebuild stands."""
    links = now.links
    on = len(now.snug) + len(now.fitted)
    yield f"{machine.name} ({machine.mark}): {on} of {plural(len(links.parts), 'part')} on"
    if now.ready:
        yield f"ready ({len(now.ready)})"
        yield from (part_line(links, code) for code in now.ready)
    if now.snug:
        yield f"snug, not done ({len(now.snug)})"
        yield from (part_line(links, code) for code in now.snug)
    if now.held_up:
        yield f"held up ({len(now.held_up)})"
    for held in now.held_up:
        yield part_line(links, held.code)
        yield from (f"         {reason.words}" for reason in held.reasons)
    for problem in now.problems:
        yield f"problem: {problem}"


def part_line(links: Links, code: str) -> str:
    """`  TP-017-K  backing plate — Front wheel / Brake, left`."""
    part = links.part(code)
    where = came_from(part)
    return f"  {code}  {part.said}" + (f" — {where}" if where else "")


def order_lines(now: Build) -> Iterator[str]:
    """The whole order with boxes, under the names of the assemblies."""
    assembly: str | None = None
    for number, code in enumerate(now.order, 1):
        part = now.links.part(code)
        if part.assembly != assembly:
            assembly = part.assembly
            yield assembly or "No assembly"
        yield f"  {BOXES[PART_STATES[part.fitted]]} {number:4}. {code}  {part.said}"


def steps_lines(tables: Tables, machine: Machine, steps: Sequence[Step]) -> Iterator[str]:
    """What to lay out, then the steps."""
    if not steps:
        yield "Nothing can go on with what is here; see build for the reasons."
        return
    unit = machine.units.torque
    yield from lay_out_lines(bench_layout(tables, steps), unit)
    for step in steps:
        yield ""
        yield from step_lines(step, unit)


def lay_out_lines(laid: LayOut, unit: str) -> Iterator[str]:
    """What to have on the bench, a line a kind; empty kinds left out."""
    yield "Lay out first"
    yield from listed("bags", laid.bins)
    yield from listed("tools", laid.tools)
    yield from listed("torques", torque_lines(laid.torques, unit))
    yield from listed("grease", laid.grease)
    yield from listed("new", (one.words for one in laid.single_use))


def piece_lines(step: Step) -> Iterator[str]:
    """Where what goes on is; of a replaced part the new one, and the old one that does not."""
    if step.new is None:
        yield from listed("kept in", filter(None, [step.kept_in]))
    else:
        yield from listed("piece", filter(None, [step.new.fit, step.new.old]))


def torque_lines(lines: Iterable[FastenerLine], unit: str) -> Iterator[str]:
    """`axle nut, castle nut M12x1.25: 45–55 N·m`, in the person's unit."""
    for line in lines:
        if line.fastener.torque:
            wanted = torque_words(line.fastener.torque, unit)
            stage = torqued_words(line.fastener) if wants_torque(line.fastener) else ""
            yield f"{line.part.said}, {line.named}: {wanted}{f'; {stage}' if stage else ''}"


def renew_lines(lines: Iterable[FastenerLine]) -> Iterator[str]:
    """`2 lock washer for M6x1`: what is single-use, with how many."""
    for line in lines:
        for item in renewed_items(line):
            yield f"{line.fastener.quantity} {item}"


def listed(label: str, items: Iterable[str]) -> Iterator[str]:
    """The items one under the other behind their label."""
    for number, item in enumerate(items):
        yield f"  {label if number == 0 else '':9}{item}"


def step_lines(step: Step, unit: str) -> Iterator[str]:
    """One step: the part, where it is, and all that goes with it."""
    part = step.part
    yield f"[ ] {step.number}. {part.code}  {counted(part)}"
    yield from piece_lines(step)
    yield from listed("goes to", filter(None, [came_from(part)]))
    yield from listed("sits how", filter(None, [part.sits_how]))
    yield from listed("under", (f"{named(one)}: take it off first" for one in step.under))
    yield from listed("after", map(named, step.after))
    yield from listed("with", map(spelled, part.fasteners))
    yield from listed("holes", holes_in_words(part))
    yield from listed("twin", step.beside)
    yield from listed("stack", step.stack)
    yield from listed("tools", step.tools)
    yield from listed("torque", torque_lines(step.torques, unit))
    yield from listed("grease", step.grease)
    yield from listed("renew", (one.words for one in step.supplies))
    yield from listed("note", filter(None, [part.note]))
