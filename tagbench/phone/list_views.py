"""What the pages with lists show: a bin, what was found, what comes next, count, settings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from tagbench.book.operations.machines import chosen
from tagbench.phone.addresses import dead_tags
from tagbench.phone.cache import Snapshot
from tagbench.phone.part_view import Named, part_links, screws_of
from tagbench.records import Bin, Machine, Part, Tables
from tagbench.rules.bench.jobs import next_jobs
from tagbench.rules.bin_contents import inside
from tagbench.rules.bins import bin_words, kept_in_words
from tagbench.rules.count.closing import open_lines
from tagbench.rules.count.identity import count
from tagbench.rules.describe.part import where_fact
from tagbench.rules.describe.phrases import came_from, counted
from tagbench.rules.settings.standing import SettingState, settings_of

SHOWN = 150
"""So many parts of a bin are shown; the others are counted."""
FOUND = 20
"""So many hits are shown."""
OPEN_SHOWN = 100
"""So many open lines of the count are shown; the others are counted."""

ASKED = {"decide": "Reuse or replace?"}
"""Kinds of job that are asked rather than told."""


@dataclass(frozen=True)
class BinView:
    """What lies in a bin."""

    bin: Bin
    words: str
    kept: str
    bins: tuple[tuple[str, str], ...]
    parts: tuple[Named, ...]
    more: int
    deeper: int


def bin_view(tables: Tables, one: Bin) -> BinView:
    """A bin and what is in it."""
    held = inside(one.code, tables)
    return BinView(
        bin=one,
        words=bin_words(one),
        kept=kept_in_words(one.kept_in, tables.bins) if one.kept_in else "",
        bins=tuple((inner.code, bin_words(inner)) for inner in held.bins[:SHOWN]),
        parts=tuple(
            told if one.piece == "part" else told._replace(name=one.words)
            for one in held.contents[:SHOWN]
            for told in part_links([one.part])
        ),
        more=max(0, len(held.contents) - SHOWN) + max(0, len(held.bins) - SHOWN),
        deeper=held.deeper,
    )


class Row(NamedTuple):
    """A part in a list: what to do, where it is, its screws, and why it was found."""

    code: str
    name: str
    do: str
    where: str
    kept: str
    screws: str
    why: str


def row(tables: Tables, part: Part, do: str = "", why: str = "") -> Row:
    """A part as a row of a list."""
    kept = where_fact(tables, part).words
    return Row(part.code, counted(part), do, came_from(part), kept, screws_of(part), why)


@dataclass(frozen=True)
class NextView:
    """What can be done now."""

    machine: Machine | None
    rows: tuple[Row, ...]
    dead: int
    """Tags whose symbol does not open by a phone's camera."""


def next_view(snapshot: Snapshot) -> NextView:
    """The handful of things that can be done now on the chosen machine."""
    tables = snapshot.tables
    machine = chosen(tables)
    jobs = next_jobs(tables, machine.mark) if machine else []
    said = (ASKED.get(job.do, job.do.capitalize()) for job in jobs)
    rows = (row(tables, job.part, do) for job, do in zip(jobs, said, strict=True))
    return NextView(machine, tuple(rows), len(dead_tags(tables, tables.desk.phone_address)))


@dataclass(frozen=True)
class CountView:
    """Whether anything is missing or left over."""

    machine: Machine | None
    parts: int
    off: int
    out: int
    back: int
    missing: int
    lines: tuple[str, ...]
    more: int


def count_view(tables: Tables) -> CountView:
    """The count of the chosen machine, every open line in words."""
    machine = chosen(tables)
    if machine is None:
        return CountView(None, 0, 0, 0, 0, 0, (), 0)
    found = count(tables, machine.mark)
    lines = [line.words for line in open_lines(found)]
    lines += [f"to measure: {one.words}" for one in found.questions]
    return CountView(
        machine=machine,
        parts=found.parts,
        off=len(found.parts_off),
        out=found.fasteners_out,
        back=found.fasteners_back,
        missing=found.fasteners_missing,
        lines=tuple(lines[:OPEN_SHOWN]),
        more=max(0, len(lines) - OPEN_SHOWN),
    )


@dataclass(frozen=True)
class SettingsView:
    """Where the settings of the chosen machine stand."""

    machine: Machine | None
    settings: tuple[SettingState, ...]


def settings_view(tables: Tables) -> SettingsView:
    """The settings of the chosen machine, what is open first."""
    machine = chosen(tables)
    states = settings_of(tables, machine.mark) if machine else []
    return SettingsView(machine, tuple(sorted(states, key=lambda state: not state.open)))


def assemblies(tables: Tables, mark: str) -> list[str]:
    """The assemblies of a machine, the one worked on last first."""
    used = {part.assembly: None for part in reversed(tables.parts_of(mark)) if part.assembly}
    return list(used)[:12]


def bins_used_last(tables: Tables, mark: str) -> list[tuple[str, str]]:
    """Code and path of the bins that parts were put in last, the latest first."""
    used = {part.bin: None for part in reversed(tables.parts_of(mark)) if part.bin in tables.bins}
    others = dict.fromkeys(reversed(list(tables.bins)))
    codes = list({**used, **others})[:12]
    return [(code, kept_in_words(code, tables.bins)) for code in codes]
