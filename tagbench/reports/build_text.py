"""The rebuild in plain lines: what is ready, what is held up, the order."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tagbench.records import Machine
from tagbench.rules.count.fastener_lines import FastenerLine, wants_torque
from tagbench.rules.describe.fact import BOXES, PART_STATES
from tagbench.rules.describe.fasteners import torque_words
from tagbench.rules.describe.phrases import came_from, plural
from tagbench.rules.rebuild.links import Links
from tagbench.rules.rebuild.overview import Build
from tagbench.rules.rebuild.steps import Step
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


def listed(label: str, items: Iterable[str]) -> Iterator[str]:
    """The items one under the other behind their label."""
    for number, item in enumerate(items):
        yield f"  {label if number == 0 else '':9}{item}"
