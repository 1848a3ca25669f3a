"""The machine at a glance: counts by state, progress by assembly, what can be done next."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from itertools import chain
from typing import NamedTuple

from tagbench.records import Part, Tables
from tagbench.rules.build import Build, build
from tagbench.rules.care import done
from tagbench.rules.care_words import next_step, waiting_codes
from tagbench.rules.paths import SEPARATOR, spell_path

CARE = ("degrease", "inspect", "decide", "lube")
"""The steps of care that are proposed, in the order of the work."""
EACH = 3
"""So many jobs of one kind are proposed at a time."""


@dataclass(frozen=True)
class Standing:
    """How many parts of a machine are in which state."""

    parts: int
    """All of them."""
    degreased: int
    """Degreased."""
    undecided: int
    """Without a verdict."""
    replace: int
    """To be replaced."""
    snug: int
    """On the machine finger tight."""
    fitted: int
    """On the machine and done."""


def standing(parts: Iterable[Part]) -> Standing:
    """Counts the parts by state."""
    parts = list(parts)
    return Standing(
        parts=len(parts),
        degreased=sum(done(part, "degreased") for part in parts),
        undecided=sum(part.verdict == "undecided" for part in parts),
        replace=sum(part.verdict == "replace" for part in parts),
        snug=sum(part.fitted == "snug" for part in parts),
        fitted=sum(part.fitted == "fitted" for part in parts),
    )


class Progress(NamedTuple):
    """How far an assembly is: each part counts once, for the furthest it has come."""

    assembly: str
    """Its name, the first step of the path."""
    parts: int
    """How many parts came from it."""
    fitted: int
    """On the machine, snug or done."""
    clean: int
    """Degreased and not yet on the machine."""


def progress(parts: Iterable[Part]) -> list[Progress]:
    """Progress by assembly, in the order in which the assemblies were first taken apart."""
    counts: dict[str, list[int]] = {}
    for part in parts:
        count = counts.setdefault(outermost(part.assembly), [0, 0, 0])
        count[0] += 1
        if part.fitted != "off":
            count[1] += 1
        elif done(part, "degreased"):
            count[2] += 1
    return [Progress(name, *count) for name, count in counts.items()]


def outermost(assembly: str) -> str:
    """The first step of an assembly's path: `Front wheel` of `Front wheel / Brake`."""
    return spell_path(assembly).split(SEPARATOR, 1)[0]


class Job(NamedTuple):
    """Something that can be done to a part now."""

    do: str
    """torque: it is only snug; fit: it is ready; else the next step of its care."""
    part: Part
    """The part."""


def next_jobs(tables: Tables, mark: str, limit: int = 8) -> list[Job]:
    """The handful of things that can be done now, the nearest to a finished machine first."""
    now = build(tables, mark)
    found: dict[str, list[Job]] = {"torque": [], "fit": [], **{do: [] for do in CARE}}
    for job in chain(_torque(now), _fit(now), _care(now, waiting_codes(tables))):
        same = found.get(job.do)
        if same is not None and len(same) < EACH:
            same.append(job)
    return [job for same in found.values() for job in same][:limit]


def _torque(now: Build) -> Iterator[Job]:
    return (Job("torque", now.links.part(code)) for code in now.snug)


def _fit(now: Build) -> Iterator[Job]:
    return (Job("fit", now.links.part(code)) for code in now.ready)


def _care(now: Build, wanted: Collection[str]) -> Iterator[Job]:
    for held in now.held_up:
        part = now.links.part(held.code)
        yield Job(next_step(part, wanted), part)
