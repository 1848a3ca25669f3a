"""Fasteners from their short form where nobody can be asked."""

from __future__ import annotations

from tagbench.records import Fastener
from tagbench.trade.fasteners.reading import read_fasteners


def parse_fasteners(text: str) -> tuple[Fastener, ...]:
    """Every fastener of a text; none for an empty text. BadInput for control characters."""
    return read_fasteners(text).lines
