"""What to look for by kind of part, and the readings it usually wants."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, lru_cache
from types import MappingProxyType
from typing import NamedTuple

from tagbench.records import Part, Reading
from tagbench.rules.find.words import stems
from tagbench.rules.table import read_table


class PartKind(NamedTuple):
    """A kind of part; common practice, no source, unless a reading names one."""

    name: str
    """What the kind is called: `brake shoe`."""
    look_for: tuple[str, ...]
    """What to look for, most telling first."""
    lube: str
    """What it is usually lubed with; empty for kinds that are kept dry."""
    renew: bool
    """Whether it is renewed at every rebuild."""
    readings: tuple[Reading, ...]
    """What is usually measured, with the usual limit where there is one, without values."""
    adjusted: frozenset[str]
    """Which of them are set at the rebuild, so that a figure outside its range is no wear."""


@cache
def kinds() -> Mapping[str, PartKind]:
    """All kinds by name."""
    return MappingProxyType({row["kind"]: _kind(row) for row in read_table("inspect")})


def _kind(row: Mapping[str, str]) -> PartKind:
    measured = [line for line in read_table("readings") if line["kind"] == row["kind"]]
    return PartKind(
        name=row["kind"],
        look_for=_pieces(row["look_for"]),
        lube=row["lube"],
        renew=row["renew"] == "yes",
        readings=tuple(map(_reading, measured)),
        adjusted=frozenset(line["what"] for line in measured if line["adjust"] == "yes"),
    )


def _pieces(text: str) -> tuple[str, ...]:
    return tuple(piece.strip() for piece in text.split(";") if piece.strip())


def _reading(row: Mapping[str, str]) -> Reading:
    return Reading(
        what=row["what"],
        unit=row["unit"],
        low=float(row["low"]) if row["low"] else None,
        high=float(row["high"]) if row["high"] else None,
        source=row["source"],
    )


@cache
def _names() -> Mapping[tuple[str, ...], str]:
    """How parts of a kind are called, in compared words → the kind."""
    return {
        stems(word): row["kind"]
        for row in read_table("inspect")
        for word in (row["kind"], *row["words"].split("|"))
    }


def part_kind(part: Part) -> PartKind | None:
    """The kind of a part: as the person said, else as its name says; None when neither does."""
    return kind_named(part.kind) or kind_named(part.name)


def kind_named(text: str) -> PartKind | None:
    """The kind that a name says: its last word counts, so a `cable bracket` is no cable."""
    name = _recognised(text)
    return kinds()[name] if name else None


_ASIDE = re.compile(r"[,(;:]| for | of | with | from | on ")
_MODIFIERS = frozenset(
    (
        *("left", "right", "lh", "rh", "front", "rear", "upper", "lower", "inner", "outer", "top"),
        *("bottom", "assembly", "set", "complete", "kit", "pair", "old", "new", "spare", "main"),
        *("large", "small", "long", "short", "no", "side", "end", "half", "2", "a", "b"),
    )
)


@lru_cache(maxsize=16384)
def _recognised(text: str) -> str:
    """The kind whose longest name ends the text, side words and what is said aside left out."""
    words = list(stems(_ASIDE.split(f"{text} ")[0]))
    while len(words) > 1 and (words[-1] in _MODIFIERS or words[-1].isdecimal()):
        words.pop()
    for begin in range(len(words)):
        name = _names().get(tuple(words[begin:]))
        if name:
            return name
    return ""
