"""The words of dangerous parts and of harmless things, ready to look up."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import product

import msgspec

from tagbench.trade.torque.danger_index import BEGIN, LANGUAGES, WORD, Begun, Danger, read_index
from tagbench.trade.torque.word_forms import first_sound, folded, inflected, roots

_COMPOUND = 6
"""Least letters of a German word that makes every compound dangerous which it begins."""


class _Forms(msgspec.Struct, frozen=True):
    """All that begins with the same letters, in every form, written without spaces."""

    exact: dict[str, Danger]
    stems: dict[str, Danger]
    harmless: frozenset[str]


class DangerWords:
    """The index of the tables with the forms of what was looked up; terms have no spaces.

    The forms that begin with two letters are made when a word with them is first looked up: a
    name has few words, and all the plurals of five languages take longer than any command should.
    """

    def __init__(self) -> None:
        index = read_index()
        self.dropped, self.harmless_stems = index.dropped, index.harmless_stems
        self.heads, self.fronts, self.ends = index.heads, index.fronts, index.ends
        self.fasteners, self.splits = index.fasteners, index.splits
        self.known = frozenset(index.known.split())
        """Words that are spelled as they should be, so never a slip for another."""
        self._dangers, self._begun, self._kept_near = index.dangers, index.begun, index.near
        self._near: dict[str, list[tuple[str, int, Danger]]] = {}
        self._forms: dict[str, _Forms] = {}

    def exact(self, term: str) -> Danger | None:
        """What a term means that is spelled as it should be."""
        return self._ready(term).exact.get(term)

    def stem(self, begin: str) -> Danger | None:
        """What the beginning of a German compound means."""
        return self._ready(begin).stems.get(begin)

    def is_harmless(self, term: str) -> bool:
        """Whether a term says that the thing is harmless."""
        return term in self._ready(term).harmless

    def near(self, term: str) -> list[tuple[str, int, Danger]]:
        """What begins with the sound that a term begins with: term, slips it may hide, meaning."""
        sound = first_sound(term)
        if sound not in self._near:
            found = self._kept_near.get(sound, ())
            self._near[sound] = [(word, most, self._dangers[at]) for word, most, at in found]
        return self._near[sound]

    def _ready(self, term: str) -> _Forms:
        begin = term[:BEGIN]
        if begin not in self._forms:
            raw = self._begun.get(begin)
            begun = msgspec.json.decode(raw, type=Begun) if raw is not None else Begun()
            self._forms[begin] = self._made(begun)
        return self._forms[begin]

    def _made(self, begun: Begun) -> _Forms:
        exact: dict[str, Danger] = {}
        stems: dict[str, Danger] = {}
        for number, language, term in begun.terms:
            danger = self._dangers[number]
            if term.endswith("-"):
                begins = dict.fromkeys(roots(term[:-1], language), danger)
                stems.update(begins)
                exact.update({**begins, **exact})
                continue
            for form in _forms(term, language, self.dropped):
                exact.setdefault(form, danger)
                if language == "de" and len(form) >= _COMPOUND:
                    stems.setdefault(form, danger)
        harmless = frozenset(
            form
            for language in LANGUAGES
            for term in begun.phrases
            for form in _forms(term.rstrip("-"), language, self.dropped)
        )
        return _Forms(exact, stems, harmless)


@cache
def danger_words() -> DangerWords:
    """The index, read once."""
    return DangerWords()


def _forms(term: str, language: str, dropped: frozenset[str]) -> Iterator[str]:
    """Every way a term is written: each of its words as it stands or in the plural, joined."""
    said = [word for word in WORD.findall(term) if folded(word) not in dropped]
    ways = [inflected(word, language) for word in said]
    yield from ways[0] if len(ways) == 1 else map("".join, product(*ways))
