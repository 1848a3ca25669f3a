"""The fastener lines of parts: how many are back, in the bag, lost, torqued, renewed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from tagbench.records import Fastener, Part


class FastenerLine(NamedTuple):
    """One line of fasteners of one part."""

    part: Part
    """The part."""
    number: int
    """Which of the part's lines, counted from 1."""
    fastener: Fastener
    """The fasteners."""

    @property
    def key(self) -> str:
        """Code and number, the name of the line on lists: `TP-017-K/1`."""
        return f"{self.part.code}/{self.number}"

    @property
    def named(self) -> str:
        """One of the fasteners by its kind and size: `castle nut M12x1.25`."""
        from tagbench.rules.buying.single_use import item_words

        return item_words(self.fastener)

    @property
    def spelled(self) -> str:
        """The fasteners in their short form."""
        from tagbench.trade.fasteners.spelling import spell

        return spell(self.fastener)


def lines_of(parts: Iterable[Part]) -> Iterator[FastenerLine]:
    """Every fastener line of the parts, in order."""
    for part in parts:
        for number, fastener in enumerate(part.fasteners, 1):
            yield FastenerLine(part, number, fastener)


def count_in_machine(fastener: Fastener) -> int:
    """How many are back in the machine, never more than came out."""
    return min(fastener.back, fastener.quantity)


def missing(fastener: Fastener) -> int:
    """How many are not back yet: out = back + missing, always."""
    return max(0, fastener.quantity - fastener.back)


def count_lost(fastener: Fastener) -> int:
    """How many of the missing ones are known to be lost."""
    return min(fastener.short, missing(fastener)) if fastener.short else 0


def count_away(fastener: Fastener) -> int:
    """How many of the missing ones are with someone else."""
    return min(fastener.away, missing(fastener) - count_lost(fastener)) if fastener.away else 0


def in_bag(fastener: Fastener) -> int:
    """How many of the missing ones should be in the bag: missing = lost + away + in the bag."""
    return missing(fastener) - count_lost(fastener) - count_away(fastener)


def left_over(fastener: Fastener) -> int:
    """How many more are said to have gone in than came out."""
    return max(0, fastener.back - fastener.quantity)


def renewed_items(line: FastenerLine) -> list[str]:
    """What is renewed with one line of a part, each thing once on the part.

    A cotter pin that the part has a line of its own for is renewed there, not with the nut.
    """
    if not line.fastener.single_use:
        return []
    from tagbench.rules.buying.single_use import line_items, own_kinds

    return list(line_items(line.fastener, own_kinds(line.part)))


def wants_torque(fastener: Fastener) -> bool:
    """Whether a torque is specified that has not been given yet, or only a stage of it."""
    if fastener.torque is None:
        return False
    from tagbench.trade.torque.passes import progress_of

    return progress_of(fastener).open


def to_renew(line: FastenerLine) -> bool:
    """Whether something on a line is still to be renewed that no other line of the part has."""
    return wants_renewing(line.fastener) and bool(renewed_items(line))


def wants_renewing(fastener: Fastener) -> bool:
    """Whether it is a single-use item that has not been renewed yet."""
    return fastener.single_use and not fastener.renewed
