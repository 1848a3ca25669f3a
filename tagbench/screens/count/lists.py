"""The lists of the count screen: what is open, the fasteners by thread, the bags not empty."""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple

from tagbench.records import Machine
from tagbench.rules.count.closing import OpenLine, open_lines
from tagbench.rules.count.fastener_lines import in_bag, lost
from tagbench.rules.count.identity import Bag, Count, ThreadCount
from tagbench.screens.widgets.grouped import Heading, grouped
from tagbench.screens.widgets.views import View

OPEN, THREADS, BAGS = "Open", "Fasteners", "Bags"
SAYS = {
    OPEN: "What is not accounted for yet. Enter goes to where it is put right.",
    THREADS: "Every fastener that came out: out = back + in the bag + lost.",
    BAGS: "Bags and boxes that are not empty yet. Enter opens one.",
}
"""List → what it is, in a sentence."""

KINDS = {
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
"""First word of an open line's key → its heading."""

Line = OpenLine | ThreadCount | Bag
Row = Line | Heading


class Subject(NamedTuple):
    """What an open line is about."""

    kind: str
    """First word of its key, one of `KINDS`."""
    about: str
    """Code of the part, or number of the setting."""


def subject(line: OpenLine) -> Subject:
    """`torque:TP-017-K/1` is about `TP-017-K`."""
    kind, _, about = line.key.partition(":")
    return Subject(kind, about.partition("/")[0])


def kind_words(line: OpenLine) -> str:
    """The heading that an open line stands under."""
    return KINDS[subject(line).kind]


def rows(count: Count, view: str, folded: Collection[str]) -> list[Row]:
    """The rows of a list; open lines under a heading for each kind."""
    if view == THREADS:
        return list(count.threads)
    if view == BAGS:
        return list(count.bags)
    return [*grouped(open_lines(count), kind_words, folded)]


def views(count: Count) -> list[View]:
    """The lists with their counts."""
    counts = {OPEN: len(open_lines(count)), THREADS: len(count.threads), BAGS: len(count.bags)}
    return [View(name, number) for name, number in counts.items()]


def row_key(row: Row) -> str:
    """What a row is known by while the book changes."""
    if isinstance(row, ThreadCount):
        return row.thread
    return row.bin if isinstance(row, Bag) else row.key


def balance(count: Count) -> str:
    """Parts and fasteners in two short sentences that add up."""
    on = count.parts - len(count.parts_off)
    bag = sum(in_bag(line.fastener) for line in count.missing)
    gone = sum(lost(line.fastener) for line in count.missing)
    return (
        f"parts {count.parts} = {on} on + {len(count.parts_off)} off\n"
        f"fasteners {count.fasteners_out} out = {count.fasteners_back} back"
        f" + {bag} in the bag + {gone} lost"
    )


def closed_words(machine: Machine, open_count: int) -> str:
    """Whether the machine is closed, or what it wants."""
    if machine.closed is not None:
        why = f" with {len(machine.closed_with)} written reasons" if machine.closed_with else ""
        return f"closed on {machine.closed:%d %b %Y}{why}"
    if open_count:
        return f"{open_count} open line{'s' * (open_count != 1)}"
    return "nothing missing, nothing left over: C closes the machine"
