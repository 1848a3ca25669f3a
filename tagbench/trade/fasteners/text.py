"""Fasteners from their short form where nobody can be asked."""

from __future__ import annotations

from tagbench.errors import BadInput
from tagbench.records import Fastener
from tagbench.trade.fasteners.reading import read_fasteners


def parse_fasteners(text: str) -> tuple[Fastener, ...]:
    """Every fastener of a text; none for an empty text. BadInput for control characters."""
    return read_fasteners(text).lines


def parse_fastener(text: str) -> Fastener:
    """The one fastener of a text such as `4 off M6 x 20 socket 8.8 + lock washer (upper)`.

    BadInput when there is none in it, or more than one.
    """
    found = parse_fasteners(text)
    if len(found) != 1:
        many = "holds several fasteners" if found else "is empty"
        raise BadInput(f"“{text.strip()[:60]}” {many}; give one, such as M6x20.")
    return found[0]
