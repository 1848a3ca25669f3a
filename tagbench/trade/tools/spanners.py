"""Widths across flats by standard, and the spanner that fits them."""

from __future__ import annotations

from functools import cache
from typing import Literal

import msgspec

from tagbench.trade.published import read_table
from tagbench.trade.quantities.shown import show_length
from tagbench.trade.quantities.typed import parse_number
from tagbench.trade.quantities.units import Quantity
from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.sizes import size_text
from tagbench.trade.threads.thread import Thread

SpannerPart = Literal["bolt", "nut", "flange", "flange nut", "square", "square nut", "set screw"]
"""What the spanner goes on: a plain hexagon (bolt, nut), a flanged or a square one, a square-headed
set screw."""


class AcrossFlats(msgspec.Struct, frozen=True):
    """A width across flats that a hexagon of some thread may have."""

    across_mm: float
    """Width across flats, mm."""
    spanner: str
    """What is stamped on the spanner: `10 mm`, `7/16 in`, `1/4 W`, `2BA`."""
    standard: str
    """The standard of the head or nut."""
    from_memory: bool
    """True when the figure was not checked against a text."""


class _Row(msgspec.Struct, frozen=True):
    part: str
    since: str
    until: str
    flats: AcrossFlats


def is_across_flats(across_mm: float) -> bool:
    """Whether some thread of the tables has a head or nut of that width across flats, in mm."""
    return any(row.flats.across_mm == across_mm for rows in _rows().values() for row in rows)


def spanner_sizes(
    thread: str | Thread, part: SpannerPart = "bolt", year: int | None = None
) -> list[AcrossFlats]:
    """The widths across flats met on this thread, the likeliest first; none when unknown.

    Without a `year` of the machine the current standard comes first; with one, the standard of
    that time. BadInput for an unknown designation.
    """
    thread = parse_thread(thread) if isinstance(thread, str) else thread
    wanted = ("any", part) if part in ("bolt", "nut") else (part,)
    rows = [row for row in _rows().get(_key(thread), ()) if row.part in wanted]
    rows.sort(key=lambda row: _out_of_time(row, year))
    return [row.flats for row in rows]


def _out_of_time(row: _Row, year: int | None) -> int:
    """0 for the standard of the year, 1 for one of another time, 2 for one met only in places."""
    if row.until == "x":
        return 2
    if year is None:
        return int(bool(row.until))
    return int(year < int(row.since or 0) or year > int(row.until or 9999))


def _key(thread: Thread) -> tuple[str, str]:
    system = {"ISO metric": "metric", "unified": "unified", "BA": "BA"}.get(thread.system)
    return system or thread.series, size_text(thread)


@cache
def _rows() -> dict[tuple[str, str], tuple[_Row, ...]]:
    found: dict[tuple[str, str], tuple[_Row, ...]] = {}
    for row in read_table("across_flats"):
        key = row["system"], row["size"]
        found[key] = (*found.get(key, ()), _row(row))
    return found


def _row(row: dict[str, str]) -> _Row:
    width = Quantity(parse_number(row["across"]), row["unit"])
    flats = AcrossFlats(
        across_mm=width.number("mm"),
        spanner=_stamp(row, width),
        standard=row["standard"],
        from_memory=row["source"] == "memory",
    )
    return _Row(row["part"], row["since"], row["until"], flats)


def _stamp(row: dict[str, str], width: Quantity) -> str:
    if row["system"] == "BA":
        return f"{row['size']}BA"
    if row["system"] in ("BSW", "BSF", "BSC"):
        return _whitworth_stamps().get(round(float(width.value), 3), show_length(width))
    return show_length(width)


@cache
def _whitworth_stamps() -> dict[float, str]:
    """Width across flats in inches → what is stamped on the spanner."""
    return {
        float(row["across_in"]): f"{row['whitworth']} ({row['bs']})"
        for row in read_table("whitworth_spanners")
    }
