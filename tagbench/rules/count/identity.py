"""The count: nothing missing, nothing left over.

Fasteners out = back + lost + away + in the bag, always, and every part is in one place.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from tagbench.records import Fastener, LooseItem, Part, Tables
from tagbench.rules.bin_contents import bin_of
from tagbench.rules.count.fastener_lines import (
    FastenerLine,
    count_away,
    count_in_machine,
    count_lost,
    in_bag,
    left_over,
    lines_of,
    missing,
    to_renew,
    wants_torque,
)
from tagbench.rules.open_questions import THREAD, OpenQuestion, open_questions_in
from tagbench.rules.rebuild.held_up import on_machine
from tagbench.rules.rebuild.links import Links, links_of
from tagbench.rules.rebuild.overrides import OpenOverride, open_overrides
from tagbench.rules.rebuild.reach import in_front
from tagbench.rules.settings.standing import SettingState, settings_of
from tagbench.rules.whereabouts import Whereabouts, tally, whereabouts
from tagbench.trade.fasteners.vocabulary import open_thread


class ThreadCount(NamedTuple):
    """The fasteners of one thread, or of one kind without a thread."""

    thread: str
    """The thread in its standard spelling, or the kind: `cotter pin`, or what is not yet known:
    `screw, thread not yet known`."""
    out: int
    """How many came out."""
    back: int
    """How many are back in the machine."""
    in_bag: int
    """How many should be in the bags."""
    away: int
    """How many are with someone else."""
    lost: int
    """How many are known to be lost."""


class Bag(NamedTuple):
    """A bin that is not empty yet."""

    bin: str
    """Its code; empty for parts kept in no bin."""
    parts: list[Part]
    """The parts that are in it, or whose fasteners are."""


@dataclass(frozen=True, slots=True, eq=False)
class Count:
    """Everything that is to be accounted for before one machine can be closed."""

    mark: str
    """Mark of the machine."""
    parts: int
    """How many parts the book has of it."""
    parts_off: list[Part]
    """Parts still off the machine."""
    left_out: dict[str, list[Part]]
    """Code of a part that is off → what went on over it, outermost first."""
    fasteners_out: int
    """How many fasteners came out."""
    fasteners_back: int
    """How many of them are back."""
    missing: list[FastenerLine]
    """Lines that are not all back: in the bag, or known to be lost."""
    places: dict[Whereabouts, int]
    """How many parts are in each place; they add up to `parts`."""
    together: list[Part]
    """Sub-assemblies in one piece: what they are made of has not come off and is not counted."""
    loose: list[LooseItem]
    """What was found on the bench and is not explained."""
    left_over: list[FastenerLine]
    """Lines of which more are said to have gone in than came out."""
    snug: list[Part]
    """Parts on the machine, but only snug."""
    untorqued: list[FastenerLine]
    """Fasteners on the machine without the torque that is specified."""
    single_use: list[FastenerLine]
    """Single-use items not renewed."""
    settings: list[SettingState]
    """Settings that are open."""
    overrides: list[OpenOverride]
    """Refusals that were overruled and whose cause still stands."""
    old_pieces: list[Part]
    """Parts that were replaced and whose old piece is still about."""
    bags: list[Bag]
    """Bins that are not empty yet."""
    threads: list[ThreadCount]
    """The fasteners by thread, in the order in which the threads first came out."""
    questions: list[OpenQuestion]
    """Lines whose thread or size is not yet known; they do not stand in the way of closing."""

    @property
    def fasteners_missing(self) -> int:
        """How many fasteners are not back; out = back + missing."""
        return sum(missing(line.fastener) for line in self.missing)


def machine_count(tables: Tables, mark: str, today: date | None = None) -> Count:
    """The count of the machine with this mark; linear in parts, links and fastener lines.

    With `today` the reasons say which orders are overdue.
    """
    parts = tables.parts_of(mark)
    lines = list(lines_of(parts))
    worked_on = [line for line in lines if not line.part.stays_on]
    not_back = [line for line in lines if missing(line.fastener)]
    on = [line for line in worked_on if on_machine(line.part)]
    return Count(
        mark=mark,
        parts=len(parts),
        parts_off=[part for part in parts if not on_machine(part)],
        left_out=left_out(links_of(tables, mark)),
        fasteners_out=sum(line.fastener.quantity for line in lines),
        fasteners_back=sum(count_in_machine(line.fastener) for line in lines),
        missing=not_back,
        places=tally(parts),
        together=[part for part in parts if part.together],
        loose=[one for one in tables.loose.values() if one.machine == mark and not one.explained],
        left_over=[line for line in lines if left_over(line.fastener)],
        snug=[part for part in parts if part.fitted == "snug"],
        untorqued=[line for line in on if wants_torque(line.fastener)],
        single_use=[line for line in worked_on if to_renew(line)],
        settings=[setting for setting in settings_of(tables, mark) if setting.open],
        overrides=open_overrides(tables, parts, today),
        old_pieces=[part for part in parts if part.old_piece == "kept"],
        bags=full_bags(parts),
        threads=by_thread(lines),
        questions=open_questions_in(not_back),
    )


def left_out(links: Links) -> dict[str, list[Part]]:
    """Code of each part that is off under parts that are on → those parts, outermost first.

    Linear in parts and links, but for the names over a gap.
    """
    on = [place for place in range(len(links.parts)) if not links.off(place)]
    found = {}
    for place in sorted(links.all_deeper(on)) if len(on) < len(links.parts) else ():
        if links.off(place):
            over = sorted(in_front(links, [place]))
            found[links.parts[place].code] = [links.parts[there] for there in over]
    return found


def by_thread(lines: Iterable[FastenerLine]) -> list[ThreadCount]:
    """The fasteners counted by thread; those without one by kind."""
    rows: dict[str, list[int]] = {}
    for _, _, fastener in lines:
        row = rows.setdefault(fastener.thread or _of_kind(fastener), [0, 0, 0, 0])
        row[0] += fastener.quantity
        if fastener.back:
            row[1] += count_in_machine(fastener)
        if fastener.short:
            row[2] += count_lost(fastener)
        if fastener.away:
            row[3] += count_away(fastener)
    return [
        ThreadCount(name, out, back, out - back - gone - sent, sent, gone)
        for name, (out, back, gone, sent) in rows.items()
    ]


def _of_kind(fastener: Fastener) -> str:
    return f"{fastener.kind}, {THREAD}" if open_thread(fastener) else fastener.kind


def full_bags(parts: Iterable[Part]) -> list[Bag]:
    """The bins that still hold a part, or fasteners of a part that is on the machine."""
    bags: dict[str, list[Part]] = {}
    for part in parts:
        in_bag_now = bin_of(part)
        in_bags = [in_bag_now] if in_bag_now or whereabouts(part) == "here" else []
        in_bags += [part.bin] if any(map(in_bag, part.fasteners)) else []
        for code in dict.fromkeys(in_bags):
            bags.setdefault(code, []).append(part)
    return [Bag(code, held) for code, held in bags.items()]
