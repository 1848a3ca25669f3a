"""Questions as cold fingers type them: slips in each word, or no blanks between the words."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from labels.code import make_code
from tagbench.records import Part, Tables
from tagbench.rules.stripping.completion import common_names

_ROWS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
_SHORT = 4
"""A word shorter than this is typed right: two slips would leave nothing of it."""
SIDES = ("", "left", "right", "upper", "lower")


@dataclass(frozen=True)
class Question:
    """What was typed, and what it is about."""

    text: str
    name: str
    assembly: str
    position: str

    def is_answered_by(self, part: Part) -> bool:
        """Whether a part is the one that was asked for, or alike in all that was typed."""
        mine = (self.name, self.assembly, self.position)
        return (part.name, part.assembly, part.position) == mine


def large_book(count: int, seed: int) -> Tables:
    """So many parts, called and placed as in the program's own table of common names."""
    dice = random.Random(seed)
    names, places = common_names("name"), common_names("assembly")
    parts = {}
    for order in range(1, count + 1):
        code = make_code("TP", order)
        name, place = dice.choice(names), dice.choice(places)
        side = dice.choice(SIDES)
        parts[code] = Part(code=code, name=name, assembly=place, position=side, order=order)
    return Tables(parts=parts)


def _slip(word: str, dice: random.Random) -> str:
    """One slip inside the word: two letters changed round, one left out, doubled, or the key
    beside it."""
    at = dice.randrange(1, len(word) - 1)
    kind = dice.choice(("round", "out", "double", "beside"))
    if kind == "round":
        return word[:at] + word[at + 1] + word[at] + word[at + 2 :]
    if kind == "out":
        return word[:at] + word[at + 1 :]
    if kind == "double":
        return word[:at] + word[at] + word[at:]
    return word[:at] + dice.choice(_beside(word[at])) + word[at + 1 :]


def _beside(letter: str) -> Sequence[str]:
    for row in _ROWS:
        at = row.find(letter)
        if at >= 0:
            return [row[n] for n in (at - 1, at + 1) if 0 <= n < len(row)]
    return [letter]


def with_slips(word: str, slips: int, dice: random.Random) -> str:
    """The word with so many slips, each made on what the one before left; never the word itself."""
    if len(word) < _SHORT or not word.isalpha():
        return word
    typed = word
    while typed == word:
        for _ in range(slips):
            typed = _slip(typed, dice) if len(typed) >= _SHORT else typed
    return typed


def questions(tables: Tables, count: int, seed: int) -> Iterator[tuple[list[str], Question]]:
    """The words of so many questions, with the part that each is about."""
    dice = random.Random(seed)
    parts = list(tables.parts.values())
    for _ in range(count):
        part = dice.choice(parts)
        said = f"{part.position} {part.name} {part.assembly}".replace("/", " ").casefold()
        yield said.split(), Question("", part.name, part.assembly, part.position)
