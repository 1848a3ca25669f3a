"""The machine at a glance: counts by state, progress by assembly, what can be done next."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Literal, NamedTuple

from tagbench.records import Part, Tables
from tagbench.rules.build import Build, build
from tagbench.rules.held_up import DIRTY, UNDECIDED, own_reasons
from tagbench.rules.paths import SEPARATOR, spell_path

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
        degreased=sum(map(is_degreased, parts)),
        undecided=sum(part.verdict == "undecided" for part in parts),
        replace=sum(part.verdict == "replace" for part in parts),
        snug=sum(part.fitted == "snug" for part in parts),
        fitted=sum(part.fitted == "fitted" for part in parts),
    )


def is_degreased(part: Part) -> bool:
    """Whether the part has been degreased."""
    return any(step.step == "degreased" for step in part.care)


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
        elif is_degreased(part):
            count[2] += 1
    return [Progress(name, *count) for name, count in counts.items()]


def outermost(assembly: str) -> str:
    """The first step of an assembly's path: `Front wheel` of `Front wheel / Brake`."""
    return spell_path(assembly).split(SEPARATOR, 1)[0]


class Job(NamedTuple):
    """Something that can be done to a part now."""

    do: Literal["torque", "fit", "degrease", "decide"]
    """torque: it is only snug; fit: it is ready; decide: reuse or replace."""
    part: Part
    """The part."""


def next_jobs(tables: Tables, mark: str, limit: int = 8) -> list[Job]:
    """The handful of things that can be done now, the nearest to a finished machine first."""
    now = build(tables, mark)
    kinds = (_torque(now), _fit(now), _degrease(now), _decide(now))
    jobs = [job for kind in kinds for job in islice(kind, EACH)]
    return jobs[:limit]


def _torque(now: Build) -> Iterator[Job]:
    return (Job("torque", now.links.part(code)) for code in now.snug)


def _fit(now: Build) -> Iterator[Job]:
    return (Job("fit", now.links.part(code)) for code in now.ready)


def _degrease(now: Build) -> Iterator[Job]:
    return (Job("degrease", part) for part in _held_up(now) if DIRTY in own_reasons(part))


def _decide(now: Build) -> Iterator[Job]:
    return (Job("decide", part) for part in _held_up(now) if UNDECIDED in own_reasons(part))


def _held_up(now: Build) -> Iterator[Part]:
    return (now.links.part(held.code) for held in now.held_up)
