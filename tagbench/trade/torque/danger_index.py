"""The tables of dangerous parts and harmless things, put in order for looking up one word.

Reading the tables and finding out what begins how takes longer than a whole command, so it is
done once, into `trade/tables/danger_index.json`. After a change of `danger_parts.csv`,
`harmless_words.csv` or `heads.csv` it is written anew with
`python -m tagbench.trade.torque.danger_index`; a test holds it to the tables.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from pathlib import Path
from typing import Literal

import msgspec

from tagbench.trade.published import read_table
from tagbench.trade.torque.word_forms import first_sound, folded, roots, words_in

LANGUAGES = ("en", "de", "fr", "es", "it")
BEGIN = 2
"""Letters by which the terms are put apart; an ending that makes a plural changes none of them."""
WORD = re.compile(r"[^\W\d_]+")
_ONE_SLIP = {"en": 5, "de": 6, "fr": 6, "es": 6, "it": 6}
"""Least letters of a term that is looked for with one slip, by language."""
_TWO_SLIPS = 10
"""Least letters of one that is looked for with two."""
_SHORT = 4
"""Letters of an English term whose slips are only a swap or a letter too many."""
_FILE = Path(__file__).parents[1] / "tables" / "danger_index.json"


class Danger(msgspec.Struct, frozen=True):
    """Why no figure may be estimated for a fastener."""

    part: str
    """What it belongs to or is: `brake shoe`, `wheel nut`, `hollow screw`."""
    group: str
    """The family of such parts: `brake`, `wheel`, `plug`."""
    how: Literal["place", "kind"]
    """place: what it holds is dangerous; kind: the fastener itself has no such figure."""
    reason: str
    """What can happen, one sentence."""


class Begun(msgspec.Struct, array_like=True):
    """The terms that begin with the same two letters, as the tables write them, in their order."""

    terms: list[tuple[int, str, str]] = msgspec.field(default_factory=list)
    """Number of the danger, language, term."""
    phrases: list[str] = msgspec.field(default_factory=list)
    """What is harmless, in any language."""


class DangerIndex(msgspec.Struct):
    """All of it; words folded but for those of `begun`."""

    dangers: list[Danger]
    dropped: frozenset[str]
    """Words that say nothing: `the`, `left`."""
    harmless_stems: tuple[str, ...]
    """What begins a German compound that is harmless."""
    heads: frozenset[str]
    """Things that carry no load, where a name is about them."""
    fronts: frozenset[str]
    """The same where they stand first."""
    ends: tuple[str, ...]
    """The same at the end of a German compound."""
    fasteners: frozenset[str]
    """Words that are looked past to find that thing."""
    splits: frozenset[str]
    """Words that begin what the thing belongs to."""
    known: str
    """Words that are spelled as they should be, so never a slip for another, with blanks."""
    begun: dict[str, msgspec.Raw]
    """Two letters → what begins with them, a `Begun`."""
    near: dict[str, list[tuple[str, int, int]]]
    """First sound → what begins with it: term, slips it may hide, number of the danger."""


def read_index() -> DangerIndex:
    """The index as it is kept."""
    return msgspec.json.decode(_FILE.read_bytes(), type=DangerIndex)


def index_of_tables() -> bytes:
    """The index as the tables say, one field a line."""
    lists = _harmless_lists()
    dropped = {folded(word) for word in lists["drop"]}
    dangers, terms = _dangers()
    texts = [*(term for _, _, term in terms), *(t for kind in lists.values() for t in kind)]
    begun: dict[str, Begun] = {}
    near: dict[str, dict[str, tuple[str, int, int]]] = {}
    for number, language, term in terms:
        for begin in _begins(term, dropped):
            begun.setdefault(begin, Begun()).terms.append((number, language, term))
        plain = _joined(term, dropped)
        most = None if term.endswith("-") else _slips_hidden(plain, language)
        if most is not None:
            near.setdefault(first_sound(plain), {}).setdefault(plain, (plain, most, number))
    for phrase in lists["phrase"]:
        for begin in _begins(phrase, dropped):
            begun.setdefault(begin, Begun()).phrases.append(phrase)
    index = DangerIndex(
        dangers=dangers,
        dropped=frozenset(dropped),
        harmless_stems=tuple(folded(t[:-1]) for t in lists["phrase"] if t.endswith("-")),
        heads=frozenset(_joined(term, dropped) for term in lists["head"]),
        fronts=frozenset(_joined(term, dropped) for term in lists["front"]),
        ends=tuple(folded(word) for word in lists["end"]),
        fasteners=frozenset(folded(word) for word in lists["fastener"]),
        splits=frozenset(folded(word) for word in lists["split"]),
        known=" ".join(sorted(set(words_in("\n".join(texts))))),
        begun={
            begin: msgspec.Raw(msgspec.json.encode(one)) for begin, one in sorted(begun.items())
        },
        near={sound: list(found.values()) for sound, found in sorted(near.items())},
    )
    lines = (
        b'"%s":%s' % (name.encode(), msgspec.json.encode(getattr(index, name), order="sorted"))
        for name in index.__struct_fields__
    )
    return b"{" + b",\n".join(lines) + b"}\n"


def _dangers() -> tuple[list[Danger], list[tuple[int, str, str]]]:
    """Each dangerous part, and each term for one: number, language, term."""
    dangers: list[Danger] = []
    terms: list[tuple[int, str, str]] = []
    for number, row in enumerate(read_table("danger_parts")):
        how: Literal["place", "kind"] = "kind" if row["how"] == "kind" else "place"
        dangers.append(Danger(row["part"], row["group"], how, row["reason"]))
        terms += [
            (number, language, term)
            for language in LANGUAGES
            for term in filter(None, row[language].split("|"))
        ]
    return dangers, terms


def _harmless_lists() -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for row in read_table("harmless_words"):
        found.setdefault(row["kind"], []).extend(row["words"].split("|"))
    found["phrase"] += [f"{row['head']} head" for row in read_table("heads")]
    return found


def _joined(term: str, dropped: Collection[str]) -> str:
    return "".join(word for word in words_in(term) if word not in dropped)


def _begins(term: str, dropped: Collection[str]) -> set[str]:
    """The letters that a term begins with, one way or, with an umlaut, two."""
    words = [word for word in WORD.findall(term) if folded(word) not in dropped]
    return {way[:BEGIN] for way in _ways(words)} - {""}


def _ways(words: list[str]) -> Iterator[str]:
    """The terms in one word, its first with two letters for an umlaut too."""
    rest = "".join(map(folded, words[1:]))
    for root in roots(words[0], "de") if words else ():
        yield root + rest


def _slips_hidden(plain: str, language: str) -> int | None:
    """How many slips a term may hide: none in a short one, where only a swap or addition counts."""
    if len(plain) >= _ONE_SLIP[language]:
        return 2 if len(plain) >= _TWO_SLIPS else 1
    return 0 if len(plain) == _SHORT and language == "en" else None


if __name__ == "__main__":
    _FILE.write_bytes(index_of_tables())
