"""The readings that are offered of a doubtful word, each in a few plain words.

Whoever offers a reading takes its words from here, so that the same one is said alike on the
screens, on the phone and by the commands: `M8x1.25`, `spanner 13 mm`, `20 mm long`, `4 of them`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

import msgspec


class Option(msgspec.Struct, frozen=True):
    """One reading of a doubtful word."""

    says: str
    """The reading in words: `4 of them`, `4 mm long`."""
    meaning: str
    """The same for the reader, to be handed back in `picks`."""


def of_them(many: int) -> Option:
    """A figure that is how many there are."""
    return Option(f"{many} of them", f"count:{many}")


def in_all(many: int) -> Option:
    """How many there are where a part of them was counted: the 4 of `2 each side`."""
    return Option(f"{many} in all", f"count:{many}")


def threaded(designation: str, many: int = 0) -> Option:
    """A thread by its standard name, or so many of it."""
    thread = Option(designation, f"thread:{designation}")
    return several(many, thread) if many else thread


def numbered(kind: str, number: str) -> Option:
    """A kind whose sizes are numbers: `wood screw #8`."""
    return Option(f"{kind} #{number}", f"kind:{kind}|number:#{number}")


def turned_by(tool: str) -> Option:
    """A tool with its size: `spanner 13 mm`."""
    return Option(tool, f"tool:{tool}")


def size_as(size: str, word: str, field: str) -> Option:
    """A size with its unit, and the word for which of the sizes it is: `20 mm inside`."""
    return Option(f"{size} {word}", f"{field}:{size}")


def size_long(size: str) -> Option:
    """The length of a fastener."""
    return size_as(size, "long", "length")


def size_across(size: str) -> Option:
    """The diameter of a fastener."""
    return size_as(size, "across", "diameter")


def size_inside(size: str) -> Option:
    """The hole of a ring."""
    return size_as(size, "inside", "diameter")


def size_outside(size: str) -> Option:
    """How wide a ring is over all."""
    return size_as(size, "outside", "length")


def size_thick(size: str) -> Option:
    """How thick a ring or disc is."""
    return size_as(size, "thick", "thickness")


def several(many: int, thing: Option) -> Option:
    """So many of one thread or size: `6 of 1/4-20 UNC`."""
    return Option(f"{many} of {thing.says}", f"count:{many}|{thing.meaning}")


def together(*options: Option) -> Option:
    """A word that says several things: `M5x0.8, 10 mm long`."""
    return Option(
        ", ".join(option.says for option in options),
        "|".join(option.meaning for option in options),
    )


class SharedWords(NamedTuple):
    """Several readings with the words that they share said once: `20 mm`, (`inside`, `outside`)."""

    before: str
    """The words that all begin with, a blank behind them."""
    each: tuple[str, ...]
    """Where they differ, in their order."""
    behind: str
    """The words that all end with, a blank before them."""


def shared_words(options: Iterable[Option]) -> SharedWords:
    """`2 of them`, `3 of them` as 2, 3 `of them`; those that share no words in full."""
    said = [option.says.split() for option in options]
    if len(said) > 1 and _are_words(said[0][1:]) and _all_alike(words[1:] for words in said):
        firsts, [_, *rest] = tuple(words[0] for words in said), said[0]
        return SharedWords("", firsts, f" {' '.join(rest)}")
    if len(said) > 1 and _is_size(said[0][:-1]) and _all_alike(words[:-1] for words in said):
        return SharedWords(f"{' '.join(said[0][:-1])} ", tuple(words[-1] for words in said), "")
    return SharedWords("", tuple(" ".join(words) for words in said), "")


def _all_alike(pieces: Iterable[Sequence[str]]) -> bool:
    return len(set(map(tuple, pieces))) == 1


def _are_words(said: Sequence[str]) -> bool:
    """Whether there is nothing in it that is read as a figure of its own."""
    return bool(said) and all(word.isalpha() for word in said)


def _is_size(said: Sequence[str]) -> bool:
    """Whether it is a figure and its unit."""
    return said[1:] in (["mm"], ["in"])
