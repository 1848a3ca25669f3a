"""What the workshop mathematics costs, each beside a peer measured in the same run."""

from __future__ import annotations

import os
import random
import re
import subprocess
import sys
from collections import deque
from collections.abc import Callable
from itertools import cycle
from math import sqrt
from pathlib import Path

import pytest

from tagbench.trade.fasteners.reading import read_fasteners
from tagbench.trade.threads import all_threads, limits_of, name_thread
from tests.bench.rows import TABLE, Wanted, milliseconds, reached
from tests.trade.fasteners.test_bag_phrases import PHRASES

pytestmark = pytest.mark.bench

#: When set, every import compiles its source again, which is not what a person meets.
_NO_CACHE = "PYTHONDONTWRITEBYTECODE"
_MODULES = (
    "tagbench.trade.threads",
    "tagbench.trade.quantities.typed",
    "tagbench.trade.quantities.shown",
    "tagbench.trade.threads.card",
    "tagbench.trade.torque.ranges",
    "tagbench.trade.torque.castle_nut",
)


def test_naming_a_thread_costs_no_more_than_twenty_bare_scans_of_the_tables() -> None:
    """The peer looks at every thread once and compares diameter and pitch, and no more."""
    chance = random.Random(1)
    threads = all_threads()
    readings = [
        (chance.uniform(limits_of(thread).major_min, limits_of(thread).major_max), thread.pitch_mm)
        for thread in threads
    ]
    limits = [limits_of(thread) for thread in threads]
    rows = [(of.major_min, of.major_max, at) for of, at in zip(limits, threads, strict=True)]

    def scan() -> None:
        for across, pitch in readings:
            fitting = [
                thread.designation
                for low, high, thread in rows
                if low <= across <= high and abs(thread.pitch_mm / pitch - 1) < sqrt(0.001)
            ]
            assert fitting

    def name() -> None:
        for across, pitch in readings:
            assert name_thread(across, pitch)

    name()
    each = len(readings)
    ours, bare = (lambda work=work: milliseconds(work)() / each for work in (name, scan))
    reached(TABLE.compare("naming a thread", "a bare scan", 0, ours, bare, Wanted(20, most=1)))


def test_reading_a_note_costs_no_more_than_six_hundred_bare_splits() -> None:
    """The peer takes the same note apart into words and figures, and no more."""
    notes = [typed for typed, _ in PHRASES]

    def split() -> None:
        for typed in notes:
            assert re.findall(r"[^\W\d_]+|[\d.,]+|\S", typed) is not None

    def read() -> None:
        for typed in notes:
            read_fasteners(typed)

    read()
    each = len(notes)
    ours, bare = (lambda work=work: milliseconds(work)() / each for work in (read, split))
    reached(TABLE.compare("a note read", "a bare split", 0, ours, bare, Wanted(600, most=2)))


def _import_time(code: str, cache: Path) -> float:
    """Seconds that `code` takes in a fresh interpreter, compiled files kept in `cache`."""
    timed = f"import time; t = time.perf_counter(); {code}; print(time.perf_counter() - t)"
    environment = {name: value for name, value in os.environ.items() if name != _NO_CACHE}
    environment["PYTHONPYCACHEPREFIX"] = str(cache)
    command = [sys.executable, "-c", timed]
    done = subprocess.run(command, capture_output=True, text=True, check=True, env=environment)
    return float(done.stdout)


def test_importing_the_mathematics_costs_no_more_than_the_record_library(tmp_path: Path) -> None:
    """The peer is msgspec, which the records need in any case and which is set apart first."""
    modules = "import " + ", ".join(_MODULES)

    def seconds(code: str) -> Callable[[], float]:
        return lambda: 1e3 * _import_time(code, tmp_path)

    row = TABLE.compare(
        "modules of the mathematics read",
        "msgspec",
        0,
        seconds(f"import msgspec; t = time.perf_counter(); {modules}"),
        seconds("import msgspec"),
        Wanted(ratio=1),
    )
    reached(row)


def test_a_lookalike_warning_costs_less_than_a_key_stroke() -> None:
    """The peer is the naming of one thread; the answer is kept, so the first call is timed."""
    from tagbench.trade.threads.lookalikes import _lookalikes, _starts, lookalikes

    def warn() -> None:
        _lookalikes.cache_clear()
        _starts.cache_clear()
        lookalikes(next(threads))

    threads = cycle(all_threads())
    warn()

    def twenty(work: Callable[[], object]) -> Callable[[], float]:
        return milliseconds(lambda: deque((work() for _ in range(20)), maxlen=0))

    ours, naming = twenty(warn), twenty(lambda: name_thread(4.95, 0.8))
    reached(TABLE.compare("a look-alike warning", "naming a thread", 0, ours, naming, Wanted(100)))
