"""What the pages with lists show: a bin, what was found, what comes next, count, settings."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple

from tagbench.book.operations.machines import chosen
from tagbench.phone.addresses import dead_tags
from tagbench.phone.cache import Snapshot
from tagbench.phone.part_view import PartLink, part_links, screws_of
from tagbench.records import Bin, Machine, Part, Tables
from tagbench.rules.bench.going_on import Going, aside_words, going_on
from tagbench.rules.bench.jobs import next_jobs
from tagbench.rules.bins import bin_words, kept_in_words
from tagbench.rules.count.identity import machine_count
from tagbench.rules.describe.bin import BinFacts, describe_bin
from tagbench.rules.describe.count import CountFacts, CountLine, describe_count
from tagbench.rules.describe.phrases import came_from, counted
from tagbench.rules.describe.setting import SettingFacts, describe_state
from tagbench.rules.describe.where import where_fact
from tagbench.rules.settings.standing import settings_of

SHOWN = 150
"""So many parts of a bin are shown; the others are counted."""
FOUND = 20
"""So many hits are shown."""
OPEN_SHOWN = 100
"""So many open lines of the count are shown; the others are counted."""

GOING_SHOWN = 5
"""So many lines say what was going on."""

ASKED = {"decide": "Reuse or replace?"}
"""Kinds of job that are asked rather than told."""


@dataclass(frozen=True)
class BinView:
    """What lies in a bin."""

    facts: BinFacts
    """What is said about it."""
    bins: tuple[tuple[str, str], ...]
    parts: tuple[PartLink, ...]
    more: int


def bin_view(tables: Tables, one: Bin) -> BinView:
    """A bin and what is in it."""
    facts = describe_bin(tables, one)
    links = (
        told._replace(name=one.name)
        for one in facts.parts[:SHOWN]
        for told in part_links([tables.parts[one.code]])
    )
    return BinView(
        facts=facts,
        bins=tuple((inner.code, bin_words(inner)) for inner in facts.bins[:SHOWN]),
        parts=tuple(links),
        more=max(0, len(facts.parts) - SHOWN) + max(0, len(facts.bins) - SHOWN),
    )


class ListRow(NamedTuple):
    """A part in a list: what to do, where it is, its screws, and why it was found."""

    code: str
    name: str
    do: str
    where: str
    kept: str
    screws: str
    why: str


def row(tables: Tables, part: Part, do: str = "", why: str = "") -> ListRow:
    """A part as a row of a list."""
    kept = where_fact(tables, part).words
    return ListRow(part.code, counted(part), do, came_from(part), kept, screws_of(part), why)


@dataclass(frozen=True)
class NextView:
    """What can be done now."""

    machine: Machine | None
    rows: tuple[ListRow, ...]
    dead: int
    """Tags whose symbol does not open by a phone's camera."""
    going: tuple[Going, ...] = ()
    """What was going on."""
    aside: str = ""
    """Since when and why the machine is set aside."""


def next_view(snapshot: Snapshot, now: datetime | None = None) -> NextView:
    """The handful of things that can be done now on the chosen machine."""
    tables = snapshot.tables
    machine = chosen(tables)
    jobs = next_jobs(tables, machine.mark) if machine else []
    said = (ASKED.get(job.do, job.do.capitalize()) for job in jobs)
    rows = (row(tables, job.part, do) for job, do in zip(jobs, said, strict=True))
    dead = len(dead_tags(tables, tables.desk.phone_address))
    going = going_on(tables, machine.mark, now) if machine and now else []
    aside = aside_words(machine) if machine else ""
    return NextView(machine, tuple(rows), dead, tuple(going[:GOING_SHOWN]), aside)


@dataclass(frozen=True)
class CountView:
    """Whether anything is missing or left over."""

    machine: Machine
    facts: CountFacts
    """What is said about it."""
    lines: tuple[CountLine, ...]
    more: int


def count_view(tables: Tables, today: date | None) -> CountView | None:
    """The count of the chosen machine, every open line in words; None without a machine."""
    machine = chosen(tables)
    if machine is None:
        return None
    facts = describe_count(machine_count(tables, machine.mark, today), machine)
    lines = (*facts.lines, *facts.questions)
    return CountView(machine, facts, lines[:OPEN_SHOWN], max(0, len(lines) - OPEN_SHOWN))


@dataclass(frozen=True)
class SettingsView:
    """Where the settings of the chosen machine stand."""

    machine: Machine | None
    settings: tuple[SettingFacts, ...]


def settings_view(tables: Tables) -> SettingsView:
    """The settings of the chosen machine, what is open first."""
    machine = chosen(tables)
    states = settings_of(tables, machine.mark) if machine else []
    states.sort(key=lambda state: not state.open)
    return SettingsView(machine, tuple(describe_state(tables, state) for state in states))


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
