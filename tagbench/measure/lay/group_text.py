"""A confirmed group as records that say where their figures come from."""

from __future__ import annotations

from tagbench.records import Fastener, replace
from tagbench.trade.fasteners.reading import read_fasteners


def as_fasteners(text: str, source: str, *, typed: bool = False) -> list[Fastener]:
    """The fasteners of a text; with their source, unless a person typed what they are."""
    lines = read_fasteners(text, {}).lines
    if typed:
        return list(lines)
    return [replace(one, measured=source) for one in lines]
