"""The order in which a line is drawn where scripts from right to left stand in it.

The Unicode Bidirectional Algorithm (UAX #9, Unicode 15.1) for one line without explicit marks,
which are never drawn: rules P2-P3, W1-W7, N1-N2, I1-I2, L1, L2 and L4.
"""

import unicodedata
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple

_STRONG = ("L", "R", "AL")
_NEUTRAL = ("B", "S", "WS", "ON")


class Run(NamedTuple):
    """A stretch of text that goes one way, as it is read."""

    text: str
    leftwards: bool


def goes_left(text: str) -> bool:
    """Whether anything in the text is written from right to left."""
    return any(unicodedata.bidirectional(c) in ("R", "AL", "AN") for c in text)


@lru_cache(maxsize=2048)
def visual_runs(text: str) -> tuple[Run, ...]:
    """The runs from left to right as they are drawn."""
    levels = embedding_levels(text)
    pairs = zip(levels, text, strict=True)
    runs = [
        (level, "".join(character for _, character in run))
        for level, run in groupby(pairs, key=lambda pair: pair[0])
    ]
    highest = max((level for level, _ in runs), default=0)
    for level in range(highest, 0, -1):  # L2: what is at a level or above is turned round
        at = 0
        while at < len(runs):
            end = at
            while end < len(runs) and runs[end][0] >= level:
                end += 1
            runs[at:end] = reversed(runs[at:end])
            at = max(end, at + 1)
    return tuple(Run(part, level % 2 == 1) for level, part in runs)


_MIRRORED = str.maketrans("()[]{}<>«»‹›", ")(][}{><»«›‹")


def mirrored(text: str) -> str:
    """Signs that go left, such as brackets, turned round (L4)."""
    return text[::-1].translate(_MIRRORED)


def embedding_levels(text: str) -> list[int]:
    """The level of each character: even goes right, odd goes left."""
    types = [unicodedata.bidirectional(character) or "L" for character in text]
    first = next((one for one in types if one in _STRONG), "L")
    base = 0 if first == "L" else 1
    start = "R" if base else "L"
    _weak(types, start)
    _neutral(types, start)
    rises = ({"R": 1, "AN": 2, "EN": 2}, {"L": 1, "AN": 1, "EN": 1})[base]
    levels = [base + rises.get(one, 0) for one in types]
    for at in range(len(text) - 1, -1, -1):  # L1
        if not text[at].isspace():
            break
        levels[at] = base
    return levels


def _weak(types: list[str], start: str) -> None:
    """W1 to W7: marks, numbers and their separators."""
    for at, one in enumerate(types):  # W1
        if one == "NSM":
            types[at] = types[at - 1] if at else start
    _arabic(types, start)
    _separators(types)
    _terminators(types)
    strong = start
    for at, one in enumerate(types):  # W7
        if one in ("L", "R"):
            strong = one
        elif one == "EN" and strong == "L":
            types[at] = "L"


def _arabic(types: list[str], start: str) -> None:
    """W2 and W3: numbers behind Arabic letters are Arabic ones."""
    strong = start
    for at, one in enumerate(types):  # W2, W3
        if one in _STRONG:
            strong = one
            if one == "AL":
                types[at] = "R"
        elif one == "EN" and strong == "AL":
            types[at] = "AN"


def _separators(types: list[str]) -> None:
    """W4: a sign between two numbers is a part of them."""
    for at in range(1, len(types) - 1):  # W4
        before, after = types[at - 1], types[at + 1]
        if before == after and (
            (types[at] == "ES" and before == "EN") or (types[at] == "CS" and before in ("EN", "AN"))
        ):
            types[at] = before


def _terminators(types: list[str]) -> None:
    """W5: signs such as % beside a number belong to it; W6: those that do not are neutral."""
    at = 0
    while at < len(types):
        end = at
        while end < len(types) and types[end] == "ET":
            end += 1
        if end > at:
            beside = types[at - 1 : at] + types[end : end + 1]
            types[at:end] = ["EN" if "EN" in beside else "ON"] * (end - at)
        at = end + 1
    for place, one in enumerate(types):
        if one in ("ES", "CS", "ET"):
            types[place] = "ON"


def _neutral(types: list[str], start: str) -> None:
    """N1: neutrals between two of one way go that way; N2: others go the line's way."""
    at = 0
    while at < len(types):
        if types[at] not in _NEUTRAL:
            at += 1
            continue
        end = at
        while end < len(types) and types[end] in _NEUTRAL:
            end += 1
        before = _way(types[at - 1]) if at else start
        after = _way(types[end]) if end < len(types) else start
        types[at:end] = [before if before == after else start] * (end - at)
        at = end


def _way(one: str) -> str:
    return "L" if one == "L" else "R"
