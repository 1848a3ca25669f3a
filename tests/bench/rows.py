"""The one table of the bench: each row against its peer in the same run.

How a row is made:

    row = TABLE.compare(
        "one part found", "SQLite FTS5", 10_000,
        milliseconds(we_do_it), milliseconds(the_peer_does_it), Wanted(ratio=4),
    )
    reached(row)

Both are figures: what gives one number each time it is called. They are called one after the
other, so that a busy computer slows both alike, and the median of each is kept. A figure can be
milliseconds of this process (`milliseconds`), of a whole program with its start and imports
(`program_milliseconds`), or anything else, such as megabytes or hits, with its `unit`. Where a
size would take too long, give fewer `turns`. What has to be awaited goes through
`in_turns_async`, and what is measured elsewhere straight into `TABLE.add(Row(...))`.

A row says what is wanted of it: at most so many times the peer, at most or at least so much in
its own unit, or nothing, when it is only to be seen. A time in milliseconds may be wanted on a
free computer, `≤ 100 ms by 20`: 100 where the peer takes 20, and as much more as the peer takes
longer. After the largest size, `grows(what, most)` says and holds how the figure may grow with the
book.

`reached` holds every row to the figure wanted, with `SLACK` above it for a time, since others run
too; the table says “ok” only where the figure itself is reached. `conftest.py` prints the table
at the end of the run.
"""

from __future__ import annotations

import math
import os
import resource
import subprocess
import time
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass, field
from statistics import median

TURNS = 5
SLACK = 1.15
"""So many times the wanted figure may be measured before a test fails: the spread between two runs
of the same work on two busy cores. Figures that no other program can disturb get none."""
EXPONENT_SLACK = 0.05
"""The same for how a time grows: what `SLACK` makes of an exponent over a hundredfold book, about
two thirds more."""
_DISTURBED = ("ms", "s")
"""Units of what another program can disturb."""


@dataclass(frozen=True)
class Wanted:
    """What is wanted of a row; None where nothing is."""

    ratio: float | None = None
    """At most so many times the peer."""
    most: float | None = None
    """At most so much, in the unit of the row."""
    least: float | None = None
    """At least so much, in the unit of the row."""
    free: float | None = None
    """What the peer takes on a computer that is free: where it takes longer, `most` is as much
    more, since the same work takes longer on a busy one."""

    def most_beside(self, theirs: float) -> float | None:
        """`most` on a computer as busy as it was for the peer."""
        if self.most is None or self.free is None:
            return self.most
        return self.most * max(1.0, theirs / self.free)

    def words(self, unit: str) -> str:
        """As the table says it."""
        said = []
        if self.ratio is not None:
            said.append(f"≤ {self.ratio:g} ×")
        if self.most is not None:
            beside = f" by {self.free:g}" if self.free else ""
            said.append(f"≤ {self.most:g} {unit}{beside}")
        if self.least is not None:
            said.append(f"≥ {self.least:g} {unit}")
        return ", ".join(said)


@dataclass(frozen=True)
class Row:
    """What was measured of one thing at one size."""

    what: str
    """What is done, such as `show CODE, whole program`; the same at every size."""
    peer: str
    """What does the same, or the plainest piece of it."""
    size: int
    """How many parts the book has."""
    ours: float
    """The median, in the unit."""
    theirs: float
    """The same of the peer."""
    unit: str = "ms"
    wanted: Wanted = field(default_factory=Wanted)

    @property
    def ratio(self) -> float:
        """How many times the peer's figure."""
        return self.ours / self.theirs if self.theirs else math.nan

    def reached(self, slack: float = 1.0) -> bool:
        """Whether it is what is wanted, or no more than `slack` times worse."""
        wanted, most = self.wanted, self.wanted.most_beside(self.theirs)
        return (
            (wanted.ratio is None or self.ratio <= wanted.ratio * slack)
            and (most is None or self.ours <= most * slack)
            and (wanted.least is None or self.ours >= wanted.least / slack)
        )

    @property
    def slack(self) -> float:
        """What this row is allowed."""
        return SLACK if self.unit in _DISTURBED else 1.0


@dataclass
class Table:
    """All rows of a run of the bench."""

    rows: list[Row] = field(default_factory=list)
    growing: dict[str, float] = field(default_factory=dict)
    """`Row.what` → the exponent that is wanted at most."""

    def add(self, row: Row) -> Row:
        """Takes a row in and gives it back."""
        self.rows.append(row)
        return row

    def compare(
        self,
        what: str,
        peer: str,
        size: int,
        ours: Callable[[], float],
        theirs: Callable[[], float],
        wanted: Wanted | None = None,
        unit: str = "ms",
        turns: int = TURNS,
    ) -> Row:
        """Measures both in turns and takes the row in."""
        mine, other = in_turns(ours, theirs, turns=turns)
        return self.add(Row(what, peer, size, mine, other, unit, wanted or Wanted()))

    def of(self, what: str) -> list[Row]:
        """The rows of one thing, the smallest book first."""
        return sorted((row for row in self.rows if row.what == what), key=lambda row: row.size)

    def exponent(self, what: str) -> float:
        """How the figure grows with the book, from the smallest to the largest size measured."""
        mine = self.of(what)
        if len(mine) < 2 or mine[0].size == mine[-1].size:
            return math.nan
        small, large = mine[0], mine[-1]
        return math.log(large.ours / small.ours) / math.log(large.size / small.size)

    def lines(self) -> list[str]:
        """The table as text: the sizes of a thing below each other."""
        cells: list[tuple[str, ...]] = [
            ("what", "parts", "ours", "peer", "ratio", "exponent", "wanted", "")
        ]
        for what in dict.fromkeys(row.what for row in self.rows):
            mine = self.of(what)
            cells += [self._cells(row, row is mine[-1]) for row in mine]
        wide = [max(map(len, column)) for column in zip(*cells, strict=True)]
        said = []
        for row_cells in cells:
            left, *middle, wanted, verdict = row_cells
            sized = [cell.rjust(width) for cell, width in zip(middle, wide[1:-2], strict=True)]
            said.append("  ".join([left.ljust(wide[0]), *sized, wanted.ljust(wide[-2]), verdict]))
        return [line.rstrip() for line in said]

    def _cells(self, row: Row, last: bool) -> tuple[str, ...]:
        exponent = self.exponent(row.what) if last else math.nan
        wanted, within, reached = row.wanted.words(row.unit), row.reached(row.slack), row.reached()
        if last and row.what in self.growing:
            most = self.growing[row.what]
            wanted = ", ".join(filter(None, (wanted, f"exponent ≤ {most:g}")))
            reached &= not exponent > most
            within &= not exponent > most + EXPONENT_SLACK
        verdict = "ok" if reached else "within slack" if within else "NOT"
        return (
            f"{row.what}, against {row.peer}",
            f"{row.size}",
            f"{row.ours:.{_places(row.ours)}f} {row.unit}",
            f"{row.theirs:.{_places(row.theirs)}f}",
            "" if math.isnan(row.ratio) else f"{row.ratio:.2f}",
            "" if math.isnan(exponent) else f"{exponent:.2f}",
            wanted,
            verdict if wanted else "",
        )


TABLE = Table()
"""The table that the end of the run prints."""


def _places(figure: float) -> int:
    """Decimal places that leave about three digits."""
    return 0 if figure >= 100 else 1 if figure >= 10 else 2 if figure >= 0.1 else 4


def reached(*rows: Row) -> None:
    """Holds the rows to what is wanted of them, each with its slack."""
    missed = [row for row in rows if not row.reached(row.slack)]
    assert not missed, "; ".join(
        f"{row.what} at {row.size}: {row.ours:.2f} {row.unit}, {row.ratio:.2f} × {row.peer}, "
        f"wanted {row.wanted.words(row.unit)}"
        for row in missed
    )


def grows(what: str, most: float, table: Table = TABLE) -> None:
    """Holds one thing to how it may grow, once its largest size has been measured."""
    table.growing[what] = most
    exponent = table.exponent(what)
    assert not exponent > most + EXPONENT_SLACK, f"{what}: exponent {exponent:.2f}, wanted {most}"


def milliseconds(
    work: Callable[[], object], clock: Callable[[], float] = time.process_time
) -> Callable[[], float]:
    """What a piece of work takes each time; `time.perf_counter` where waiting is the matter."""

    def taken() -> float:
        start = clock()
        work()
        return (clock() - start) * 1e3

    return taken


def program_milliseconds(command: Sequence[str]) -> Callable[[], float]:
    """Processor time of a whole program; modules are read compiled, as an installed one's are."""
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}

    def taken() -> float:
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(command, capture_output=True, check=True, env=environment)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        return (after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime) * 1e3

    return taken


def in_turns(*figures: Callable[[], float], turns: int = TURNS) -> list[float]:
    """The median of each, one after the other; the first turn only warms up."""
    taken: list[list[float]] = [[] for _ in figures]
    for turn in range(turns + 1):
        for figure, mine in zip(figures, taken, strict=True):
            one = figure()
            if turn:
                mine.append(one)
    return [median(mine) for mine in taken]


async def in_turns_async(
    *figures: Callable[[], Awaitable[float]], turns: int = TURNS
) -> list[float]:
    """The same for what has to be awaited, such as a screen that opens."""
    taken: list[list[float]] = [[] for _ in figures]
    for turn in range(turns + 1):
        for figure, mine in zip(figures, taken, strict=True):
            one = await figure()
            if turn:
                mine.append(one)
    return [median(mine) for mine in taken]
