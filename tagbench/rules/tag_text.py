"""The words on a tag: what a person wants to read first on the bag, the box, the spare tag."""

from __future__ import annotations

from collections.abc import Iterator

from labels.payload import payload
from labels.tagtext import TagLine, TagText
from tagbench.records import Bin, Part, Tables
from tagbench.rules.bins import inside, kept_in
from tagbench.rules.scan import look_up
from tagbench.trade.fastener_spelling import spell


def tag_text(tables: Tables, code: str, address: str = "") -> TagText:
    """The tag of a part, a bin or a spare code; raises NotFound for a code without a record."""
    record = look_up(tables, code).record
    symbol = payload(code, address or None)
    if isinstance(record, Part):
        return TagText(code, part_title(record), tuple(part_lines(record)), "part", "", symbol)
    if isinstance(record, Bin):
        lines = tuple(bin_lines(tables, record))
        return TagText(code, record.name, lines, "bin", record.kind, symbol)
    return TagText(code, "", (), "spare", "", symbol)


def part_title(part: Part) -> str:
    """The name, with how many there are when there are several."""
    return f"{part.name} × {part.quantity}" if part.quantity > 1 else part.name


def part_lines(part: Part) -> Iterator[TagLine]:
    """Where from, position, fasteners, how it sat: the order in which they are asked for."""
    if part.assembly:
        yield TagLine("came from", part.assembly)
    if part.position:
        yield TagLine("position", part.position)
    if part.fasteners:
        yield TagLine("fasteners", "; ".join(map(spell, part.fasteners)), bold=True)
    if part.sits_how:
        yield TagLine("sits how", part.sits_how)


def bin_lines(tables: Tables, one: Bin) -> Iterator[TagLine]:
    """Where the bin is, and what lies in it."""
    outside = kept_in(one.kept_in, tables.bins)
    if outside:
        yield TagLine("kept in", "in " + ", in ".join(outside))
    held = inside(one.code, tables)
    names = [part.name for part in held.parts] + [other.name for other in held.bins]
    if names:
        yield TagLine("inside", ", ".join(names))
