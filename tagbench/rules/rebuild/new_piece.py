"""Which piece goes on where a part is replaced: the new one and where it is, not the old one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from tagbench.records import Part, Tables, Want
from tagbench.rules.bins import kept_in_words, path_words
from tagbench.rules.care.pieces import is_new
from tagbench.rules.count.fastener_lines import in_bag
from tagbench.rules.describe.phrases import day, named

NOT_FOR_FITTING = "not for fitting"


class NewPiece(NamedTuple):
    """What to say about the two pieces of a part that is replaced."""

    fit: str
    """`fit the NEW one: bag 12, in box 2`, `fit the NEW one: arrived 2026-03-12 from the mill`."""
    where: str
    """The same without the first words: a path of bins, or how it came."""
    old: str
    """`the old one is in bag 7, not for fitting`; empty once it is gone."""


def new_piece(tables: Tables, part: Part) -> NewPiece | None:
    """The pieces of a part that is replaced, or None where the one that came off goes on."""
    if part.verdict != "replace":
        return None
    where = _where(tables, part)
    old = f"the old one is {kept_in_words(part.bin, tables.bins)}, {NOT_FOR_FITTING}"
    return NewPiece(
        f"fit the NEW one: {where}", where, "" if part.old_piece in ("gone", "exchanged") else old
    )


def kept_lines(tables: Tables, part: Part) -> list[str]:
    """Where the part is kept; where it is replaced, the new one to fit and the old one."""
    new = new_piece(tables, part)
    if new is None:
        return [kept_in_words(part.bin, tables.bins)]
    return list(filter(None, [new.fit, new.old]))


def to_fetch(tables: Tables, part: Part) -> Iterator[str]:
    """The bags to fetch before the part goes on, and what in them is not for fitting."""
    new = new_piece(tables, part)
    bag = path_words(part.bin, tables.bins)
    if new is None:
        yield from filter(None, [bag])
        return
    yield new.where if part.new_bin else f"the NEW {named(part)}: {new.where}"
    if bag and any(map(in_bag, part.fasteners)):
        lies = f"; the old {part.name} in it is {NOT_FOR_FITTING}" if new.old else ""
        yield f"{bag}, for the fasteners{lies}"


def _where(tables: Tables, part: Part) -> str:
    if part.new_bin in tables.bins:
        return path_words(part.new_bin, tables.bins)
    if not is_new(part):
        return "not here yet"
    if part.make is not None and part.make.made:
        return "made by hand"
    came = [want for want in tables.wants.values() if part.code in want.parts and want.arrived]
    return _arrival(max(came, key=lambda want: (want.arrived, want.id))) if came else "here"


def _arrival(want: Want) -> str:
    by = f" from {want.supplier}" if want.supplier else ""
    when = f"arrived {day(want.arrived)}" if want.arrived else "here"
    return f"{when}{by}, want {want.id}"
