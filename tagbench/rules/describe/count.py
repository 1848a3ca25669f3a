"""What is said about the count: the two sums, the kinds of open lines, whether it is closed."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from tagbench.records import Machine, Part
from tagbench.rules.count.closing import OpenLine, open_lines
from tagbench.rules.count.fastener_lines import count_away, count_lost, in_bag
from tagbench.rules.count.identity import Count
from tagbench.rules.describe.fact import Fact
from tagbench.rules.describe.phrases import moment, named, plural
from tagbench.rules.open_questions import how_many_open

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
        "away": "With someone else",
        "found": "Found on the bench",
    }
)
"""First word of an open line's key → the heading it stands under."""


TO_MEASURE = "Thread or size not yet known"
"""The heading of the lines that are to be measured; they are no open lines."""


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
    """`34 parts = 20 on + 12 off + 2 lost`: the whole, then on, never off, off, to come, with
    someone else, lost; what there is none of is not said."""
    fasteners: Fact
    """`96 fasteners out = 60 back + 34 in the bag + 2 lost`: the whole, then back, in the bag,
    with someone else, lost."""
    together: Fact
    """What is not counted apart: `Headlamp TP-006-D (3 own parts)`; empty without any."""
    stands: Fact
    """`3 open lines`, `Nothing missing, nothing left over.`, or when it was closed."""
    lines: tuple[CountLine, ...]
    """Everything that is open."""
    unknown: Fact
    """`7 fasteners in 4 lines to be measured`; empty for none."""
    questions: tuple[CountLine, ...]
    """Each of these lines; a measurement answers it, and the machine is closed without."""


def describe_count(count: Count, machine: Machine) -> CountFacts:
    """The count of one machine."""
    places = count.places
    parts = [
        (places["on"], "on"),
        (places["never off"], "never off"),
        (places["here"], "off"),
        (places["to come"], "to come"),
        (places["away"], "with someone else"),
        (places["lost"], "lost"),
    ]
    fasteners = [
        (count.fasteners_back, "back"),
        (sum(in_bag(line.fastener) for line in count.missing), "in the bag"),
        (sum(count_away(line.fastener) for line in count.missing), "with someone else"),
        (sum(count_lost(line.fastener) for line in count.missing), "lost"),
    ]
    lines = tuple(describe_open_line(line, machine) for line in open_lines(count))
    return CountFacts(
        parts=_sum("parts", count.parts, plural(count.parts, "part"), parts, always=("on", "off")),
        fasteners=_sum(
            "fasteners",
            count.fasteners_out,
            f"{plural(count.fasteners_out, 'fastener')} out",
            fasteners,
            always=("back", "in the bag", "lost"),
        ),
        together=Fact("in one piece", ", ".join(map(_whole, count.together))),
        stands=count_stands(machine, len(lines)),
        lines=lines,
        unknown=Fact("not known", how_many_open(count.questions), "open"),
        questions=tuple(
            CountLine(one.key, TO_MEASURE, one.code, one.words, "") for one in count.questions
        ),
    )


def _whole(part: Part) -> str:
    own = f" ({plural(len(part.own_parts), 'own part')})" if part.own_parts else ""
    return f"{named(part)}{own}"


def _sum(
    label: str,
    whole: int,
    said: str,
    pieces: Sequence[tuple[int, str]],
    always: Collection[str],
) -> Fact:
    """`34 parts = 20 on + 14 off`; the figures with those of none, the words without them."""
    told = [f"{figure} {name}" for figure, name in pieces if figure or name in always]
    figures = (whole, *(figure for figure, _ in pieces))
    return Fact(label, f"{said} = {' + '.join(told)}", "", figures)


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
