"""The same again on the other side: `left` → `right`, and every word that is mirrored with it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from tagbench.records import Fastener, Part, replace
from tagbench.rules.places import mirror_clock

_SIDEWAYS = (
    ("left", "right"),
    ("leftmost", "rightmost"),
    ("leftwards", "rightwards"),
    ("l.h.", "r.h."),
    ("lh", "rh"),
    ("nearside", "offside"),
    ("kerb side", "road side"),
    ("drive side", "timing side"),
    ("clockwise", "anticlockwise"),
)
_UPRIGHT = (
    ("upper", "lower"),
    ("top", "bottom"),
    ("uppermost", "lowermost"),
    ("above", "below"),
    ("upwards", "downwards"),
)
_OTHERS = (
    (("front", "rear"), ("forward", "rearward"), ("forwards", "rearwards")),
    (("inner", "outer"), ("inboard", "outboard"), ("inside", "outside")),
    (("inlet", "exhaust"),),
)
_AXES = (_SIDEWAYS, _UPRIGHT, *_OTHERS)
"""What is mirrored together: a thing on the left is the mirror image of that on the right."""
_FRESH = {
    "back": 0, "short": 0, "away": 0, "torqued": None, "passes": (), "renewed": False, "typed": "",
}  # fmt: skip
"""A line of fasteners that nothing has happened to."""


def _pattern(pairs: Sequence[tuple[str, str]]) -> re.Pattern[str]:
    words = sorted((word for pair in pairs for word in pair), key=len, reverse=True)
    # A left-hand thread is that of the screw, whichever side the screw is on.
    thread = r"(?![\w-]*[\s-]*(?:hand(?:ed)?[\s-]*)?thread)"
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, words))})(?![a-z]){thread}", re.IGNORECASE)


_PATTERNS = tuple((_pattern(axis), axis) for axis in _AXES)
_ALL = _pattern([pair for axis in _AXES for pair in axis])


class OtherSide(NamedTuple):
    """What a part on the other side begins with."""

    position: str
    """Its side."""
    sits_how: str
    """How it sits, mirrored."""
    fasteners: tuple[Fastener, ...]
    """Its fasteners, none of them back, their places mirrored."""


def other_side(text: str) -> str:
    """A side or position with its last word for a side turned round; as it is without one.

    `front left` becomes `front right`: what is turned round is the last word.
    """
    found = list(_ALL.finditer(text))
    if not found:
        return text
    last = found[-1]
    return text[: last.start()] + _other(last[0]) + text[last.end() :]


def mirrored(text: str, position: str) -> str:
    """What was written of a part at `position`, as it is on the other side.

    Only the words of the axis that the position turns round change: on the other side of left,
    `front` stays and `clockwise` and `2 o'clock` do not. As it is where the position has no side.
    """
    found = list(_ALL.finditer(position))
    if not found:
        return text
    word = found[-1][0].casefold()
    pattern, axis = next(one for one in _PATTERNS if any(word in pair for pair in one[1]))
    turned = pattern.sub(lambda match: _other(match[0]), text)
    if axis is _SIDEWAYS:
        return mirror_clock(turned, upright=False)
    return mirror_clock(turned, upright=True) if axis is _UPRIGHT else turned


def on_the_other_side(part: Part) -> OtherSide:
    """What the same thing on the other side begins with, its words mirrored."""
    lines = tuple(
        replace(line, **_FRESH, place=mirrored(line.place, part.position))
        for line in part.fasteners
    )
    return OtherSide(other_side(part.position), mirrored(part.sits_how, part.position), lines)


def _other(word: str) -> str:
    plain = word.casefold()
    other = next(pair[1 - pair.index(plain)] for axis in _AXES for pair in axis if plain in pair)
    if word.isupper() and len(word) > 1:
        return other.upper()
    return other.capitalize() if word[0].isupper() else other
