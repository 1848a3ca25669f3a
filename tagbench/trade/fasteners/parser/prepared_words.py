"""What the preparing steps share: how many a token says, and what it may stand for."""

from __future__ import annotations

import re

import msgspec

from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import (
    PhraseMeaning,
)

#: More than so many of one length are not listed by their length.
LIKELY_COUNT = 12


#: Before a thing they say that it is one.
ONE = frozenset(("a", "an", "ein", "eine", "un", "une", "una", "uno"))


#: What only says where something sat.
PLACE = PhraseMeaning(place=True)
#: A thing that is no known fastener.
THING = PhraseMeaning(kind="other")


def how_many(token: Token | None) -> int:
    """How many a lone figure or count may say; 0 for any other token."""
    if token is None:
        return 0
    if token.count or not token.numbers:
        return token.count
    alone = len(token.numbers) == 1 and not token.behind and not token.cross
    return token.numbers[0].whole if alone else 0


#: `3 long`, `x6 long`, `3long`.
_FIGURE_AND_SORT = re.compile(r"((?:x\s?)?[0-9]+)\s?([^\W\d_]+)", re.IGNORECASE)


def sort_apart(token: Token) -> tuple[Token, Token] | None:
    """The figure and the word of `3 long`, `x6 long` or `3long`, for where they count one sort.

    None where they say a size: l=5, 3 mm long.
    """
    typed = _FIGURE_AND_SORT.fullmatch(token.text)
    if typed is None or len(token.numbers) != 1 or token.numbers[0].unit:
        return None
    end = token.start + typed.end(1)
    figure = msgspec.structs.replace(token, text=typed[1], end=end, behind="")
    return figure, Token("phrase", typed[2], token.start + typed.start(2), token.end, entry=PLACE)


def as_count(figure: Token) -> Token:
    """A lone figure that counts pieces, the 3 of `3 long` or the x3 of `x3 long`."""
    return Token("count", figure.text, figure.start, figure.end, count=figure.numbers[0].whole,
                 cross="spaced" if figure.cross else "")  # fmt: skip
