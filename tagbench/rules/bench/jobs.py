"""Next on the bench: the handful of things that can be done now, and what lies in the tray."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date, datetime
from itertools import chain
from typing import NamedTuple

from tagbench.records import Part, Tables
from tagbench.rules.care.needs import JOBS, next_step, standing_in_care, waiting_codes
from tagbench.rules.care.pieces import soaking
from tagbench.rules.describe.phrases import plural
from tagbench.rules.rebuild.overview import Build, build_overview
from tagbench.rules.whereabouts import overdue

EACH = 3
"""So many jobs of one kind are proposed at a time."""


class Job(NamedTuple):
    """Something that can be done to a part now."""

    do: str
    """ask: it is with someone else and overdue; torque: it is only snug; fit: it is ready; soak: it
    lies in the tray; else the next step of its care."""
    part: Part
    """The part."""
    words: str = ""
    """What else is to be said: `soaking 26 h, 2 h over`; mostly empty."""


def next_jobs(tables: Tables, mark: str, limit: int = 8, now: datetime | None = None) -> list[Job]:
    """The handful of things that can be done now, the nearest to a finished machine first.

    With the time it is `now`, what is overdue at someone else's comes first, and parts in the soak
    are among them, the longest there first.
    """
    stands = build_overview(tables, mark)
    found: dict[str, list[Job]] = {
        "ask": [],
        "torque": [],
        "fit": [],
        "soak": [],
        **{do: [] for do in JOBS},
    }
    soaks = _soaks(stands, now) if now is not None else iter(())
    late = _overdue(stands, now.date()) if now is not None else iter(())
    for job in chain(
        late, _torque(stands), _fit(stands), soaks, _care(stands, waiting_codes(tables))
    ):
        same = found.get(job.do)
        if same is not None and len(same) < EACH:
            same.append(job)
    return [job for same in found.values() for job in same][:limit]


def _overdue(stands: Build, today: date) -> Iterator[Job]:
    away = [part for part in stands.links.parts if part.away and overdue(part.away, today)]
    for part in sorted(away, key=lambda part: (part.away and part.away.due) or today):
        late = overdue(part.away, today) if part.away else 0
        yield Job("ask", part, f"{plural(late, 'day')} overdue")


def _torque(stands: Build) -> Iterator[Job]:
    return (Job("torque", stands.links.part(code)) for code in stands.snug)


def _fit(stands: Build) -> Iterator[Job]:
    return (Job("fit", stands.links.part(code)) for code in stands.ready)


def _soaks(stands: Build, now: datetime) -> Iterator[Job]:
    parts = (part for part in stands.links.parts if part.fitted == "off")
    in_tray = [(soak.since, part) for part in parts if (soak := soaking(part)) is not None]
    for _, part in sorted(in_tray, key=lambda one: (one[0], one[1].order)):
        yield Job("soak", part, standing_in_care(part, now, ()))


def _care(stands: Build, wanted: Collection[str]) -> Iterator[Job]:
    for held in stands.held_up:
        part = stands.links.part(held.code)
        yield Job(next_step(part, wanted), part)
