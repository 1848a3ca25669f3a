"""The same again on the other side: `left` → `right`, and what changes with it."""

from __future__ import annotations

import re

_SIDES = (
    ("left", "right"),
    ("l.h.", "r.h."),
    ("lh", "rh"),
    ("front", "rear"),
    ("upper", "lower"),
    ("top", "bottom"),
    ("inner", "outer"),
    ("inboard", "outboard"),
    ("nearside", "offside"),
    ("kerb side", "road side"),
    ("drive side", "timing side"),
    ("inlet", "exhaust"),
)
_OTHER = {one: other for pair in _SIDES for one, other in (pair, pair[::-1])}
_WORDS = re.compile(rf"\b(?:{'|'.join(map(re.escape, _OTHER))})(?![a-z])", re.IGNORECASE)


def other_side(text: str) -> str:
    """A side or position with its last word for a side turned round; as it is without one.

    `front left` becomes `front right`: what is turned round is the last word.
    """
    found = list(_WORDS.finditer(text))
    if not found:
        return text
    last = found[-1]
    other = _OTHER[last[0].casefold()]
    other = other.capitalize() if last[0][:1].isupper() else other
    return text[: last.start()] + other + text[last.end() :]
