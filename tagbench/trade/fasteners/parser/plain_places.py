"""Places that only say where: what also says how a thing is, or what it is not, is kept as words.

`at the top`, `front fork, left` and `under the seat at 6 o'clock` are places; `on the left plate
except the top one`, `was M6 once` and `in the tap, rotten` are remarks, and stand among the words.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.vocabulary import bench_words, fold, look_up

#: States that are names of sides and parts as well: left, split pin, spare wheel.
_NAMES_TOO = frozenset(
    ("left", "split", "spare", "spares", "odd", "loose", "dry", "old", "new", "solo", "sola",
     "seul", "seule", "tight", "weak", "damaged", "rough", "good")
)  # fmt: skip
_TELLING = frozenset(
    (
        "get",
        "buy",
        "order",
        "need",
        "which",
        "who",
        "whose",
        "that",
        "when",
        "where",
        "only",
        "but",
        "so",
        "because",
        "cos",
        "i",
        "my",
    )
)
#: A thread or a size with a cross in it is none of a place.
_SIZE = re.compile(r"\bM[0-9]|[0-9]\s?x\s?[0-9]|[0-9]/[0-9]", re.IGNORECASE)
_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?")


def keep_remarks(lines: Sequence[ParsedLine]) -> None:
    """Moves what is no plain place among the words of its line."""
    for line in lines:
        told = [said for said in line.place if tells_more(said)]
        if told:
            line.place = [said for said in line.place if said not in told]
            line.words += told


#: A bag or box goes by any number.
_BAG = re.compile(r"(?:bag|box|tin|tray|jar|tüte|beutel|sac|bolsa|busta)\b", re.IGNORECASE)


def _without_names(words: Sequence[str]) -> list[str]:
    """The words that stand in no name of a part: of `came de frein`, none."""
    left, at = [], 0
    while at < len(words):
        known = look_up(tuple(words[at:]))
        if known is not None and known[0] > 1 and known[1].place:
            at += known[0]
        else:
            left.append(words[at])
            at += 1
    return left


def tells_more(said: str) -> bool:
    """Whether words of a place say more than where."""
    if _SIZE.search(said) and not _BAG.match(said):
        return True
    words = _without_names([fold(word) for word in _WORD.findall(said)])
    return any(
        word in _TELLING
        or word in bench_words("verb")
        or word in bench_words("negation")
        or word in bench_words("absent")
        or (word in bench_words("condition") and word not in _NAMES_TOO)
        for word in words
    )
