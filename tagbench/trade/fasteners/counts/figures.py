"""A lone figure behind a name that can only say how many there are: `springs 4`, `seal 1`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from tagbench.trade.fasteners.choices import Meaning, count_options
from tagbench.trade.fasteners.parsed_line import Figure
from tagbench.trade.fasteners.vocabulary import THREADED_KINDS

#: How many of a kind a figure behind its plural says for sure: of most it may be a size from three.
_MOST: Mapping[str, int] = MappingProxyType(
    {"gasket": 12, "spring": 12, "oil seal": 4, "seal": 4, "bearing": 4, "key": 2}
)
_MOST_OF_ANY = 2
#: The end of what is said of a thing.
_ENDS = re.compile(r"\s?(?:$|[,;.()]|-\s)")


def without_counts(said: Meaning, kind: str, figures: list[Figure]) -> list[Figure]:
    """The figures that are sizes; the one that counts is written down as the count."""
    if not figures or not kind or kind == "other":
        return figures
    *sizes, last = figures
    if not _counts(said, kind, last, alone=not sizes):
        return figures
    said.count(last.token.numbers[0].whole)
    return sizes


def _counts(said: Meaning, kind: str, figure: Figure, *, alone: bool) -> bool:
    """Whether it counts: the 1 of `circlip 35 int. 1`, too, stands behind the size."""
    token = figure.token
    bare = len(token.numbers) == 1 and token.text.isdecimal() and not (token.behind or token.cross)
    if not bare or (alone and not figure.behind_kind and said.line.thread is None):
        return False
    if not alone and kind in THREADED_KINDS:
        return False  # adjuster screws 2, pushrods in 1
    number = token.numbers[0]
    if not count_options(said, number) or not _ENDS.match(said.line.text, token.end):
        return False
    if said.line.thread is not None and alone:
        return kind in THREADED_KINDS and _is_below_diameter(said, figure)
    several = alone and said.line.surely_plural and kind not in THREADED_KINDS
    return number.whole <= (_MOST.get(kind, _MOST_OF_ANY) if several else 1)


def _is_below_diameter(said: Meaning, figure: Figure) -> bool:
    """The 2 of `bolts M10, 2, with sleeves`: no bolt is shorter than it is thick."""
    thread = said.line.thread.thread if said.line.thread is not None else None
    if thread is None or not said.line.surely_plural or thread.system != "ISO metric":
        return False
    return figure.token.numbers[0].whole < thread.diameter_mm
