"""The words of dangerous parts and of harmless things, from their tables, ready to look up."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from itertools import product
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


class DangerWords(msgspec.Struct, frozen=True):
    """The tables, ready for looking up; terms are written without spaces."""

    exact: dict[str, Danger]
    stems: dict[str, Danger]
    near: dict[str, list[tuple[str, int, Danger]]]
    """First sound → term, slips that it may hide, what it means."""
    harmless: frozenset[str]
    harmless_stems: tuple[str, ...]
    heads: frozenset[str]
    fronts: frozenset[str]
    ends: tuple[str, ...]
    fasteners: frozenset[str]
    splits: frozenset[str]
    dropped: frozenset[str]
    known: frozenset[str]
    """Words that are spelled as they should be, so never a slip for another."""


@cache
def danger_words() -> DangerWords:
    """Both tables, read once."""
    lists = _harmless_lists()
    dropped = frozenset(folded(word) for word in lists["drop"])
    exact: dict[str, Danger] = {}
    stems: dict[str, Danger] = {}
    near: dict[str, tuple[int, Danger]] = {}
    for danger, language, term in _terms():
        if term.endswith("-"):
            begins = dict.fromkeys(roots(term[:-1], language), danger)
            stems.update(begins)
            exact.update({**begins, **exact})
            continue
        for form in _forms(term, language, dropped):
            exact.setdefault(form, danger)
            if language == "de" and len(form) >= _COMPOUND:
                stems.setdefault(form, danger)
        plain = "".join(word for word in tokens(term) if word not in dropped)
        most = _slips_hidden(plain, language)
        if most is not None:
            near.setdefault(plain, (most, danger))
    return DangerWords(
        exact=exact,
        stems=stems,
        near=_by_first_sound(near),
        harmless=frozenset(
            form
            for language in LANGUAGES
            for term in lists["phrase"]
            for form in _forms(term.rstrip("-"), language, dropped)
        ),
        harmless_stems=tuple(folded(t[:-1]) for t in lists["phrase"] if t.endswith("-")),
        heads=_joined(lists["head"], dropped),
        fronts=_joined(lists["front"], dropped),
        ends=tuple(folded(word) for word in lists["end"]),
        fasteners=frozenset(folded(word) for word in lists["fastener"]),
        splits=frozenset(folded(word) for word in lists["split"]),
        dropped=dropped,
        known=frozenset(_known(lists)),
    )


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


def _known(lists: dict[str, list[str]]) -> Iterator[str]:
    for _danger, _language, term in _terms():
        yield from tokens(term)
    for terms in lists.values():
        for term in terms:
            yield from tokens(term)


def _by_first_sound(
    near: dict[str, tuple[int, Danger]],
) -> dict[str, list[tuple[str, int, Danger]]]:
    found: dict[str, list[tuple[str, int, Danger]]] = {}
    for term, (most, danger) in near.items():
        found.setdefault(first_sound(term), []).append((term, most, danger))
    return found


def _joined(terms: list[str], dropped: frozenset[str]) -> frozenset[str]:
    return frozenset("".join(w for w in tokens(term) if w not in dropped) for term in terms)


def _forms(term: str, language: str, dropped: frozenset[str]) -> Iterator[str]:
    """Every way a term is written: each of its words as it stands or in the plural, joined."""
    said = [word for word in _WORD.findall(term) if folded(word) not in dropped]
    for chosen in product(*(dict.fromkeys(inflected(word, language)) for word in said)):
        yield "".join(chosen)


def _harmless_lists() -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for row in read_table("harmless_words"):
        found.setdefault(row["kind"], []).extend(row["words"].split("|"))
    found["phrase"] += [f"{row['head']} head" for row in read_table("heads")]
    return found
