"""Threads that are mistaken for one another: those that start in the wrong hole, and why.

A screw starts in a hole when its pitch diameter leaves room, when its crests reach far enough
into the hole's threads to be caught, and when the difference in pitch is taken up by the play
for a few turns. Both are taken at the loose end of their limits, since that is the pair that
goes in.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from itertools import combinations
from math import radians, tan

import msgspec

from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.limits import limits_of
from tagbench.trade.threads.pipe import known_threads
from tagbench.trade.threads.thread import Thread

#: Turns that a screw must go in by hand before anyone calls it started.
_TURNS = 3.0
#: Pitches further apart than this are felt at the first turn.
_PITCH_APART = 0.06
#: Pitches further apart than this are told apart with a gauge.
_BY_GAUGE = 0.02
#: Share of the hole's thread depth that the screw must reach to be caught.
_CAUGHT = 0.4
#: Share of the hole's thread depth that a screw must reach to hold at all.
_HOLDS = 2 / 3
#: Readings this close, mm, are one and the same to a caliper held by hand.
_SAME_ACROSS = 0.02
#: The same where one is a pipe thread: plugs are scratched, and a worn one is the size below.
_SAME_PLUG = 0.08
#: A same-sized thread of the same system is named only when it is met now and then.
_MET = 2


class Lookalike(msgspec.Struct, frozen=True):
    """A thread that may be mistaken for another."""

    designation: str
    """Standard spelling of the other thread."""
    starts: bool
    """True when one starts in the other's hole; False when they only measure alike across."""
    happens: str
    """What comes of it: `starts, then strips`; `does not start`."""
    told_by: str
    """What tells them apart: the pitch, the diameter, the thread angle, or only a known nut."""
    note: str
    """A sentence for the bench."""


def would_start_in(screw: str | Thread, hole: str | Thread) -> bool:
    """True when a screw of one thread starts in a hole of the other (or they are the same).

    Takes designations in any spelling, or threads; BadInput for an unknown one.
    """
    return _starts(_as_thread(screw), _as_thread(hole))


def _as_thread(thread: str | Thread) -> Thread:
    return parse_thread(thread) if isinstance(thread, str) else thread


@lru_cache(maxsize=65536)
def _starts(screw: Thread, hole: Thread) -> bool:
    if screw.left_hand != hole.left_hand:
        return False
    apart = abs(screw.pitch_mm - hole.pitch_mm)
    if apart > _PITCH_APART * hole.pitch_mm:
        return False
    of_screw, of_hole = limits_of(screw), limits_of(hole)
    room = of_hole.hole_pitch_max - of_screw.pitch_min
    reach = of_screw.major_max - of_hole.hole_minor_min
    if room < 0 or reach < _CAUGHT * (hole.diameter_mm - of_hole.hole_minor_min):
        return False
    play = room * tan(radians(min(screw.angle_deg, hole.angle_deg) / 2))
    return play >= _TURNS * apart


def lookalikes(thread: str | Thread) -> list[Lookalike]:
    """The threads of the tables that are mistaken for this one, worst first.

    First those of which one starts in the other's hole, then those that a caliper cannot tell
    from it although the pitch can.
    """
    mine = _as_thread(thread)
    return list(_lookalikes(mine))


@lru_cache(maxsize=1024)
def _lookalikes(mine: Thread) -> tuple[Lookalike, ...]:
    others = [other for other in known_threads() if not _same(other, mine)]
    starts = [other for other in others if _starts(mine, other) or _starts(other, mine)]
    alike = [
        other
        for other in others
        if other not in starts
        and (other.common <= _MET or other.system != mine.system)
        and _measures_alike(mine, other)
    ]
    starts.sort(key=lambda other: (other.common, _distance(mine, other)))
    alike.sort(key=lambda other: (other.common, _distance(mine, other)))
    return tuple(_described(mine, other) for other in starts + alike)


def _same(one: Thread, other: Thread) -> bool:
    return one.designation.removesuffix(" LH") == other.designation.removesuffix(" LH")


def _distance(one: Thread, other: Thread) -> float:
    across = abs(one.diameter_mm / other.diameter_mm - 1)
    return across + abs(one.pitch_mm / other.pitch_mm - 1)


def _measures_alike(one: Thread, other: Thread) -> bool:
    """True when the outside-diameter limits of two threads overlap within a caliper's reading."""
    first, second = limits_of(one), limits_of(other)
    low = max(first.major_min, second.major_min)
    near = _SAME_PLUG if (one.system == "BSP") != (other.system == "BSP") else _SAME_ACROSS
    return low <= min(first.major_max, second.major_max) + near


def _described(mine: Thread, other: Thread) -> Lookalike:
    starts = _starts(mine, other) or _starts(other, mine)
    names = mine.designation, other.designation
    alike = f"{names[1]} measures like {names[0]} across; {_told_by(mine, other)} tells them apart."
    note = _sentence(mine, other) if starts else alike
    return Lookalike(names[1], starts, _outcome(mine, other), _told_by(mine, other), note)


def what_happens(screw: Thread, hole: Thread) -> str:
    """What comes of a screw in a hole that it is not for: `starts, then strips`, `does not start`.

    A pitch that differs uses up the play within the thread: it binds and tears. A screw that
    reaches less than two thirds into the hole's threads strips. Another flank angle bears on a
    line. What does none of these goes in unseen.
    """
    if not _starts(screw, hole):
        return "does not start"
    of_screw, of_hole = limits_of(screw), limits_of(hole)
    room = (of_hole.hole_pitch_max + of_hole.hole_pitch_min) / 2
    room -= (of_screw.pitch_max + of_screw.pitch_min) / 2
    play = max(room, 0.0) * tan(radians(min(screw.angle_deg, hole.angle_deg) / 2))
    apart = abs(screw.pitch_mm - hole.pitch_mm)
    if "NPT" in (screw.system, hole.system) or {screw.series, hole.series} & {"R", "Rc"}:
        return "starts, then wedges: it leaks, or splits the boss"
    turns = hole.diameter_mm / hole.pitch_mm  # thread engaged over one diameter
    if apart * turns > play:
        after = max(round(play / apart), 1)
        return (
            f"starts, then binds after about {after} turn{'s' * (after > 1)} and tears the thread"
        )
    depth = hole.diameter_mm - (of_hole.hole_minor_min + of_hole.hole_minor_max) / 2
    reach = (of_screw.major_max + of_screw.major_min) / 2 - (hole.diameter_mm - depth)
    if reach < _HOLDS * depth:
        return "starts, then strips: it holds by the tips of its threads"
    if screw.angle_deg != hole.angle_deg:
        return "goes right in, then strips or works loose: its flanks bear on a line"
    return "goes right in, and nobody sees it"


def _outcome(one: Thread, other: Thread) -> str:
    """What happens the way that it starts; both ways where they differ."""
    there, back = what_happens(one, other), what_happens(other, one)
    starting = [
        (names, told)
        for names, told in (
            (f"{one.designation} in {other.designation}", there),
            (f"{other.designation} in {one.designation}", back),
        )
        if told != "does not start"
    ]
    if not starting:
        return "does not start"
    if len({told for _names, told in starting}) == 1:
        return starting[0][1]
    return "; ".join(f"{names} {told}" for names, told in starting)


def _told_by(one: Thread, other: Thread) -> str:
    apart = abs(one.pitch_mm / other.pitch_mm - 1)
    if one.left_hand != other.left_hand:
        return "the hand"
    if {one.system, other.system} & {"NPT"} or {one.series, other.series} & {"R"}:
        return "the taper"
    if apart > _BY_GAUGE:
        return "the pitch"
    if not _measures_alike(one, other):
        return "the diameter"
    if one.angle_deg != other.angle_deg:
        return "the thread angle"
    return "only a known nut" if apart < _BY_GAUGE / 4 else "a long pitch gauge"


def _sentence(one: Thread, other: Thread) -> str:
    there, back = _starts(one, other), _starts(other, one)
    names = one.designation, other.designation
    told_by = f"{_told_by(one, other)} tells them apart"
    happens = _outcome(one, other)
    if there and back:
        return f"{names[0]} and {names[1]} start in each other's holes: {happens}; {told_by}."
    screw, hole = names if there else names[::-1]
    comes_of_it = happens.removeprefix("starts") if happens.startswith("starts") else f": {happens}"
    starts = f"{_with_article(screw)} screw starts in {_with_article(hole)} hole{comes_of_it}"
    return f"{starts[0].upper()}{starts[1:]}; {told_by}."


def _with_article(designation: str) -> str:
    """`an M5x0.8`, `an 8BA`, `a 2BA`."""
    return f"{'an' if designation.startswith(('M', '8', '11')) else 'a'} {designation}"


def mix_ups(designations: Iterable[str]) -> list[str]:
    """A sentence for every pair in one machine of which one starts in the other's hole.

    Takes standard or other spellings; the same thread twice is no mix-up. BadInput for an
    unknown one.
    """
    threads = list(dict.fromkeys(parse_thread(text) for text in designations))
    return [
        _sentence(one, other)
        for one, other in combinations(threads, 2)
        if not _same(one, other) and (_starts(one, other) or _starts(other, one))
    ]
