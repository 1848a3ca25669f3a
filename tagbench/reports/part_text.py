"""Everything about one part, or one bin, as plain lines of text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime

from tagbench.records import Bin, Part, Tables
from tagbench.rules.describe.bin import describe_bin
from tagbench.rules.describe.fact import Fact, labelled
from tagbench.rules.describe.part import describe_part

WIDTH = 16
"""Wide enough for the longest label and two blanks."""


def part_lines(tables: Tables, part: Part, now: datetime) -> list[str]:
    """The part's record in the words of the trade, one fact a line, empty facts left out."""
    facts = describe_part(tables, part, now)
    return [f"{facts.code}  {facts.name}", *fact_lines(facts.facts())]


def fact_lines(facts: Iterable[Fact]) -> Iterator[str]:
    """Facts one under the other behind their labels, with a box where there is one to tick."""
    for label, fact in labelled(facts):
        first, *more = fact.boxed.splitlines()
        yield f"  {label:{WIDTH}}{first}"
        yield from (f"  {'':{WIDTH}}{line}" for line in more)


def bin_lines(tables: Tables, one: Bin) -> list[str]:
    """A bin: where it is and what is inside."""
    facts = describe_bin(tables, one)
    lines = [f"{facts.code}  {facts.name}", f"  {facts.where.words}; {facts.holds.words}"]
    lines += [f"  {other.code}  {other.name}" for other in facts.bins]
    lines += [f"  {part.code}  {part.name}" for part in facts.parts]
    return lines
