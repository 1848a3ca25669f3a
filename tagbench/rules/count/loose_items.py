"""What is left over: read from two words, matched against what is short or was typed alike."""

from __future__ import annotations

import re
from typing import NamedTuple

from tagbench.errors import BadInput, Refused
from tagbench.records import Fastener, LooseItem, Part, Tables, replace
from tagbench.rules.count.fastener_lines import FastenerLine, count_lost, lines_of, missing
from tagbench.rules.describe.phrases import named
from tagbench.trade.fasteners.text import parse_fasteners

_LONG = re.compile(r"(?P<figure>\d+(?:[.,]\d+)?)\s*(?:mm\s*)?long\b", re.IGNORECASE)


class LineCandidate(NamedTuple):
    """A line that a found fastener may be of."""

    line: FastenerLine
    """The line."""
    why: str
    """Why: `1 lost`, `still in the bag: look again`, `typed alike`."""
    sure: bool
    """Whether the line is known to be short of one."""


def read_found(text: str) -> tuple[str, str, Fastener | None]:
    """What, where, and the fastener when it is one: `M6 bolt 20 long, bench floor`.

    A comma with a blank behind it parts the two; `3,2x32` is a size.
    """
    what, _, where = (piece.strip() for piece in " ".join(text.split()).partition(", "))
    if not what:
        raise BadInput("Say what was found and, after a comma, where: M6 bolt 20 long, floor.")
    return what, where, _fastener(what)


def _fastener(what: str) -> Fastener | None:
    """The one fastener that the words say; `20 long` is a length."""
    long = _LONG.search(what)
    plain = _LONG.sub("", what) if long else what
    try:
        found = parse_fasteners(plain.strip())
    except BadInput:
        return None
    if len(found) != 1 or (found[0].kind == "other" and not found[0].thread):
        return None
    if long and found[0].length is None:
        length = float(long["figure"].replace(",", "."))
        return replace(found[0], length=length, quantity=1)
    return replace(found[0], quantity=1)


def candidates(tables: Tables, item: LooseItem) -> list[LineCandidate]:
    """The lines it may be of: those known to be short first, then those not all back, then those
    that were typed alike."""
    fastener = item.fastener
    if fastener is None:
        return []
    lines = lines_of(tables.parts_of(item.machine))
    alike = [line for line in lines if _alike(line.fastener, fastener)]
    found = [
        LineCandidate(line, _why(line.fastener), count_lost(line.fastener) > 0) for line in alike
    ]
    return sorted(found, key=lambda one: (not one.sure, not missing(one.line.fastener)))


def _why(fastener: Fastener) -> str:
    if count_lost(fastener):
        return f"{count_lost(fastener)} lost"
    return "not all back: count its bag" if missing(fastener) else "typed alike, and all back"


def _alike(one: Fastener, found: Fastener) -> bool:
    """Thread (or kind and diameter without one) agree, and the length where both say one."""
    if (one.thread or found.thread) and one.thread != found.thread:
        return False
    if _female(one.kind) != _female(found.kind):
        return False
    if not one.thread and (one.kind, one.diameter) != (found.kind, found.diameter):
        return False
    return one.length is None or found.length is None or one.length == found.length


def _female(kind: str) -> str:
    """`nut` or `washer` for what goes on a thread; all that has one of its own is alike."""
    return next((word for word in ("nut", "washer") if kind.endswith(word)), "")


def put_to_line(part: Part, line: int) -> Part:
    """The part with one fastener fewer short; Refused for a line that is short of none."""
    if not 1 <= line <= len(part.fasteners):
        raise BadInput(f"{named(part)} has no line {line} of fasteners.")
    fastener = part.fasteners[line - 1]
    if not fastener.short:
        raise Refused(
            f"Line {line} of {named(part)} is short of none; say in words where it belongs."
        )
    lines = list(part.fasteners)
    lines[line - 1] = replace(fastener, short=fastener.short - 1)
    return replace(part, fasteners=tuple(lines))
