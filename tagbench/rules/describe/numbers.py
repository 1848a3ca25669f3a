"""What is said about the numbers of a part: which one to order, and where else it is used."""

from __future__ import annotations

from tagbench.errors import Refused
from tagbench.records import Part, Tables, Want
from tagbench.rules.buying.open_orders import ordered_for
from tagbench.rules.buying.part_numbers import known_numbers, same_parts, to_order
from tagbench.rules.describe.phrases import NO_ASSEMBLY, named, plural

SAME_SHOWN = 4
"""So many places where the part is used as well are named."""


def numbers_lines(part: Part, tables: Tables) -> list[str]:
    """Which number to order, and where else the part is used."""
    try:
        lines = [to_order(part, known_numbers(tables.parts.values())).words]
    except Refused as loop:
        lines = [str(loop)]
    lines = [*map(_on_order, ordered_for(tables, [part.code])), *lines]
    same = same_parts(tables, part)
    lines += (_same_words(other) for other in same[:SAME_SHOWN])
    more = len(same) - SAME_SHOWN
    return [*lines, f"and in {plural(more, 'more place')}"] if more > 0 else lines


def _on_order(want: Want) -> str:
    number = f" as no. {want.ordered_as}" if want.ordered_as else ""
    return f"on order{number}, want {want.id}"


def _same_words(other: Part) -> str:
    return f"the same part: {named(other)}, {other.assembly or NO_ASSEMBLY}"
