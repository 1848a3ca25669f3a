"""What is said about the count: the two sums, the kinds of open lines, whether it is closed."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from tagbench.records import Machine
from tagbench.rules.count.closing import OpenLine, open_lines
from tagbench.rules.count.fastener_lines import in_bag, lost
from tagbench.rules.count.identity import Count
from tagbench.rules.describe.fact import Fact
from tagbench.rules.describe.phrases import moment, plural

NOTHING_OPEN = "Nothing missing, nothing left over."

HEADINGS: Mapping[str, str] = MappingProxyType(
    {
        "off": "Off the machine",
        "lost": "Lost",
        "bag": "Still in the bag",
        "over": "Left over",
        "snug": "Only snug",
        "torque": "Torque not noted",
        "renew": "Single-use, not renewed",
        "setting": "Settings",
        "override": "Fitted anyway",
        "old": "Old pieces still about",
    }
)
"""First word of an open line's key → the heading it stands under."""


class CountLine(NamedTuple):
    """One open line."""

    key: str
    """The name by which a reason is given: `torque:TP-017-K/1`."""
    heading: str
    """Which kind of open line: `Torque not noted`."""
    about: str
    """Code of the part, or number of the setting."""
    words: str
    """What is open."""
    reason: str
    """Why the machine was closed all the same; empty when it was not."""


class CountFacts(NamedTuple):
    """The count of one machine."""

    parts: Fact
    """`34 parts = 20 on + 14 off`, the figures in that order."""
    fasteners: Fact
    """`96 fasteners out = 60 back + 34 in the bag + 2 lost`, the figures in that order."""
    stands: Fact
    """`3 open lines`, `Nothing missing, nothing left over.`, or when it was closed."""
    lines: tuple[CountLine, ...]
    """Everything that is open."""


def describe_count(count: Count, machine: Machine) -> CountFacts:
    """The count of one machine."""
    on, off = count.parts - len(count.parts_off), len(count.parts_off)
    bag = sum(in_bag(line.fastener) for line in count.missing)
    gone = sum(lost(line.fastener) for line in count.missing)
    out, back = count.fasteners_out, count.fasteners_back
    fasteners = f"{out} fasteners out = {back} back + {bag} in the bag + {gone} lost"
    lines = tuple(describe_open_line(line, machine) for line in open_lines(count))
    return CountFacts(
        parts=Fact(
            "parts", f"{count.parts} parts = {on} on + {off} off", "", (count.parts, on, off)
        ),
        fasteners=Fact("fasteners", fasteners, "", (out, back, bag, gone)),
        stands=count_stands(machine, len(lines)),
        lines=lines,
    )


def count_stands(machine: Machine, lines: int) -> Fact:
    """Whether the machine is closed, how much is open, or that nothing is."""
    if machine.closed is not None:
        many = len(machine.closed_with)
        why = f" with {plural(many, 'written reason')}" if many else ""
        return Fact("count", f"closed on {moment(machine.closed)}{why}", "done")
    if lines:
        return Fact("count", plural(lines, "open line"), "open", (lines,))
    return Fact("count", NOTHING_OPEN, "done")


def describe_open_line(line: OpenLine, machine: Machine) -> CountLine:
    """One open line; `torque:TP-017-K/1` is about `TP-017-K`."""
    kind, _, about = line.key.partition(":")
    reason = machine.closed_with.get(line.key, "")
    return CountLine(line.key, HEADINGS[kind], about.partition("/")[0], line.words, reason)
