"""The sizes that exist: every thread of the tables, and how a size is spelled."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache

from tagbench.trade.published import read_table
from tagbench.trade.threads.thread import System, Thread

_SYSTEM_OF_SERIES: dict[str, System] = {
    "UNC": "unified",
    "UNF": "unified",
    "UNEF": "unified",
    "UNS": "unified",
    "BSW": "Whitworth",
    "BSF": "Whitworth",
    "BSC": "cycle",
}


def metric_thread(diameter: float, pitch: float, series: str = "", common: int = 3) -> Thread:
    """An ISO metric thread, spelled with its pitch: `M5x0.8`. Diameter and pitch in mm."""
    name = f"M{diameter:g}x{pitch:g}"
    return Thread(name, "ISO metric", series, diameter, pitch, common)


def inch_thread(size: str, tpi: Fraction, series: str, common: int = 3) -> Thread:
    """An inch thread: `#10-32 UNF`, `1/4 BSW` (whose size fixes the pitch), `1/4-26 BSC`."""
    name = f"{size} {series}" if series in ("BSW", "BSF") else f"{size}-{_count(tpi)} {series}"
    diameter = float(inch_size(size) * Fraction("25.4"))
    pitch = float(Fraction("25.4") / tpi)
    return Thread(name, _SYSTEM_OF_SERIES[series], series, diameter, pitch, common)


def ba_thread(number: int, diameter: float, pitch: float, common: int = 3) -> Thread:
    """A British Association thread: `2BA`. Diameter and pitch in mm."""
    return Thread(f"{number}BA", "BA", "BA", diameter, pitch, common)


def spoke_thread(diameter: float, tpi: Fraction) -> Thread:
    """A thread of cycle spokes, DIN 79012: `FG 2.3`. Diameter over the thread in mm."""
    return Thread(f"FG {diameter:g}", "cycle", "spoke", diameter, float(Fraction("25.4") / tpi), 3)


def _count(tpi: Fraction) -> str:
    return str(tpi) if tpi.denominator == 1 else f"{float(tpi):g}"


def inch_size(size: str) -> Fraction:
    """Inches of a size in its standard spelling: `#10` is 0.060 + 0.013 n, `1-1/8` is 9/8."""
    if size.startswith("#"):
        return Fraction(60 + 13 * int(size[1:]), 1000)
    return sum((Fraction(part) for part in re.split("-", size)), Fraction(0))


@cache
def all_threads() -> tuple[Thread, ...]:
    """Every thread of the tables, read once."""
    metric = [
        metric_thread(
            float(row["diameter_mm"]), float(row["pitch_mm"]), row["series"], int(row["common"])
        )
        for row in read_table("threads_metric")
    ]
    inch = [
        inch_thread(
            row["size"], Fraction(row["threads_per_inch"]), row["series"], int(row["common"])
        )
        for name in ("threads_unified", "threads_british")
        for row in read_table(name)
    ]
    ba = [
        ba_thread(
            int(row["number"]),
            float(row["diameter_mm"]),
            float(row["pitch_mm"]),
            int(row["common"]),
        )
        for row in read_table("threads_ba")
    ]
    spokes = [
        spoke_thread(float(row["diameter_mm"]), Fraction(row["threads_per_inch"]))
        for row in read_table("threads_spoke")
    ]
    return (*metric, *inch, *ba, *spokes)


@cache
def by_designation() -> dict[str, Thread]:
    """The threads of the tables by their standard spelling."""
    return {thread.designation: thread for thread in all_threads()}


@cache
def metric_by_diameter() -> dict[float, tuple[Thread, ...]]:
    """Nominal diameter in mm → its metric threads, coarse first."""
    found: dict[float, list[Thread]] = {}
    for thread in all_threads():
        if thread.system == "ISO metric":
            found.setdefault(thread.diameter_mm, []).append(thread)
    return {
        size: tuple(sorted(threads, key=lambda t: (t.series != "coarse", t.common)))
        for size, threads in found.items()
    }


@cache
def inch_by_size() -> dict[str, tuple[Thread, ...]]:
    """Size in its standard spelling → its inch threads, in the order of the tables."""
    found: dict[str, list[Thread]] = {}
    for thread in all_threads():
        if thread.system in ("unified", "Whitworth", "cycle") and thread.series != "spoke":
            found.setdefault(size_text(thread), []).append(thread)
    return {size: tuple(threads) for size, threads in found.items()}


def size_text(thread: Thread) -> str:
    """The size alone, as the tables of heads and tools spell it: `10`, `1/4`, `#10`, `2`."""
    if thread.system == "ISO metric":
        return f"{thread.diameter_mm:g}"
    if thread.series == "spoke":
        return thread.designation
    if thread.system == "BA":
        return thread.designation.removesuffix(" LH").removesuffix("BA")
    return re.split(r"-(?=[0-9.]+ )| ", thread.designation)[0]
