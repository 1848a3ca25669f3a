"""What the preparing steps share: how many a token says, and what it may stand for."""

from __future__ import annotations

from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import (
    PhraseMeaning,
)

#: More than so many of one length are not listed by their length.
LIKELY_COUNT = 12


#: What only says where something sat.
PLACE = PhraseMeaning(place=True)
#: A thing that is no known fastener.
THING = PhraseMeaning(kind="other")


def how_many(token: Token | None) -> int:
    """How many a lone figure or count may say; 0 for any other token."""
    if token is None:
        return 0
    if token.count:
        return token.count
    alone = len(token.numbers) == 1 and not token.behind and not token.cross
    return token.numbers[0].whole if alone else 0
