"""Pipe threads: their names, and the limits by ISO 228-1, ISO 7-1 and ASME B1.20.1.

A taper thread has no one diameter. Its limits here run from the small end of the screw to the
gauge plane (ISO 7-1) or to the pipe (NPT), which is what a caliper meets.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from math import pi

from tagbench.errors import BadInput
from tagbench.trade.published import read_table
from tagbench.trade.threads.metric_words import Scan
from tagbench.trade.threads.sizes import all_threads
from tagbench.trade.threads.thread import Thread, ThreadLimits

_INCH = 25.4
_TAPER = 1 / 16
_DEPTH = 0.640327
"""Depth of the 55 degree thread per side in pitches (ISO 228-1, ISO 7-1)."""
_SIZE = r"(?P<size>[1-9](?:\s|-)[0-9]/[0-9]{1,2}|[0-9]{1,2}/[0-9]{1,2}|[1-9])"
_FORMS = "write it as G 1/4, R 1/4, Rp 1/4, Rc 1/4 or 1/4 NPT"


@cache
def _tolerances() -> Mapping[int, tuple[float, float, float]]:
    """Threads per inch → tolerance of pitch diameter, of the outside and of the hole's inside."""
    return {
        int(row["threads_per_inch"]): (
            float(row["pitch_mm"]),
            float(row["major_mm"]),
            float(row["minor_mm"]),
        )
        for row in read_table("pipe_tolerances")
    }


@cache
def _named() -> tuple[re.Pattern[str], re.Pattern[str]]:
    end = r"(?![0-9/])\s?(?:\"|″|in(?:ch)?\b)?"
    first = rf"(?P<name>G|Rp|Rc|R|BSPP|BSPT|BSP|NPTF?)\s?-?\s?{_SIZE}{end}(?:\s?[AB]\b)?"
    last = rf"{_SIZE}{end}\s?-?\s?(?:[0-9.]+\s)?(?P<name>BSPP|BSPT|BSP|NPTF?)\b"
    return re.compile(first, re.IGNORECASE), re.compile(last, re.IGNORECASE)


@cache
def pipe_threads() -> dict[str, Thread]:
    """Every pipe thread by its standard spelling: `G 1/4`, `R 1/4`, `Rp 1/4`, `1/4 NPT`."""
    found: dict[str, Thread] = {}
    for row in read_table("threads_pipe"):
        pitch, across = _INCH / float(row["threads_per_inch"]), float(row["major_mm"])
        common = int(row["common"])
        if row["standard"] == "NPT":
            name = f"{row['size']} NPT"
            found[name] = Thread(name, "NPT", "NPT", across, pitch, common)
            continue
        for letter in ("G", "R", "Rp", "Rc") if row["gauge_mm"] else ("G",):
            name = f"{letter} {row['size']}"
            rank = common if letter == "G" else 3
            found[name] = Thread(name, "BSP", letter, across, pitch, rank)
    return found


@cache
def known_threads() -> tuple[Thread, ...]:
    """Every thread of the tables with the pipe threads that a screw or plug is cut with."""
    screws = [thread for thread in pipe_threads().values() if thread.series in ("G", "R", "NPT")]
    return (*all_threads(), *screws)


def scan_pipe(text: str, start: int = 0) -> Scan | None:
    """The pipe thread that begins at `start`, or None; BSP without more is the parallel G.

    BadInput for a size that the standard does not hold.
    """
    first, last = _named()
    found = first.match(text, start) or last.match(text, start)
    if found is None:
        return None
    size = re.sub(r"\s", "-", found["size"])
    name = found["name"].upper()
    letter = {"BSP": "G", "BSPP": "G", "BSPT": "R", "RP": "Rp", "RC": "Rc"}.get(name, name)
    designation = f"{size} NPT" if letter.startswith("NPT") else f"{letter} {size}"
    thread = pipe_threads().get(designation)
    if thread is None:
        raise BadInput(f"“{found[0]}” is not a pipe thread size known here; {_FORMS}.")
    return Scan(thread, found.end())


@cache
def _gauge() -> dict[tuple[str, float], float]:
    return {
        (row["standard"], float(row["major_mm"])): float(row["gauge_mm"] or 0)
        for row in read_table("threads_pipe")
    }


def pipe_limits(thread: Thread) -> ThreadLimits:
    """Limits of a pipe thread, mm; a taper one from its small end to its gauge plane or pipe."""
    return _npt_limits(thread) if thread.system == "NPT" else _bsp_limits(thread)


def _bsp_limits(thread: Thread) -> ThreadLimits:
    pitch, across = thread.pitch_mm, thread.diameter_mm
    of_pitch, of_screw, of_hole = _tolerances()[round(thread.threads_per_inch)]
    effective, minor = across - _DEPTH * pitch, across - 2 * _DEPTH * pitch
    taper = _TAPER * _gauge()["ISO", across] if thread.series in ("R", "Rc") else 0.0
    room = taper or 2 * of_pitch
    return ThreadLimits(
        screw_class="taper" if taper else "B",
        hole_class="taper" if taper else "parallel",
        major_max=across,
        major_min=across - (taper or of_screw),
        pitch_max=effective,
        pitch_min=effective - room,
        hole_minor_min=minor - taper,
        hole_minor_max=minor + (0.0 if taper else of_hole),
        hole_pitch_min=effective,
        hole_pitch_max=effective + of_pitch,
        stress_area=pi / 4 * ((effective + minor) / 2) ** 2,
    )


def _npt_limits(thread: Thread) -> ThreadLimits:
    """E0 = D - (0.05 D + 1.1) p at the small end, E1 = E0 + L1 / 16; crests 0.8 p apart."""
    across, pitch = thread.diameter_mm, thread.pitch_mm
    inches, per = across / _INCH, pitch / _INCH
    small = (inches - (0.05 * inches + 1.1) * per) * _INCH
    hand_tight = small + _TAPER * _gauge()["NPT", across]
    depth = 0.8 * pitch
    return ThreadLimits(
        screw_class="taper",
        hole_class="taper",
        major_max=across,
        major_min=small + depth,
        pitch_max=hand_tight,
        pitch_min=small,
        hole_minor_min=small - depth,
        hole_minor_max=hand_tight - depth,
        hole_pitch_min=hand_tight,
        hole_pitch_max=hand_tight + _TAPER * pitch,
        stress_area=pi / 4 * (small - depth / 2) ** 2,
    )
