"""What is said about a bag, box, tray, drawer or shelf: where it is and what is in it."""

from __future__ import annotations

from typing import NamedTuple

from tagbench.records import Bin, Tables
from tagbench.rules.bin_contents import Content, inside
from tagbench.rules.bins import bin_words, kept_in_words, path_words
from tagbench.rules.describe.fact import Fact, PartName, part_name
from tagbench.rules.describe.phrases import plural

EMPTY = "empty"
"""Said of a bin with nothing in it."""


class BinFacts(NamedTuple):
    """One bin."""

    code: str
    """Its code."""
    name: str
    """With its kind: `bag Front brake 3`."""
    path: str
    """The whole way to it: `bag Front brake 3, in box 2, on shelf A`."""
    where: Fact
    """`in box 2, on shelf A`, or `in no other bin`."""
    holds: Fact
    """`2 bins, 5 parts, 12 more parts inside those`, or `empty`; the figure counts all parts."""
    bins: tuple[Bin, ...]
    """The bins directly in it, by name."""
    parts: tuple[PartName, ...]
    """What lies directly in it, in removal order: parts, old and new pieces, fasteners of parts."""
    note: Fact
    """Anything else."""


def describe_bin(tables: Tables, one: Bin) -> BinFacts:
    """One bin and what is in it."""
    held = inside(one.code, tables)
    where = kept_in_words(one.kept_in, tables.bins) if one.kept_in else "in no other bin"
    words = [
        plural(len(held.bins), "bin") if held.bins else "",
        plural(held.pieces, "part") if held.pieces else "",
        f"fasteners of {plural(left, 'more part')}"
        if (left := len(held.contents) - held.pieces)
        else "",
        f"{plural(held.deeper, 'more part')} inside those" if held.deeper else "",
    ]
    every = held.pieces + held.deeper
    return BinFacts(
        code=one.code,
        name=bin_words(one),
        path=path_words(one.code, tables.bins),
        where=Fact("where", where),
        holds=Fact("holds", ", ".join(filter(None, words)) or EMPTY, figures=(every,)),
        bins=held.bins,
        parts=tuple(map(_content_name, held.contents)),
        note=Fact("note", one.note),
    )


def _content_name(one: Content) -> PartName:
    """The part by code, and what of it lies there."""
    name = part_name(one.part)
    return name if one.piece == "part" else name._replace(name=one.words)
