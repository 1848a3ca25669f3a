"""What the other pages show: a bin, a spare tag, what was found, what comes next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from tagbench.book.operations.machines import chosen
from tagbench.phone.outlook import Outlook
from tagbench.phone.part_view import Named, named
from tagbench.records import Bin, Machine, Part, Tables
from tagbench.rules.bench.jobs import next_jobs
from tagbench.rules.bins import bin_words, inside, kept_in_words

SHOWN = 150
"""So many parts of a bin are shown; the others are counted."""
FOUND = 20
"""So many hits are shown."""

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
        parts=named(held.parts[:SHOWN]),
        more=max(0, len(held.parts) - SHOWN) + max(0, len(held.bins) - SHOWN),
        deeper=held.deeper,
    )


class Row(NamedTuple):
    """A part in a list: what to do, where it is, and why it was found."""

    code: str
    name: str
    do: str
    where: str
    kept: str
    why: str


def row(tables: Tables, part: Part, do: str = "", why: str = "") -> Row:
    """A part as a row of a list."""
    where = " · ".join(text for text in (part.assembly, part.position) if text)
    return Row(part.code, part.name, do, where, kept_in_words(part.bin, tables.bins), why)


@dataclass(frozen=True)
class NextView:
    """What can be done now."""

    machine: Machine | None
    rows: tuple[Row, ...]


def next_view(outlook: Outlook) -> NextView:
    """The handful of things that can be done now on the chosen machine."""
    machine = chosen(outlook.tables)
    jobs = next_jobs(outlook.tables, machine.mark) if machine else []
    said = (ASKED.get(job.do, job.do.capitalize()) for job in jobs)
    rows = (row(outlook.tables, job.part, do) for job, do in zip(jobs, said, strict=True))
    return NextView(machine, tuple(rows))


def assemblies(tables: Tables, mark: str) -> list[str]:
    """The assemblies of a machine, the one worked on last first."""
    used = {part.assembly: None for part in reversed(tables.parts_of(mark)) if part.assembly}
    return list(used)[:12]
