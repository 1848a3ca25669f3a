"""The words of the trade for fasteners, read from `tables/fastener_words.csv`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache

from tagbench.trade.published import read_table

#: Kinds that have a thread; the others are known by a diameter.
THREADED_KINDS = frozenset(
    (
        "screw", "set screw", "bolt", "U-bolt", "stud", "nut", "castle nut", "lock nut",
        "self-locking nut", "captive nut", "rivet nut", "insert", "plug", "drain plug",
        "spark plug", "bleed screw", "grease nipple", "spoke", "spoke nipple",
    )
)  # fmt: skip

#: Washers of these materials are crushed to seal and so renewed.
_CRUSHED_MATERIALS = ("copper", "fibre", "aluminium")

Phrase = tuple[str, ...]


def fold_words(text: str) -> list[str]:
    """The words of a text in lower case, hyphens between letters opened, end points dropped."""
    opened = re.sub(r"(?<=[A-Za-z])[-/](?=[A-Za-z])", " ", text)
    words = (word.strip(".,:'") for word in opened.lower().split())
    return [word for word in words if word]


@cache
def phrases() -> Mapping[Phrase, Mapping[str, str]]:
    """Phrase → what it says: any of kind, head, drive, material."""
    return {
        tuple(row["words"].split()): {
            field: row[field] for field in ("kind", "head", "drive", "material") if row[field]
        }
        for row in read_table("fastener_words")
    }


@cache
def locking_phrases() -> Mapping[Phrase, str]:
    """Phrase → what keeps the fastener from coming loose, in its standard word."""
    return {tuple(row["words"].split()): row["means"] for row in read_table("locking_words")}


@cache
def _single_use() -> frozenset[str]:
    return frozenset(row["means"] for row in read_table("locking_words") if row["single_use"])


def longest_phrase(words: list[str], known: Mapping[Phrase, object]) -> Phrase:
    """The longest known phrase that `words` begin with, a plural s allowed; empty for none."""
    for length in range(min(4, len(words)), 0, -1):
        phrase = tuple(words[:length])
        singular = (*phrase[:-1], phrase[-1].removesuffix("s"))
        for form in (phrase, singular, (*phrase[:-1], phrase[-1].removesuffix("es"))):
            if form in known:
                return form
    return ()


def is_single_use(kind: str, material: str, locking: tuple[str, ...]) -> bool:
    """True when something on the line is renewed at every rebuild.

    Cotter pins by AC 43.13-1B 7-127; lock, tab and crush washers, self-locking nuts, gaskets
    and washers of copper, fibre or aluminium by common practice.
    """
    return bool(single_use_items(kind, material, locking))


def single_use_items(kind: str, material: str, locking: tuple[str, ...]) -> tuple[str, ...]:
    """What on the line is renewed at every rebuild, the fastener itself first."""
    items = (kind, *(re.sub(r" [0-9].*", "", item) for item in locking))
    found = [item for item in items if item in _single_use()]
    crushed = any(word in _CRUSHED_MATERIALS for word in material.split())
    if kind in ("washer", "thrust washer") and crushed:
        found.insert(0, f"{material} washer")
    return tuple(dict.fromkeys(found))


def nearest_word(word: str) -> str:
    """The known word that `word` is probably meant to be, or an empty text."""
    known = {part for phrase in (*phrases(), *locking_phrases()) for part in phrase}
    close = get_close_matches(word.lower(), sorted(known), 1, 0.75)
    return close[0] if close and close[0] != word.lower() else ""
