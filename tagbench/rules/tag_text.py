"""The words on a tag: what a person wants to read first on the bag, the box, the spare tag."""

from __future__ import annotations

from collections.abc import Iterator

from labels.face.tagtext import TagLine, TagText
from labels.symbols.payload import payload
from tagbench.records import Bin, Fastener, Part, Tables, replace
from tagbench.rules.bin_contents import inside
from tagbench.rules.bins import kept_in_words
from tagbench.rules.scan import look_up
from tagbench.trade.fasteners.spelling import spell


def tag_text(tables: Tables, code: str, address: str = "") -> TagText:
    """The tag of a part, a bin or a spare code; raises NotFound for a code without a record."""
    record = look_up(tables, code).record
    symbol = payload(code, address or None)
    if isinstance(record, Part):
        return TagText(code, part_title(record), tuple(part_tag_lines(record)), "part", "", symbol)
    if isinstance(record, Bin):
        lines = tuple(bin_tag_lines(tables, record))
        return TagText(code, record.name, lines, "bin", record.kind, symbol)
    return TagText(code, "", (), "spare", "", symbol)


def part_title(part: Part) -> str:
    """The name, with how many there are when there are several, unbroken by a line's end."""
    return f"{part.name} ×\u00a0{part.quantity}" if part.quantity > 1 else part.name


def part_tag_lines(part: Part) -> Iterator[TagLine]:
    """Where from, position, fasteners, how it sat: the order in which they are asked for."""
    if part.assembly or part.position:
        side, rest = side_and_rest(part.position)
        words = " · ".join(said for said in (part.assembly, rest) if said)
        yield TagLine("came from", words or part.position, side=side if words else "")
    if part.fasteners:
        said = "; ".join(spell(_for_the_tag(fastener)) for fastener in part.fasteners)
        yield TagLine("fasteners", said, bold=True)
    if part.sits_how:
        yield TagLine("sits how", part.sits_how)


SIDES = ("left", "right", "upper", "lower", "front", "rear")
"""What tells twins apart; such a word stands white on black on the tag."""


def side_and_rest(position: str) -> tuple[str, str]:
    """The side that a position begins with ("left, behind the drum"), and what else it says."""
    first, _, rest = position.partition(",")
    word = first.strip().casefold()
    word = word.removesuffix("-hand").removesuffix(" hand").removesuffix(" side")
    return (word, rest.strip()) if word in SIDES else ("", position)


def _for_the_tag(fastener: Fastener) -> Fastener:
    """Without the source of the torque: it takes half a tag, and the record has it."""
    if fastener.torque is None:
        return fastener
    return replace(fastener, torque=replace(fastener.torque, source="", typed=""))


def bin_tag_lines(tables: Tables, one: Bin) -> Iterator[TagLine]:
    """Where the bin is, and what lies in it."""
    if one.kept_in:
        yield TagLine("kept", kept_in_words(one.kept_in, tables.bins))
    held = inside(one.code, tables)
    names = [one.words for one in held.contents] + [other.name for other in held.bins]
    if names:
        yield TagLine("inside", ", ".join(names))
