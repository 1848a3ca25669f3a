"""Sizes that go by a number or a table of their kind: gauges, bearings, usual fine threads."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from tagbench.trade.published import read_table


@cache
def _numbered() -> Mapping[tuple[str, str], tuple[float, float | None]]:
    return {
        (row["kind"], row["number"].lower()): (
            float(row["first_in"]),
            float(row["second_in"]) if row["second_in"] else None,
        )
        for row in read_table("numbered_sizes")
    }


def numbered_size(kind: str, number: str) -> tuple[float, float | None] | None:
    """Inches of a size by its number in the table of its own kind; None when it is not there.

    Wood screw 8 is 0.164, drive screw 8 is 0.167, tapping screw 8 is 0.166; a Woodruff key has
    its width and the diameter of its circle.
    """
    return _numbered().get((kind, number.lower()))


@cache
def _bearings() -> Mapping[str, tuple[float, float, float]]:
    return {
        row["number"]: (float(row["bore_mm"]), float(row["outside_mm"]), float(row["width_mm"]))
        for row in read_table("bearings")
    }


def bearing_size(number: str) -> tuple[float, float, float] | None:
    """Bore, outside and width in mm of a bearing by its number, seals and clearance left off."""
    basic = re.match(r"6[0-3]/[0-9]{2}|HK\s?[0-9]{4}|[0-9]+X?", number.upper())
    if basic is None:
        return None
    name = basic[0].replace(" ", "")
    return _bearings().get(name) or _bearings().get(name.rstrip("X"))


@cache
def _usual() -> Mapping[tuple[str, str], tuple[str, ...]]:
    found: dict[tuple[str, str], tuple[str, ...]] = {}
    for row in read_table("usual_fine_threads"):
        key = row["kind"], row["size"]
        found[key] = (*found.get(key, ()), row["thread"])
    return found


_FINE = frozenset(("spark plug", "plug", "drain plug", "bleed screw", "grease nipple"))


def takes_fine_thread(kind: str, head: str) -> bool:
    """Whether the coarse thread must not be assumed for it."""
    return kind in _FINE or head == "banjo"


def usual_threads(kind: str, head: str, size: str) -> tuple[str, ...]:
    """The threads usual on a plug, banjo bolt or nipple of that metric size, likeliest first."""
    return _usual().get((f"{kind}:banjo" if head == "banjo" else kind, size), ())
