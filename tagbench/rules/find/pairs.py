"""The trade's pairs: words that stand for one another, such as left and LH, shoe and lining."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from types import MappingProxyType

from tagbench.rules.find.words import stems
from tagbench.rules.table import read_table

Pairs = Mapping[str, Mapping[str, float]]


@cache
def trade_pairs() -> Pairs:
    """Term → the terms that stand for it, with their closeness (1 the same thing, 0.5 loosely).

    Terms of several words are joined with blanks. Common practice, no source.
    """
    pairs: dict[str, dict[str, float]] = defaultdict(dict)
    for row in read_table("trade_pairs"):
        terms = [" ".join(stems(term)) for term in row["terms"].split("|")]
        closeness = float(row["closeness"])
        for term in terms:
            near = pairs[term]
            for other in terms:
                if other != term and near.get(other, 0.0) < closeness:
                    near[other] = closeness
    return MappingProxyType(dict(pairs))


@cache
def _phrases() -> Mapping[str, tuple[tuple[str, ...], ...]]:
    """First word → the phrases of several words that begin with it."""
    starting: dict[str, list[tuple[str, ...]]] = defaultdict(list)
    for term in trade_pairs():
        words = tuple(term.split())
        if len(words) > 1:
            starting[words[0]].append(words)
    return {first: tuple(phrases) for first, phrases in starting.items()}


@cache
def phrase_words() -> frozenset[str]:
    """The words that stand in phrases of the trade, such as the sparking of sparking plug."""
    return frozenset(word for term in trade_pairs() if " " in term for word in term.split())


def phrases_in(words: Sequence[str]) -> Iterator[tuple[int, int, str]]:
    """The trade's phrases in a row of stems: where they begin, where they end, the phrase."""
    starting = _phrases()
    for begin, first in enumerate(words):
        for phrase in starting.get(first, ()):
            end = begin + len(phrase)
            if tuple(words[begin:end]) == phrase:
                yield begin, end, " ".join(phrase)
