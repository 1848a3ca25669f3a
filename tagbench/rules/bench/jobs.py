"""Next on the bench: the handful of things that can be done now."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import chain
from typing import NamedTuple

from tagbench.records import Part, Tables
from tagbench.rules.care.words import next_step, waiting_codes
from tagbench.rules.rebuild.overview import Build, build

CARE = ("degrease", "inspect", "decide", "make", "lube")
"""The steps of care that are proposed, in the order of the work."""
EACH = 3
"""So many jobs of one kind are proposed at a time."""


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
