"""What a clause of a note does: it names a thing of the bag, counts one, or tells of one."""

from __future__ import annotations

import re

from tagbench.trade.fasteners.patterns import SMALL_COUNT
from tagbench.trade.fasteners.remark_clauses import names_piece
from tagbench.trade.fasteners.tokens import tokens
from tagbench.trade.fasteners.vocabulary import bench_roles, fold

_N = rf"(?:{SMALL_COUNT})"
#: So many, behind a name or a size: screws x 4, M6x20 x4; the 60 of M6x60 counts nothing.
TIMES_N = rf"(?:(?<=[^\W\d_])\s?x\s?{_N}|(?<=[0-9)\"])\sx(?:1[0-2]|[1-9]))"
#: How many there are, at the end of a sentence: , 4 off; x3; , 1 pair; (2).
COUNT_BEHIND = re.compile(
    rf"(?:(?:[,:]\s|\s-\s|\s){_N}\s?(?:off|of|no|nos|pcs|pieces|pair|prs?|stück|stk|pz)\.?"
    rf"|{TIMES_N}|,\s{_N}|\s\({_N}\)|(?<=[^\W\d_]s)\s{_N})$",
    re.IGNORECASE,
)
#: The same with words behind it: 2 off, perished.
COUNT_WITHIN = re.compile(rf"[^\W\d_].*,\s{_N}\soff\b", re.IGNORECASE)


def is_thing(sentence: str) -> bool:
    """Whether it counts or names a thing of the bag."""
    counted = COUNT_BEHIND.search(sentence) or COUNT_WITHIN.search(sentence)
    counted = counted or re.match(rf"\(?{_N}\)?\s?x?\s", sentence, re.IGNORECASE)
    return bool(counted) or any(map(names_piece, tokens(sentence)))


def begins_remark(sentence: str) -> bool:
    """Whether it speaks of things and brings none: One nut not original."""
    words = [fold(word) for word in re.findall(r"[^\W\d_]+", sentence)]
    opened = bool(words) and words[0] in _OPENS_REMARK
    told = bool(words) and bool(bench_roles(words[0]) & {"negation", "chore"})
    return (
        opened
        or told
        or _ORDINAL.match(sentence) is not None
        or any(bench_roles(word) & {"verb"} for word in words)
    )


def is_sure(clause: str) -> bool:
    """Whether a clause is a fastener, or has the size of one."""
    return any(
        token.kind in ("thread", "gauge", "bearing") or (token.entry and token.entry.kind)
        for token in tokens(clause)
    )


_OPENS_REMARK = frozenset(
    ("the", "one", "both", "all", "some", "each", "should", "other", "others", "fourth", "third")
)
#: The 4th of some that are counted.
_ORDINAL = re.compile(r"[0-9]+(?:st|nd|rd|th)\b", re.IGNORECASE)
