"""One table of all ratios: each row against its peer in the same run, in turns, median of five."""

from __future__ import annotations

import math
import os
import resource
import subprocess
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from statistics import median

TURNS = 5


@dataclass
class Row:
    """What was measured of one thing at one size."""

    what: str
    """What is done, with its peer: `show, against click and sqlite3`."""
    parts: int
    """How many parts the book has."""
    ours: float
    """Seconds of processor time, the median."""
    theirs: float
    """The same of the peer."""
    most: float
    """The ratio that is wanted at most; 0 where none is."""

    @property
    def ratio(self) -> float:
        """How many times longer than the peer."""
        return self.ours / self.theirs


@dataclass
class Table:
    """All rows of a run of the bench."""

    rows: list[Row] = field(default_factory=list)

    def add(self, row: Row) -> Row:
        """Takes a row in and gives it back."""
        self.rows.append(row)
        return row

    def exponent(self, what: str) -> float:
        """How the time grows with the book, from the smallest to the largest size measured."""
        mine = sorted((row for row in self.rows if row.what == what), key=lambda row: row.parts)
        if len(mine) < 2:
            return float("nan")
        small, large = mine[0], mine[-1]
        return math.log(large.ours / small.ours) / math.log(large.parts / small.parts)

    def lines(self) -> list[str]:
        """The table as text."""
        head = f"{'what':54}{'parts':>8}{'ours ms':>10}{'peer ms':>10}{'ratio':>8}{'wanted':>8}"
        said = [head]
        last = {row.what: row for row in self.rows}
        for row in self.rows:
            wanted = f"{row.most:8.2f}" if row.most else f"{'':8}"
            cells = f"{row.parts:8}{row.ours * 1e3:10.1f}{row.theirs * 1e3:10.1f}{row.ratio:8.2f}"
            grows = self.exponent(row.what) if last[row.what] is row else float("nan")
            tail = "" if math.isnan(grows) else f"   exponent {grows:.2f}"
            said.append(f"{row.what:54}{cells}{wanted}{tail}")
        return said


TABLE = Table()
"""The table that the end of the run prints."""


def in_turns(*works: Callable[[], object], turns: int = TURNS) -> list[float]:
    """Median seconds of processor time of each, one after the other so that all wait alike."""
    taken: list[list[float]] = [[] for _ in works]
    for turn in range(turns + 1):
        for work, seconds in zip(works, taken, strict=True):
            start = time.process_time()
            work()
            if turn:  # the first one warms up
                seconds.append(time.process_time() - start)
    return [median(seconds) for seconds in taken]


def programs_in_turns(*commands: Sequence[str], turns: int = TURNS) -> list[float]:
    """The same for whole programs: their own processor time, start and imports with it."""
    taken: list[list[float]] = [[] for _ in commands]
    for turn in range(turns + 1):
        for command, seconds in zip(commands, taken, strict=True):
            spent = _spent_by(command)
            if turn:
                seconds.append(spent)
    return [median(seconds) for seconds in taken]


def _spent_by(command: Sequence[str]) -> float:
    """Processor seconds of a program; modules are read compiled, as an installed one's are."""
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, capture_output=True, check=True, env=environment)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
