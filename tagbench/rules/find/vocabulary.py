"""The distinct words of a book, and which of them a typed word may mean."""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import cache

from tagbench.rules.find.pairs import phrase_words, trade_pairs
from tagbench.rules.find.standing import STANDING_WORDS
from tagbench.rules.find.words import NUMBER_WORDS, spanner_word, stem
from tagbench.trade.torque.word_forms import slips

SLIP, TWO_SLIPS, SLIP_IN_BEGINNING = 0.8, 0.6, 0.55
"""How near a word counts that is one slip, two slips, or a beginning with one slip away."""


FEW = 2_000
"""So many words are compared one by one before a library is read that does it quicker."""
BEGUN = 0.85
"""From so near on a word begins another one, and no further slips are looked for."""
LONG = 8
"""From so many letters on a word may have three slips."""
SHORT, WHOLE_WORD = 2, 0.7
"""By how much a short word begins others less where it is a word itself, as BA is."""
KNOWN = 0.75
"""By how much less a word of the book may be a slip for another one."""
BARE_SPANNER = 0.6
"""How near a bare size in mm is to the spanner of that size: 13mm nut."""
FEW_LETTERS, ANOTHER_LETTER = 4, 0.3
"""In so short a word another letter makes another word as often as a slip: shop and shoe."""
OF_TRADE = 0.4
"""By how much less a word of the trade may be a slip for another: kickstand is no kickstart."""
IN_PHRASE, FEW_PHRASES = 0.7, 6
"""How near a word is to a phrase that it stands in, and in how many such it still says so."""
LONG_ENOUGH, IN_ANOTHER = 5, 0.55
"""From so many letters on a word may end another one, and how near that is."""
FAR: Mapping[int, float] = {0: 1.0, 1: SLIP, 2: 0.55, 3: 0.4}
"""Slips → how near a word counts that is looked for because nothing nearer is there."""
FAR_ENDS = (0.4, 0.7, 1.0)
"""By how much that is less where neither, one or both of its ends are as typed."""


class Vocabulary:
    """Distinct forms of words with their compared forms; grows with the book, never shrinks.

    Words that have left the book cost nothing: the index keeps no part under them.
    """

    def __init__(self) -> None:
        self._stems: dict[str, str] = {}
        self._by_length: dict[int, list[str]] = defaultdict(list)
        self._by_beginning: dict[str, list[str]] = defaultdict(list)
        self._beginnings: dict[int, dict[str, list[str]]] = {}
        self._known: dict[str, Mapping[str, float]] = {}
        self.add((term, term) for term in trade_pairs() if " " not in term)
        self.add(NUMBER_WORDS.items())
        self.add((word, stem(word)) for word in STANDING_WORDS)

    def __contains__(self, form: str) -> bool:
        return form in self._stems

    def add(self, forms: Iterable[tuple[str, str]]) -> None:
        """Takes in (form, compared form) pairs."""
        for form, compared in forms:
            if form not in self._stems and " " not in form and not form.isdecimal():
                self._stems[form] = compared
                self._by_length[len(form)].append(form)
                self._by_beginning[form[:2]].append(form)
                self._beginnings.clear()
                self._known.clear()

    def meanings(self, word: str) -> Mapping[str, float]:
        """Compared forms that a typed word may mean, with how near each is (1 the very word)."""
        if word not in self._known:
            self._known[word] = self._look_up(word)
        return self._known[word]

    def _look_up(self, word: str) -> Mapping[str, float]:
        near: dict[str, float] = {}
        for compared, quality in self._candidates(word):
            near[compared] = max(quality, near.get(compared, 0.0))
        if len(word) > 3 and word.isalpha() and not self._is_met(word, near):
            for compared, quality in self._far_slips(word):
                near[compared] = max(quality, near.get(compared, 0.0))
        # A mere beginning of one or two letters says too little to go on to other words.
        sure = near if len(word) > 2 else {stem(word): 1.0}
        barely = {self._stems[form] for form in self._barely_begun(word)}
        sure = {compared: q for compared, q in sure.items() if compared not in barely}
        if word not in self._stems and not any(self._barely_begun(word)):
            for phrase in _phrases_with(stem(word)):  # the pilot of a pilot jet
                sure = {**sure, phrase: IN_PHRASE}
        for compared, quality in list(sure.items()):
            for other, closeness in trade_pairs().get(compared, {}).items():
                near[other] = max(quality * closeness * 0.95, near.get(other, 0.0))
        return near

    def _candidates(self, word: str) -> Iterable[tuple[str, float]]:
        yield stem(word), 1.0
        if word.endswith("mm"):
            yield f"m{word[:-2]}", 0.9
            yield spanner_word(word[:-2]), BARE_SPANNER
        yield from self._begun_with(word)
        yield from self._ending_in(word)
        if word.isalpha():
            yield from self._with_slips(word) if len(word) > 3 else self._short_slips(word)

    def _begun_with(self, word: str) -> Iterable[tuple[str, float]]:
        """Words that go on where the typed one stops; a thread goes on only past its figure."""
        pool = self._by_beginning[word] if len(word) == 2 else self._by_beginning.get(word[:2], [])
        if len(word) == 1:
            pool = [
                f for start, forms in self._by_beginning.items() if start[0] == word for f in forms
            ]
        figure_end = word[-1].isdigit()
        whole = WHOLE_WORD if len(word) <= SHORT and word in self._stems else 1.0
        for form in pool:
            on = form[len(word) : len(word) + 1]
            if form.startswith(word) and not (figure_end and (on.isdigit() or on == ".")):
                yield self._stems[form], whole * (0.7 + 0.25 * len(word) / len(form))

    def _ending_in(self, word: str) -> Iterable[tuple[str, float]]:
        """Words that are made of it and another one: a guard may be a mudguard."""
        if len(word) >= LONG_ENOUGH and word.isalpha():
            for form, compared in self._stems.items():
                if len(form) >= len(word) + 3 and form.endswith(word):
                    yield compared, IN_ANOTHER

    def _barely_begun(self, word: str) -> Iterable[str]:
        """Words of which less than half is typed: `hand` says nothing of a handbrake's names."""
        pool = self._by_beginning.get(word[:2], ())
        return (form for form in pool if form.startswith(word) and 2 * len(word) < len(form))

    def _with_slips(self, word: str) -> Iterable[tuple[str, float]]:
        allowed = 1 if len(word) < 8 else 2
        size = len(word)
        pool = self._by_beginning.get(word[:2], ())
        itself = word in self._stems or stem(word) in phrase_words()
        itself = itself or any(form.startswith(word) for form in pool)
        known = OF_TRADE if stem(word) in trade_pairs() else KNOWN
        forms = [
            f for n in range(size - allowed, size + allowed + 1) for f in self._by_length.get(n, ())
        ]
        for form, off, _ in _near(word, forms, allowed):
            yield self._stems[form], _nearness(word, form, off) * (known if itself and off else 1)
        for shown in range(size - 1, size + 2):
            beginnings = self._cut_to(shown)
            alike = [begun for begun in beginnings if begun[0] == word[0]] if size > 4 else []
            for begun, off, _ in _near(word, alike, 1):
                if off:
                    for form in beginnings[begun]:
                        yield self._stems[form], SLIP_IN_BEGINNING

    def _is_met(self, word: str, near: Mapping[str, float]) -> bool:
        """Whether it is a word of the book, or begins one."""
        itself = stem(word)
        known = word in self._stems or itself in self._stems or itself in phrase_words()
        return known or any(q > BEGUN for form, q in near.items() if form != itself)

    def _far_slips(self, word: str) -> Iterable[tuple[str, float]]:
        """Two slips, three in a long word, for a word that nothing is met by otherwise."""
        size = len(word)
        allowed = 2 if size < LONG else 3
        lengths = range(max(4, size - allowed), size + allowed + 1)
        forms = [form for length in lengths for form in self._by_length.get(length, ())]
        for form, off, _ in _near(word, forms, allowed):
            ends = (word[0] == form[0]) + (word[-1] == form[-1])
            yield self._stems[form], FAR[off] * FAR_ENDS[ends]

    def _short_slips(self, word: str) -> Iterable[tuple[str, float]]:
        """Three letters: only two changed round, or one letter missing, are taken for a slip."""
        if len(word) == 3:
            for form, off, _ in _near(word, self._by_length.get(4, []), 1):
                yield self._stems[form], _nearness(word, form, off) - 0.1
            for form in self._by_length.get(3, ()):
                if form != word and sorted(form) == sorted(word) and form[0] == word[0]:
                    yield self._stems[form], SLIP - 0.1

    def _cut_to(self, length: int) -> dict[str, list[str]]:
        """The beginnings of that length of all longer words."""
        if length not in self._beginnings:
            cut: dict[str, list[str]] = defaultdict(list)
            for form in self._stems:
                if len(form) > length:
                    cut[form[:length]].append(form)
            self._beginnings[length] = cut
        return self._beginnings[length]


@cache
def _phrases_with(word: str) -> tuple[str, ...]:
    """The phrases of the trade that a word stands in, where these are few enough to tell."""
    found = tuple(term for term in trade_pairs() if " " in term and word in term.split())
    return found if len(found) <= FEW_PHRASES else ()


def _near(word: str, forms: list[str], allowed: int) -> list[tuple[str, int, int]]:
    """Forms within so many slips: a letter missing, doubled, wrong, or two changed round.

    Each with its slips and its place in the list, the nearest first.
    """
    if len(forms) <= FEW and "rapidfuzz" not in sys.modules:
        near = ((form, _slips(word, form, allowed), at) for at, form in enumerate(forms))
        return sorted((one for one in near if one[1] <= allowed), key=lambda one: one[1])
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    return process.extract(word, forms, scorer=OSA.distance, score_cutoff=allowed, limit=None)


def _slips(word: str, form: str, allowed: int) -> int:
    """How many slips part two words; more than allowed where they are further apart."""
    if word == form:
        return 0
    return next((n for n in range(1, allowed + 1) if slips(word, form, n)), allowed + 1)


def _nearness(word: str, form: str, slips: int) -> float:
    if not slips:
        return 1.0
    base = SLIP if slips == 1 else TWO_SLIPS
    if len(word) == len(form) <= FEW_LETTERS and sorted(word) != sorted(form):
        base -= ANOTHER_LETTER
    return base if word[0] == form[0] else base - 0.1
