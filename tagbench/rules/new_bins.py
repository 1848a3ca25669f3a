"""A bin that a name has just made, and the one whose name it is much like: a slip of the pen?"""

from __future__ import annotations

from collections.abc import Iterator
from difflib import SequenceMatcher
from itertools import zip_longest

from tagbench.records import Bin
from tagbench.rules.bins import Bins, bins_around, same_name

NEAR, FAR_APART = 0.5, 2
"""Words are near when they begin alike, half of their letters agree, and one is at most so many
letters longer: `bocks` and `box`, but not `piston` and `pin`. Tried on names, no source."""
SHORTEST = 3
"""Letters of a word that may be a slip; the A and B of two bags are no slip."""


def new_bin_words(code: str, before: Bins, after: Bins) -> str:
    """`Shoe bocks is a new bag; if you meant Shoe box (BIN-004-E), put it there.`; else empty.

    `code` is the bin that a path led to; `before` and `after` are the bins around the change.
    """
    return " ".join(
        f"{one.name} is a new {one.kind}; if you meant {other.name} ({other.code}), put it there."
        for one, other in _look_alikes(code, before, after)
    )


def new_bin_note(code: str, before: Bins, after: Bins) -> str:
    """The same as the end of the words of a change: `, Shoe bocks being a new bag, much like
    Shoe box BIN-004-E`."""
    return "".join(
        f", {one.name} being a new {one.kind}, much like {other.name} {other.code}"
        for one, other in _look_alikes(code, before, after)
    )


def _look_alikes(code: str, before: Bins, after: Bins) -> Iterator[tuple[Bin, Bin]]:
    for one in bins_around(code, after):
        if one.code not in before:
            other = similar_bin(one, before)
            if other is not None:
                yield one, other


def similar_bin(one: Bin, bins: Bins) -> Bin | None:
    """The bin with the name most like another one's, if it may have been meant."""
    name = same_name(one.name)
    alike = [other for other in bins.values() if _alike(name, same_name(other.name))]
    return max(
        alike,
        key=lambda other: SequenceMatcher(None, name, same_name(other.name)).ratio(),
        default=None,
    )


def _alike(name: str, other: str) -> bool:
    """Whether two different names may be one, word by word; figures are never a slip."""
    if name == other:
        return False
    if name.replace(" ", "") == other.replace(" ", ""):
        return True
    return all(_near(*pair) for pair in zip_longest(name.split(), other.split(), fillvalue=""))


def _near(word: str, other: str) -> bool:
    if word == other:
        return True
    if min(len(word), len(other)) < SHORTEST or not (word + other).isalpha():
        return False
    alike = word[0] == other[0] and abs(len(word) - len(other)) <= FAR_APART
    return alike and SequenceMatcher(None, word, other).ratio() >= NEAR
