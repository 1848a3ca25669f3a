"""Lines of one text share what only one of them says: 3 long screws, 1 short."""

from __future__ import annotations

from collections.abc import Sequence

from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.vocabulary import NO_LENGTH, THREADED_KINDS


def share_words(lines: Sequence[ParsedLine]) -> list[ParsedLine]:
    """Gives kind, head, drive and thread to the lines that do not say them."""
    for at, line in enumerate(lines):
        if line.kind or line.gauge or line.bearing or line.standard or line.head:
            continue
        others = [*reversed(lines[:at]), *lines[at + 1 :]]
        for other in others:
            if not other.kind or (line.thread and other.kind not in THREADED_KINDS):
                continue
            if other.kind in NO_LENGTH and line.thread and line.figures:
                continue  # M8 nut, M6x20: the second has a length and is no nut
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
