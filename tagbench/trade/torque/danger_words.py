"""The words of dangerous parts and of harmless things, from their tables, ready to look up."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from itertools import chain, product
from typing import Literal

import msgspec

from tagbench.trade.published import read_table
from tagbench.trade.torque.word_forms import first_sound, folded, inflected, roots, tokens

LANGUAGES = ("en", "de", "fr", "es", "it")
_ONE_SLIP = {"en": 5, "de": 6, "fr": 6, "es": 6, "it": 6}
"""Least letters of a term that is looked for with one slip, by language."""
_TWO_SLIPS = 10
"""Least letters of one that is looked for with two."""
_SHORT = 4
"""Letters of an English term whose slips are only a swap or a letter too many."""
_COMPOUND = 6
"""Least letters of a German word that makes every compound dangerous which it begins."""
_WORD = re.compile(r"[^\W\d_]+")


class Danger(msgspec.Struct, frozen=True):
    """Why no figure may be estimated for a fastener."""

    part: str
    """What it belongs to or is: `brake shoe`, `wheel nut`, `hollow screw`."""
    group: str
    """The family of such parts: `brake`, `wheel`, `plug`."""
    how: Literal["place", "kind"]
    """place: what it holds is dangerous; kind: the fastener itself has no such figure."""
    reason: str
    """What can happen, one sentence."""


class _Letter(msgspec.Struct, frozen=True):
    """All that begins with one letter, ready for looking up; written without spaces."""

    exact: dict[str, Danger]
    stems: dict[str, Danger]
    harmless: frozenset[str]


class DangerWords:
    """The tables, ready for looking up; terms are written without spaces.

    Each letter is made ready when a word with it is first looked up: a name has few words, and
    all the plurals of five languages take longer than any command should.
    """

    def __init__(self) -> None:
        lists = _harmless_lists()
        self.dropped = frozenset(folded(word) for word in lists["drop"])
        self.harmless_stems = tuple(folded(t[:-1]) for t in lists["phrase"] if t.endswith("-"))
        self.heads = _joined(lists["head"], self.dropped)
        self.fronts = _joined(lists["front"], self.dropped)
        self.ends = tuple(folded(word) for word in lists["end"])
        self.fasteners = frozenset(folded(word) for word in lists["fastener"])
        self.splits = frozenset(folded(word) for word in lists["split"])
        self._terms: dict[str, list[tuple[int, Danger, str, str]]] = {}
        every = list(_terms())
        for number, (danger, language, term) in enumerate(every):
            first = self._first_letter(term)
            self._terms.setdefault(first, []).append((number, danger, language, term))
        self._phrases: dict[str, list[str]] = {}
        for phrase in lists["phrase"]:
            self._phrases.setdefault(self._first_letter(phrase), []).append(phrase)
        texts = (*(term for _, _, term in every), *(t for terms in lists.values() for t in terms))
        self.known = frozenset(tokens("\n".join(texts)))
        """Words that are spelled as they should be, so never a slip for another."""
        self._letters: dict[str, _Letter] = {}
        self._near: dict[str, list[tuple[str, int, Danger]]] = {}

    def exact(self, term: str) -> Danger | None:
        """What a term means that is spelled as it should be."""
        return self._letter(term).exact.get(term)

    def stem(self, begin: str) -> Danger | None:
        """What the beginning of a German compound means."""
        return self._letter(begin).stems.get(begin)

    def is_harmless(self, term: str) -> bool:
        """Whether a term says that the thing is harmless."""
        return term in self._letter(term).harmless

    def near(self, term: str) -> list[tuple[str, int, Danger]]:
        """What begins with the sound that a term begins with: term, slips it may hide, meaning."""
        sound = first_sound(term)
        if sound not in self._near:
            same = [
                terms
                for first, terms in self._terms.items()
                if first and first_sound(first) == sound
            ]
            found: dict[str, tuple[int, Danger]] = {}
            for _number, danger, language, said in sorted(chain(*same), key=lambda one: one[0]):
                plain = "".join(word for word in tokens(said) if word not in self.dropped)
                most = None if said.endswith("-") else _slips_hidden(plain, language)
                if most is not None:
                    found.setdefault(plain, (most, danger))
            self._near[sound] = [(plain, *meant) for plain, meant in found.items()]
        return self._near[sound]

    def _first_letter(self, term: str) -> str:
        kept = (word for word in tokens(term) if word not in self.dropped)
        return next(kept, "")[:1]

    def _letter(self, term: str) -> _Letter:
        first = term[:1]
        if first not in self._letters:
            self._letters[first] = self._ready(first)
        return self._letters[first]

    def _ready(self, first: str) -> _Letter:
        exact: dict[str, Danger] = {}
        stems: dict[str, Danger] = {}
        for _number, danger, language, term in self._terms.get(first, ()):
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
            for term in self._phrases.get(first, ())
            for form in _forms(term.rstrip("-"), language, self.dropped)
        )
        return _Letter(exact, stems, harmless)


@cache
def danger_words() -> DangerWords:
    """Both tables, read once."""
    return DangerWords()


def _terms() -> Iterator[tuple[Danger, str, str]]:
    """Each dangerous part with the language and one of the terms for it."""
    for row in read_table("danger_parts"):
        how: Literal["place", "kind"] = "kind" if row["how"] == "kind" else "place"
        danger = Danger(row["part"], row["group"], how, row["reason"])
        for language in LANGUAGES:
            for term in filter(None, row[language].split("|")):
                yield danger, language, term


def _slips_hidden(plain: str, language: str) -> int | None:
    """How many slips a term may hide: none in a short one, where only a swap or addition counts."""
    if len(plain) >= _ONE_SLIP[language]:
        return 2 if len(plain) >= _TWO_SLIPS else 1
    return 0 if len(plain) == _SHORT and language == "en" else None


def _joined(terms: list[str], dropped: frozenset[str]) -> frozenset[str]:
    return frozenset("".join(w for w in tokens(term) if w not in dropped) for term in terms)


def _forms(term: str, language: str, dropped: frozenset[str]) -> Iterator[str]:
    """Every way a term is written: each of its words as it stands or in the plural, joined."""
    said = [word for word in _WORD.findall(term) if folded(word) not in dropped]
    ways = [inflected(word, language) for word in said]
    yield from ways[0] if len(ways) == 1 else map("".join, product(*ways))


def _harmless_lists() -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for row in read_table("harmless_words"):
        found.setdefault(row["kind"], []).extend(row["words"].split("|"))
    found["phrase"] += [f"{row['head']} head" for row in read_table("heads")]
    return found
