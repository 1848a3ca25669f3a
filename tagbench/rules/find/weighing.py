"""How well a part answers a query, weighed closely, and where its words were met."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache

from tagbench.records import Bin, Part
from tagbench.rules.bin_contents import bin_of
from tagbench.rules.bins import bins_around
from tagbench.rules.find.fields import WEIGHTS, fields, index_words
from tagbench.rules.find.pairs import phrases_in
from tagbench.rules.find.query import AskedWord
from tagbench.rules.find.words import SPANNER, split, stem

THE_THING, NAMED = 0.3, 0.12
"""What is added when the last noun asked for, or another word, says what the part is: a chain is
the drive chain before the chain guard."""
USUAL = 0.05
"""What is added where a word is met by the usual phrase for it as well."""
OTHER_SIDE, SAID = 0.7, 0.6
"""How much a part counts that is on the other side than was asked for, and how surely that was."""
WHOLE_NAME, ONE_LINE, VERY_BIN = 0.2, 0.3, 0.8
"""What is added when all of the name was asked for, when count and kind are of one line of
fasteners, and when just the name of a bin was typed."""


class Weighing:
    """How parts are weighed for one question; what is the same for all is worked out once."""

    def __init__(
        self, bins: Mapping[str, Bin], asked: Sequence[AskedWord], rarity: Sequence[float]
    ) -> None:
        """`rarity` is how much each asked word tells."""
        self._bins = bins
        self._asked = asked
        self._rarity = rarity
        self._whole = sum(rarity) or 1.0
        self._meant = {word for one in asked for word in one.meanings}
        self._counts = {word for one in asked for word in one.meanings if word.isdecimal()}
        self._noun = last_noun(asked)
        self._sides = {
            side for one in asked for side in _OF_PAIRS if one.meanings.get(side, 0.0) >= SAID
        }
        self._phrases = [[word for word in one.meanings if " " in word] for one in asked]
        self._any_phrase = any(self._phrases)

    def of(self, part: Part, words: Mapping[str, float]) -> float:
        """All words met, most telling first; all of the name asked for; count and kind together.

        `words` gives the weight of each word of the part.
        """
        covered = score = 0.0
        for one, rare in zip(self._asked, self._rarity, strict=True):
            nearness, best = one.meanings.get, 0.0
            for word, weight in words.items():
                met = nearness(word, 0.0) * weight
                if met > best:
                    best = met
            if best:
                covered += rare
                score += rare * best
        covered, score = covered / self._whole, score / self._whole
        extra = WHOLE_NAME * _of_name(part, self._meant) + self._of_thing(part)
        extra += USUAL * self._usually(words)
        if self._counts:
            extra += ONE_LINE * _of_fasteners(part, self._asked, self._counts)
        extra += VERY_BIN * self._of_bin(part)
        other = OTHER_SIDE if self._is_of_other_side(part) else 1.0
        return score * covered * (1 + extra) * other

    def _is_of_other_side(self, part: Part) -> bool:
        """Whether it is the left one, and the right one was asked for."""
        mine = {word for _, word in index_words(part.position)}
        return any(
            one in self._sides and one not in mine and other in mine and other not in self._sides
            for pair in _OPPOSITES
            for one, other in (pair, pair[::-1])
        )

    def _usually(self, words: Mapping[str, float]) -> float:
        """The share of the words that are met by a phrase for the same thing too.

        So the chain is the drive chain, and the head the cylinder head.
        """
        if not self._any_phrase:
            return 0.0
        met = sum(any(word in words for word in phrases) for phrases in self._phrases)
        return met / len(self._asked)

    def _of_thing(self, part: Part) -> float:
        """Whether the words asked for say what the part is, and not only what it belongs to."""
        thing = head_noun(part.name)
        if not thing:
            return 0.0
        near = []
        for one in self._asked:
            nearness = one.meanings.get
            near.append(max([nearness(word, 0.0) for word in thing]))
        at = self._noun
        last = near[at] if at is not None else 0.0
        if at and not last:
            last = _of_its_fasteners(part, self._asked[at]) * max(near)
        return max(THE_THING * last, NAMED * max(near))

    def _of_bin(self, part: Part) -> bool:
        """Whether the words asked for are just the name of a bin that the part is kept in."""
        if len(self._asked) < 2:
            return False
        return any(map(self._is_of_bin, bins_around(bin_of(part), self._bins)))

    def _is_of_bin(self, bin_: Bin) -> bool:
        name = _single_words(bin_.name)
        if not name or not name <= self._meant:
            return False
        whole = name | _single_words(bin_.kind)
        return all(not whole.isdisjoint(one.meanings) for one in self._asked)


def last_noun(asked: Sequence[AskedWord]) -> int | None:
    """Which of the words is the last noun; sides and figures are none."""
    nouns = (
        at for at, one in enumerate(asked) if one.word not in _SIDES and not one.word[:1].isdigit()
    )
    return max(nouns, default=None)


def _of_its_fasteners(part: Part, asked: AskedWord) -> float:
    """How near a word is to the kind of some of its fasteners: wheel nuts are of the wheel."""
    kinds = {word for line in part.fasteners for _, word in index_words(line.kind)}
    return max((asked.meanings.get(word, 0.0) for word in kinds), default=0.0)


@lru_cache(maxsize=65536)
def head_noun(name: str) -> frozenset[str]:
    """The compared forms of the last noun of a name, and of the phrase that ends in it.

    Sides, figures and what stands behind a comma, in brackets or behind "of" or "for" do not
    count: the cover of `cover for flywheel, left` is a cover.
    """
    plain = re.split(r"[,;(]|\s-\s|\bof\b|\bfor\b|\bwith\b|\bon\b|\bto\b", name.casefold())[0]
    words = [word for word in split(plain) if word not in _SIDES and not word[:1].isdigit()]
    if not words:
        return frozenset()
    stemmed = [stem(word) for word in words]
    ending = {phrase for _, end, phrase in phrases_in(stemmed) if end == len(stemmed)}
    return frozenset({stemmed[-1], *ending})


@lru_cache(maxsize=65536)
def _single_words(text: str) -> frozenset[str]:
    """The compared forms of the words of a text, without the phrases in it."""
    return frozenset(word for _, word in index_words(text) if " " not in word)


def _of_name(part: Part, meant: Collection[str]) -> float:
    """The share of the part's name that was asked for; `meant`: all that the words may mean."""
    name = _single_words(part.name)
    return len(name.intersection(meant)) / len(name) if name else 0.0


def _of_fasteners(part: Part, asked: Sequence[AskedWord], counts: Collection[str]) -> float:
    """How near the best line of fasteners with a count asked for is in its kind or thread."""
    best = 0.0
    for line in part.fasteners:
        if str(line.quantity) in counts:
            said = [word for text in (line.kind, line.thread) for _, word in index_words(text)]
            near = [one.meanings.get(word, 0.0) for one in asked for word in said]
            best = max(best, *near) if near else best
    return best


_OPPOSITES = (("left", "right"), ("front", "rear"), ("upper", "lower"), ("inner", "outer"))
_OF_PAIRS = frozenset(side for pair in _OPPOSITES for side in pair)
_SIDES = frozenset(
    (
        "left", "right", "front", "rear", "back", "upper", "lower", "inner", "outer", "top",
        "bottom", "lh", "rh",
    )
)  # fmt: skip


def met_where(part: Part, bins: Mapping[str, Bin], asked: Sequence[AskedWord]) -> str:
    """Where each word was met, by field: `name: backing, plate; count: 4`."""
    met: dict[str, list[str]] = {}
    tools = any(word.startswith(SPANNER) for one in asked for word in one.meanings)
    there = [(f, word) for f, text in fields(part, bins, tools) for _, word in index_words(text)]
    for one in asked:
        near = [(one.meanings[w] * WEIGHTS[f], f, w) for f, w in there if w in one.meanings]
        if near:
            _, field, word = max(near, key=lambda item: item[0])
            met.setdefault(field, [])
            if word not in met[field]:
                met[field].append(word)
    return "; ".join(f"{field}: {', '.join(words)}" for field, words in met.items())
