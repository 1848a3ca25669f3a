"""Which picture shows which part: the time it was taken against the times the parts came off."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from tagbench.errors import BadInput
from tagbench.records import Part

WINDOW = timedelta(minutes=30)
"""A picture further than this from any removal is offered for no part."""
AFTER = 2.0
"""A picture taken after the part was written down counts as this much further away: people
usually take the picture first, and the next part's picture comes after this part's entry."""
SURE = 3.0
"""A match is sure when the second nearest part is this much further away."""
_MOST_HOURS = 14
"""So far a clock may be off by a wrong time zone."""


@dataclass(frozen=True)
class Match:
    """A picture with the part it is offered for; nothing is attached before it is confirmed."""

    picture: str
    """The picture, by the name it was given in with."""
    taken: datetime | None
    """When it was taken, in the time zone of the book; None when the picture does not say."""
    code: str = ""
    """The part it is offered for; empty for none."""
    gap: timedelta | None = None
    """How long before the removal was written down it was taken; negative for after."""
    sure: bool = False
    """Whether no other part is nearly as near."""
    others: tuple[str, ...] = ()
    """The next nearest parts, nearest first."""

    @property
    def words(self) -> str:
        """`4 min before it was written down`, or why there is no part."""
        if self.taken is None:
            return "the picture does not say when it was taken"
        if self.gap is None:
            return "no part came off near that time"
        minutes = round(abs(self.gap).total_seconds() / 60)
        when = "before" if self.gap >= timedelta(0) else "after"
        said = f"{minutes} min {when} it was written down" if minutes else "at the same minute"
        return said if self.sure else f"{said}, not sure"


def match_pictures(
    taken: Mapping[str, datetime | None],
    parts: Iterable[Part],
    *,
    clock_ahead: timedelta = timedelta(0),
    window: timedelta = WINDOW,
) -> list[Match]:
    """A match for each picture, in the order in which they were taken.

    `taken`: picture → time, without an offset as cameras write it (then local time of the book)
    or with one. `clock_ahead`: how far the camera's clock runs ahead.
    """
    removals = _removals(parts)
    times = {name: _placed(time, removals, clock_ahead) for name, time in taken.items()}
    ordered = sorted(times, key=lambda name: (_seconds(times[name]), name))
    return [_match(name, times[name], removals, window) for name in ordered]


def _removals(parts: Iterable[Part]) -> list[tuple[datetime, str]]:
    """When each part came off, earliest first."""
    known = [
        (part.removed, part.code)
        for part in sorted(parts, key=lambda part: part.order)
        if part.removed is not None
    ]
    return sorted(known, key=lambda removal: removal[0].timestamp())


def _placed(
    time: datetime | None, removals: Sequence[tuple[datetime, str]], clock_ahead: timedelta
) -> datetime | None:
    """The time with its offset: its own, else that of the removal nearest by the clock on the wall.

    So a picture of July and one of January each get the summer or winter time of their day.
    """
    if time is None or time.tzinfo is not None:
        return time - clock_ahead if time is not None else None
    wall = time - clock_ahead
    at = bisect_left(removals, wall, key=lambda removal: removal[0].replace(tzinfo=None))
    near = [removed for removed, _ in removals[max(0, at - 1) : at + 1]]
    nearest = min(near, key=lambda r: abs(r.replace(tzinfo=None) - wall), default=None)
    return wall.replace(tzinfo=nearest.tzinfo if nearest is not None else UTC)


def _seconds(time: datetime | None) -> float:
    return time.timestamp() if time is not None else float("inf")


def _match(
    name: str,
    taken: datetime | None,
    removals: Sequence[tuple[datetime, str]],
    window: timedelta,
) -> Match:
    if taken is None:
        return Match(name, None)
    near = _near(taken, removals, window)
    if not near:
        return Match(name, taken)
    (away, gap, code), *others = near
    sure = not others or others[0][0] >= SURE * max(away, 20.0)
    return Match(name, taken, code, gap, sure, tuple(code for _, _, code in others[:4]))


def _near(
    taken: datetime, removals: Sequence[tuple[datetime, str]], window: timedelta
) -> list[tuple[float, timedelta, str]]:
    """(how far as it counts, gap, code) of the parts within the window, nearest first."""
    at = bisect_left(removals, taken.timestamp(), key=lambda removal: removal[0].timestamp())
    found = []
    for removed, code in removals[max(0, at - 6) : at + 6]:
        gap = removed - taken
        if abs(gap) <= window:
            seconds = gap.total_seconds()
            found.append((seconds if seconds >= 0 else -AFTER * seconds, gap, code))
    return sorted(found, key=lambda one: (one[0], one[2]))


def clock_guesses(
    taken: Mapping[str, datetime | None], parts: Iterable[Part]
) -> list[tuple[timedelta, int]]:
    """How far the camera's clock may run ahead, with how many pictures then find a part.

    Whole and half hours only, as a wrong time zone or summer time makes; most pictures first,
    the smallest correction first among equals. Only those that find a part are given.
    """
    parts = list(parts)
    halves = sorted(
        range(-2 * _MOST_HOURS, 2 * _MOST_HOURS + 1), key=lambda half: (abs(half), -half)
    )
    found = []
    for half in halves:
        ahead = timedelta(minutes=30 * half)
        matches = match_pictures(taken, parts, clock_ahead=ahead, window=timedelta(minutes=15))
        hits = sum(bool(match.code) for match in matches)
        if hits:
            found.append((ahead, hits))
    return sorted(found, key=lambda guess: -guess[1])


def parse_ahead(text: str) -> timedelta:
    """How far a clock runs ahead: `1:00`, `-0:30` or `+2` hours; nothing typed is none.

    Raises BadInput for anything else.
    """
    sign = -1 if text.strip().startswith("-") else 1
    hours, _, minutes = text.strip().lstrip("+-").partition(":")
    if not text.strip():
        return timedelta(0)
    if not (hours.isdecimal() and (minutes or "0").isdecimal() and len(hours) <= 4):
        raise BadInput(f"“{text}” is not a length of time; write it as 1:00 or -0:30.")
    return sign * timedelta(hours=int(hours), minutes=int(minutes or 0))


def spell_ahead(span: timedelta) -> str:
    """`1:00`, `-5:30`."""
    minutes = round(abs(span).total_seconds() / 60)
    return f"{'-' if span < timedelta(0) else ''}{minutes // 60}:{minutes % 60:02d}"
