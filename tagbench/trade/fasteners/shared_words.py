"""Lines of one text share what only one of them says: 3 long screws, 1 short."""

from __future__ import annotations

from collections.abc import Sequence

from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.vocabulary import (
    NO_LENGTH,
    RINGS,
    THREADED_KINDS,
    bench_words,
    fold,
)

_NEVER_LONG = RINGS | NO_LENGTH


def share_words(lines: Sequence[ParsedLine]) -> list[ParsedLine]:
    """Gives kind, head, drive and thread to the lines that do not say them."""
    lines = _broken_down(lines)
    for at, line in enumerate(lines):
        if line.kind or line.gauge or line.bearing or line.standard or line.head:
            continue
        others = [*reversed(lines[:at]), *lines[at + 1 :]]
        for other in others:
            if not other.kind or (line.thread and other.kind not in THREADED_KINDS):
                continue
            if other.kind in NO_LENGTH and line.thread and line.figures:
                continue  # M8 nut, M6x20: the second has a length and is no nut
            if _sorted(line) and other.count and other.kind in _NEVER_LONG and not _sorted(other):
                continue  # 3 long 1 short, 2 washers: what is long or short is no washer
            line.kind, line.kind_words = other.kind, other.kind_words
            line.head, line.drive = other.head, other.drive
            if line.thread is None:
                line.thread, line.thread_text = other.thread, other.thread_text
            break
        else:
            known = next((other for other in others if other.thread), None)
            if line.thread is None and known is not None and not line.figures:
                line.thread, line.thread_text = known.thread, known.thread_text
    return list(lines)


def _sorted(line: ParsedLine) -> bool:
    """Whether it says which sort of several it is: long, short."""
    return any(fold(word) in bench_words("sort") for said in line.place for word in said.split())


def _broken_down(lines: Sequence[ParsedLine]) -> Sequence[ParsedLine]:
    """`8 screws 5mm - 4 long 4 short` are eight in two lines, and not sixteen."""
    whole, *parts = lines
    sorts = [part for part in parts if part.place and not (part.thing or part.words)]
    counted = sum(part.count or 1 for part in parts)
    if len(parts) < 2 or len(sorts) < len(parts) or whole.count != counted or not whole.kind:
        return lines
    for part in parts:
        part.kind, part.kind_words = whole.kind, whole.kind_words
        part.head, part.drive, part.thread = whole.head, whole.drive, whole.thread
        part.thread_text, part.material = whole.thread_text, list(whole.material)
        part.figures, part.gauge = list(whole.figures), whole.gauge
        part.grade, part.words = whole.grade, list(whole.words)
    parts[0].start = whole.start
    return parts
