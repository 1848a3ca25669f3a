"""Find: "where are the four backing-plate screws?", months later, with typing slips and all."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from heapq import nlargest
from math import log
from sys import intern
from typing import NamedTuple

import msgspec

from tagbench.records import BIN_MARK, Bin, Part, Tables
from tagbench.rules.bin_contents import bin_of
from tagbench.rules.bins import bins_around, kept_in, same_name
from tagbench.rules.buying.part_numbers import plain_number
from tagbench.rules.find.fields import WEIGHTS, fields, index_words, part_words
from tagbench.rules.find.numbers import (
    EXACT,
    NEAR,
    CodeBook,
    NumberBook,
    code_in,
    is_letters_and_figure,
)
from tagbench.rules.find.query import LONGEST, LOOSE, NUMBER_SIGN, AskedWord, understand
from tagbench.rules.find.vocabulary import Vocabulary
from tagbench.rules.find.weighing import Weighing, last_noun, met_where
from tagbench.rules.find.words import stem

LOOKED_AT = 120
"""So many of the best are weighed a second time, more closely."""
MANY, FEW = 4, 10
"""Where the last word is met so many times as often as the words before, these may be enough; of a
book with so many times as many parts they are few, and only they are looked at."""
WORDS_KEPT = 12
"""So many words of a query are kept worked out while the person types on."""
LOOSELY = 0.6
"""How much a loose meaning counts where the very word is met."""
VERY_WORD, CALLED = 0.9, 0.65
"""How near a meaning is, and how much the field says, for a part to be called by a word."""
SURE_ENOUGH = 0.05
"""A word that is met this much less than the very word tells as much as that."""
SURELY = 0.3
"""A word that is met less nearly than this, by several slips, is only guessed."""
WORTH_SHOWING = 0.35
"""Nothing below this share of the best score is shown."""

LIKE_ONLY = "its code is like the one typed, which is not in the book"


class _AddedUp(NamedTuple):
    """How well the parts meet the first words of a query."""

    asked: tuple[AskedWord, ...]
    """Those words."""
    rarity: tuple[float, ...]
    """How much each tells."""
    scores: dict[str, float]
    """Code → how well the part meets them; without those that meet none."""


_NOTHING_ADDED = _AddedUp((), (), {})
_HIGHEST = max(WEIGHTS.values())
_ROUNDED_OFF = 1e-9
"""More than sums of a few scores are off by rounding."""


class Found(msgspec.Struct, frozen=True, eq=False):
    """A part that answers the question; equal to one with the same part and score."""

    part: Part
    """The part."""
    score: float
    """How well it answers; about 1 for every word met in the name, 3 for its very code."""
    slip: bool
    """Whether its code is only like the one that was typed, which is not in the book."""
    fits_all: bool
    """Whether every word is met in the part, or it is the one whose code was typed."""
    _bins: Mapping[str, Bin]
    _asked: Sequence[AskedWord]

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Found):
            return NotImplemented
        return (self.part, self.score, self.slip) == (other.part, other.score, other.slip)

    def __hash__(self) -> int:
        return hash((self.part.code, self.score))

    def __repr__(self) -> str:
        return f"Found({self.part!r}, {self.score}, slip={self.slip})"

    @property
    def kept_in(self) -> tuple[str, ...]:
        """The whole path of bins in words, outermost last."""
        return kept_in(bin_of(self.part), self._bins)

    @property
    def why(self) -> str:
        """Where the words were met: `name: backing, plate; count: 4`."""
        return LIKE_ONLY if self.slip else met_where(self.part, self._bins, self._asked)


def nothing_fits_all(found: Sequence[Found], words: str) -> str:
    """The words that say so when every answer leaves a word of the question out; else empty."""
    if not found or any(one.fits_all for one in found):
        return ""
    return f"Nothing fits all of “{' '.join(words.split())}”"


class Index:
    """All parts of a book, ready to be found; kept up to date part by part."""

    def __init__(self, tables: Tables | None = None) -> None:
        self._parts: dict[str, Part] = {}
        self._bins: Mapping[str, Bin] = {}
        self._lie_in: dict[str, set[str]] = {}
        """Bin → the parts that lie in it."""
        self._words: dict[str, tuple[str, ...]] = {}
        self._postings: dict[str, dict[str, float]] = {}
        self._vocabulary = Vocabulary()
        self._numbers = NumberBook()
        self._codes = CodeBook()
        self._met_before: dict[frozenset[tuple[str, float]], dict[str, float]] = {}
        self._added_before = _NOTHING_ADDED
        if tables is not None:
            self.refresh(tables)

    @classmethod
    def of_one_question(
        cls, tables: Tables, postings: dict[str, dict[str, float]], codes: CodeBook
    ) -> Index:
        """An index that knows only the words of one question; see `once.find_once`.

        `postings`: word → code → weight for every word that the question may mean.
        """
        index = cls()
        index._parts = dict(tables.parts)
        index._bins = tables.bins
        index._postings = postings
        index._codes = codes
        return index

    def refresh(self, tables: Tables) -> int:
        """Takes in what changed since the last time; returns how many parts were indexed anew."""
        moved = {
            code for bin_ in self._moved_bins(tables.bins) for code in self._lie_in.get(bin_, ())
        }
        self._bins = dict(tables.bins)
        known = self._parts.get
        changed = [part for code, part in tables.parts.items() if known(code) is not part]
        same = (part for code in moved if (part := known(code)) is not None)
        changed += [part for part in same if tables.parts.get(part.code) is part]
        for part in changed:
            self.update(part)
        if len(self._parts) > len(tables.parts):
            for code in self._parts.keys() - tables.parts.keys():
                self.drop(code)
        return len(changed)

    def _moved_bins(self, bins: Mapping[str, Bin]) -> set[str]:
        """The bins that are called or kept otherwise than before, with all that is in them."""
        codes = self._bins.keys() | bins.keys()
        moved = {code for code in codes if self._bins.get(code) is not bins.get(code)}
        if moved:
            inside: dict[str, list[str]] = {}
            for known in (self._bins, bins):
                for one in known.values():
                    inside.setdefault(one.kept_in, []).append(one.code)
            waiting = list(moved)
            while waiting:
                held = [code for code in inside.get(waiting.pop(), ()) if code not in moved]
                moved.update(held)
                waiting += held
        return moved

    def update(self, part: Part) -> None:
        """Puts in one part, or puts it in anew after a change."""
        self.drop(part.code)
        self._forget_met()
        words = {intern(word): weight for word, weight in self._worked_out(part).items()}
        for _, text in fields(part, self._bins):
            self._vocabulary.add(index_words(text))
        self._parts[part.code] = part
        self._lie_in.setdefault(bin_of(part), set()).add(part.code)
        self._words[part.code] = tuple(words)
        self._codes.add(part.code)
        for word, weight in words.items():
            self._postings.setdefault(word, {})[part.code] = weight

    def _worked_out(self, part: Part) -> dict[str, float]:
        """The words of a part with their weights, its part numbers among them."""
        words = part_words(part, self._bins)
        for number in part.part_numbers:
            for text in (number.number, number.superseded_by):
                if plain := plain_number(text):
                    self._numbers.add(plain)
                    words[NUMBER_SIGN + plain] = WEIGHTS["part number"]
        return words

    def drop(self, code: str) -> None:
        """Takes a part out; nothing happens when it is not there."""
        for word in self._words.pop(code, ()):
            self._postings[word].pop(code, None)
            self._forget_met()
        part = self._parts.pop(code, None)
        if part is not None:
            self._lie_in[bin_of(part)].discard(code)
            self._codes.drop(code)

    def _forget_met(self) -> None:
        """What was worked out for the words asked before holds no more."""
        self._met_before.clear()
        self._added_before = _NOTHING_ADDED

    def find(self, words: str, limit: int = 20, mark: str = "") -> list[Found]:
        """The parts that answer best, best first; `mark` keeps to one machine."""
        words = words[:LONGEST]
        return self.answer(words, understand(words, self._vocabulary, self._numbers), limit, mark)

    def answer(self, words: str, asked: Sequence[AskedWord], limit: int, mark: str) -> list[Found]:
        """The parts that answer best to a question that is understood already."""
        asked = [self._with_the_very_word_first(one) for one in asked]
        rarity = self._thing_at_least_as_rare(asked, [self._rarity(one) for one in asked])
        by_words = () if self._is_code(words, asked) else self._first_look(asked, rarity, mark)
        where, weighing = self._where(asked), Weighing(self._bins, asked, rarity)
        scores = {}
        for code in by_words:
            mine = self._words.get(code, where)  # one question knows no part whole
            here = {
                word: codes[code] for word in mine if (codes := where.get(word)) and code in codes
            }
            scores[code] = weighing.of(self._parts[code], here)
        meant = self._codes.meant(code_in(words)) | self._kept_in_bin(code_in(words))
        scores |= {code: score for code, score in meant.items() if code.startswith(mark)}
        best = nlargest(limit, scores, key=lambda code: (scores[code], self._later(code)))
        floor = WORTH_SHOWING * scores[best[0]] if best else 0.0
        slips = {code for code, score in meant.items() if score <= NEAR}
        return [
            Found(
                self._parts[code],
                round(scores[code], 4),
                code in slips,
                code in meant or self._meets_all(code, asked),
                self._bins,
                asked,
            )
            for code in best
            if scores[code] >= floor
        ]

    def _meets_all(self, code: str, asked: Sequence[AskedWord]) -> bool:
        """Whether every word is surely met in a part; a bare figure tells too little, since
        thicknesses and the like stand in no list."""
        return all(
            any(
                code in self._postings.get(word, ())
                for word, near in one.meanings.items()
                if near >= SURELY
            )
            for one in asked
            if not one.word.isdecimal()
        )

    def unknown_code(self, words: str) -> str:
        """A sentence about the code that was typed when no part has it; else empty."""
        return self._codes.unknown(words)

    def _is_code(self, words: str, asked: Sequence[AskedWord]) -> bool:
        """Whether a code was typed and nothing else; a figure in it answers for no size then."""
        if any(word.startswith(NUMBER_SIGN) for one in asked for word in one.meanings):
            return False
        strange = is_letters_and_figure(words) and not any(
            self._postings.get(word) for one in asked[:1] for word in one.meanings
        )
        return strange or self._codes.is_written_as_code(code_in(words))

    def _kept_in_bin(self, words: str) -> dict[str, float]:
        """The parts in the bin whose code was typed, and in the bins within it."""
        named = (same_name(bin_.name) for bin_ in self._bins.values())
        if not plain_number(words).startswith(BIN_MARK) or same_name(words) in named:
            return {}
        codes = CodeBook(self._bins).meant(words)
        asked = {code for code, score in codes.items() if score > NEAR}
        return {
            code: EXACT
            for code, part in (self._parts.items() if asked else ())
            if any(one.code in asked for one in bins_around(bin_of(part), self._bins))
        }

    def _where(self, asked: Sequence[AskedWord]) -> dict[str, Mapping[str, float]]:
        """Word that the question may mean → code → its weight there."""
        meant = {word for one in asked for word in one.meanings}
        return {word: self._postings[word] for word in meant if word in self._postings}

    def _later(self, code: str) -> tuple[int, str]:
        return -self._parts[code].order, code

    def _rarity(self, asked: AskedWord) -> float:
        """How much a word tells: 1 when few parts have it, near 0 when all have it."""
        there = [near for word, near in asked.meanings.items() if self._postings.get(word)]
        clear = max(there or asked.meanings.values(), default=0.0) - 0.15
        met = sum(
            len(self._postings.get(word, ()))
            for word, quality in asked.meanings.items()
            if quality >= clear
        )
        everything = 1 + len(self._parts)
        rare = max(0.15, log(everything / (1 + met)) / log(1 + everything))
        return rare * self._sureness(asked)

    def _sureness(self, asked: AskedWord) -> float:
        """Less for a word that is met by slips alone, beside others: platers may be no plates."""
        near = [near for word, near in asked.meanings.items() if self._postings.get(word)]
        return min(1.0, max(near, default=1.0) + SURE_ENOUGH)

    def _with_the_very_word_first(self, asked: AskedWord) -> AskedWord:
        """Where a part has the very word, what is only loosely called so counts less."""
        if not self._postings.get(stem(asked.word)):
            return asked
        meanings = {
            word: near if near >= LOOSE else near * LOOSELY for word, near in asked.meanings.items()
        }
        return AskedWord(asked.word, meanings)

    def _thing_at_least_as_rare(
        self, asked: Sequence[AskedWord], rarity: list[float]
    ) -> list[float]:
        """The last noun says what is looked for, so no other word tells more than it does.

        But screws and nuts are told by whose they are; and a word that no part is called by, as the
        mark of `timing mark`, tells no more than others.
        """
        at = last_noun(asked)
        if at is None or "fastener" in asked[at].meanings:
            return rarity
        called = any(
            near >= VERY_WORD and max(self._postings.get(word, {}).values(), default=0) >= CALLED
            for word, near in asked[at].meanings.items()
        )
        if called:
            rarity[at] = max(rarity)
        return rarity

    def _first_look(
        self, asked: Sequence[AskedWord], rarity: Sequence[float], mark: str
    ) -> Iterable[str]:
        """The codes that are worth a closer look."""
        if not asked:
            return ()
        before = self._first_words(tuple(asked[:-1]), tuple(rarity[:-1]))
        if mark:
            whole = self._with_last(before, asked[-1], rarity[-1])
            total = {code: score for code, score in whole.items() if code.startswith(f"{mark}-")}
        else:
            total = self._best_with_last(before, asked[-1], rarity[-1])
        return nlargest(LOOKED_AT, total, key=total.__getitem__)

    def _first_words(self, asked: tuple[AskedWord, ...], rarity: tuple[float, ...]) -> _AddedUp:
        """All words but the last one stay added up while the person types that."""
        if not asked:
            return _NOTHING_ADDED
        if self._added_before[:2] != (asked, rarity):
            scores = self._with_last(
                self._first_words(asked[:-1], rarity[:-1]), asked[-1], rarity[-1]
            )
            self._added_before = _AddedUp(asked, rarity, scores)
        return self._added_before

    def _with_last(self, before: _AddedUp, last: AskedWord, rare: float) -> dict[str, float]:
        """Code → how well the part meets the words before and the last one, which tells so much."""
        so_far, met = before.scores, self._met(last).items()
        if not so_far:
            return {code: rare * score for code, score in met}
        return so_far | {code: so_far.get(code, 0.0) + rare * score for code, score in met}

    def _best_with_last(self, before: _AddedUp, last: AskedWord, rare: float) -> dict[str, float]:
        """The same, where that is enough without parts that meet the last word alone.

        What is typed of it is the beginning of words of nearly every part at first; but the best
        meet the words before as well.
        """
        near, postings = before.scores, self._postings
        told = {word: len(codes) for word in last.meanings if (codes := postings.get(word))}
        if not near or MANY * len(near) >= sum(told.values()):
            return self._with_last(before, last, rare)
        few = FEW * len(near) < len(self._parts)
        met = self._meet(last.meanings, near) if few else self._met(last)
        both = {code: score + rare * met.get(code, 0.0) for code, score in near.items()}
        best = nlargest(LOOKED_AT, both.values())
        if len(best) == LOOKED_AT:
            reached = best[-1] - _ROUNDED_OFF
            most = max(last.meanings[word] for word in told) * _HIGHEST
            if reached > rare * most or reached > rare * max(self._met(last).values()):
                return both
        return self._with_last(before, last, rare)

    def _met(self, asked: AskedWord) -> dict[str, float]:
        """Code → how well the part meets one word; kept while the person types the next."""
        key = frozenset(asked.meanings.items())
        if key not in self._met_before:
            if len(self._met_before) >= WORDS_KEPT:
                self._met_before.clear()
            self._met_before[key] = self._meet(asked.meanings)
        return self._met_before[key]

    def _meet(
        self, meanings: Mapping[str, float], among: Mapping[str, float] | None = None
    ) -> dict[str, float]:
        """Code → how well the part meets a word; of all parts, or only of those `among` some."""
        best: dict[str, float] = {}
        for word, quality in sorted(meanings.items(), key=lambda item: -item[1]):
            codes = self._postings.get(word)
            if not codes:
                continue
            if among is None and not best:
                best = {code: quality * weight for code, weight in codes.items()}
                continue
            for code in codes if among is None else codes.keys() & among.keys():
                score = quality * codes[code]
                if best.get(code, 0.0) < score:
                    best[code] = score
        return best
