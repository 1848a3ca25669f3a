"""Words of the bench that say several, in the languages that are read."""

from __future__ import annotations

from tagbench.trade.fasteners.vocabulary import fold

#: Words of one thing that end in s.
_SINGULAR = frozenset(("vis", "circlips", "nails", "plus"))
#: How words of several things end in German and Italian.
_PLURALS = (
    "schrauben", "muttern", "scheiben", "federn", "nieten", "splinte", "schellen", "stifte",
    "viti", "dadi", "bulloni", "rondelle", "rivetti", "molle", "spine",
)  # fmt: skip


def is_plural(words: str) -> bool:
    """Whether a word of the bench says several: bolts, Schrauben, dadi."""
    word = (fold(words).split() or [""])[-1]
    if word.endswith("s"):
        return word not in _SINGULAR and not word.endswith(("ss", "cs")) and word != "ms"
    return word.endswith(_PLURALS)
