"""A fastener found on the floor: which parts miss one like it."""

from __future__ import annotations

from math import inf
from typing import NamedTuple

from tagbench.errors import BadInput
from tagbench.records import Fastener, Tables
from tagbench.rules.count.fastener_lines import FastenerLine, count_lost, lines_of, missing
from tagbench.trade.fasteners.text import parse_fasteners
from tagbench.trade.quantities.units import Quantity
from tagbench.trade.threads import Pitch, name_thread, would_start_in

LENGTH_SLACK_MM = 1.0
"""Lengths this close are one and the same to a rule held against a screw."""


class Missed(NamedTuple):
    """A line that misses a fastener like the one found."""

    line: FastenerLine
    """The line; it misses at least one."""
    fits: bool
    """Thread and length agree; False when it only comes near."""
    words: str
    """How it agrees or differs, as a person reads it."""


def which_miss(tables: Tables, mark: str, text: str) -> list[Missed]:
    """The lines that miss a fastener such as `M6x20`, `1/4-20 x 3/4` or `cotter pin 3.2x32`.

    Best first: those that agree, known losses before those in a bag, then the same thread in
    another length. Raises BadInput for text that is no fastener.
    """
    fasteners = parse_fasteners(text)
    if len(fasteners) != 1 or _says_nothing(fasteners[0]):
        raise BadInput(f"“{text}” is not one fastener; give one, such as M6x20.")
    found = fasteners[0]
    threads = [found.thread] if found.thread else []
    return _ranked(tables, mark, found, threads)


def _says_nothing(found: Fastener) -> bool:
    return found.kind == "other" and not (found.thread or found.diameter)


def which_miss_measured(
    tables: Tables,
    mark: str,
    across: Quantity,
    pitch: Pitch | None = None,
    length: Quantity | None = None,
) -> list[Missed]:
    """The same by measurement: outside diameter, and better also pitch and length.

    Every thread that the measurement allows is looked for, the likeliest first.
    """
    named = name_thread(
        across.number("mm"),
        pitch.mm if pitch else None,
        pitch_uncertainty_mm=pitch.uncertainty_mm if pitch else 0.0,
    )
    threads = [one.designation for one in named if one.inside_limits]
    threads = threads or [one.designation for one in named]
    found = Fastener(
        thread=threads[0],
        length=length.number("mm") if length else None,
    )
    return _ranked(tables, mark, found, threads)


def _ranked(tables: Tables, mark: str, found: Fastener, threads: list[str]) -> list[Missed]:
    hits = []
    for line in lines_of(tables.parts_of(mark)):
        if missing(line.fastener):
            hit = _compared(line, found, threads)
            if hit:
                hits.append(hit)
    return [hit for _, hit in sorted(hits, key=lambda one: one[0])]


Rank = tuple[bool, int, float, bool, str]


def _compared(
    line: FastenerLine, found: Fastener, threads: list[str]
) -> tuple[Rank, Missed] | None:
    other = line.fastener
    if threads:
        likeness = _thread_likeness(other, threads)
    else:
        likeness = 0 if _same_thing(other, found) else None
    if likeness is None:
        return None
    off = _length_off(other, found)
    fits = likeness < len(threads or [""]) and (off == inf or off <= LENGTH_SLACK_MM)
    rank = (not fits, likeness, 0.0 if off == inf else off, not count_lost(other), line.key)
    return rank, Missed(line, fits, _words(other, likeness, threads, off))


def _thread_likeness(other: Fastener, threads: list[str]) -> int | None:
    """Place in the list of likely threads; one past its end for a look-alike; None for no match."""
    if not other.thread:
        return None
    if other.thread in threads:
        return threads.index(other.thread)
    try:
        alike = would_start_in(threads[0], other.thread)
    except BadInput:
        return None
    return len(threads) if alike else None


def _same_thing(other: Fastener, found: Fastener) -> bool:
    return (
        not other.thread
        and other.kind == found.kind
        and (found.diameter is None or _mm(other.diameter, other) == _mm(found.diameter, found))
    )


def _length_off(other: Fastener, found: Fastener) -> float:
    """How far the lengths differ, mm; infinite when either is not known."""
    mine, theirs = _mm(found.length, found), _mm(other.length, other)
    return inf if mine is None or theirs is None else abs(mine - theirs)


def _mm(value: float | None, fastener: Fastener) -> float | None:
    if value is None:
        return None
    return value * 25.4 if fastener.length_unit == "in" else value


def _words(other: Fastener, likeness: int, threads: list[str], off: float) -> str:
    words = []
    if threads and likeness >= len(threads):
        words.append(f"{other.thread} looks alike")
    if off == inf:
        words.append("length not compared")
    elif off > LENGTH_SLACK_MM:
        words.append(f"length differs by {off:.3g} mm")
    return ", ".join(words) or "agrees"
