"""Which fasteners are dangerous: only the maker's figure will do for them.

Names are matched on whole words in five languages, joined or split (`swing arm`, `swingarm`), in
the plural, and with a slip of the finger (`brakke`). A name is about its head: a clutch cover is
a cover, a brake light a light.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

import msgspec

from tagbench.trade.torque.danger_index import Danger
from tagbench.trade.torque.danger_words import danger_words
from tagbench.trade.torque.word_forms import (
    skeleton,
    slips,
    swapped_or_added,
    words_in,
)

_LONGEST = 5
"""Words that one term has at most."""
_CLAUSES = re.compile(r"[,;/()+:|&\n]")
_FASTENER_END = re.compile(r"(?:schrauben?|muttern?|bolzen|stifte?|scheiben?)$")
_LEAST = 4
"""Letters of a word in which a slip is looked for, at least."""
_MOST_OFF = 3
"""Letters by which a misspelled term may differ in length; one of them a plural."""
_SPLIT = 6
"""Least letters of a term that is looked for in two words run together."""


class _Span(msgspec.Struct, frozen=True):
    start: int
    end: int
    danger: Danger | None


def danger_of(*texts: str) -> Danger | None:
    """What makes a fastener dangerous, from its name, kind, assembly and note; None if nothing.

    The first text that names a danger decides, and in it the longest term.
    """
    for text in texts:
        found = _in_text(text)
        if found:
            return found
    return None


@lru_cache(maxsize=4096)
def _in_text(text: str) -> Danger | None:
    best: tuple[int, Danger] | None = None
    for clause in _CLAUSES.split(text):
        for length, danger in _in_clause(words_in(clause)):
            if best is None or length > best[0]:
                best = (length, danger)
    return best[1] if best else None


def _in_clause(said: list[str]) -> Iterator[tuple[int, Danger]]:
    """The dangers of one clause with the length of their term in letters."""
    words = danger_words()
    kept = [word for word in said if word not in words.dropped]
    spans = list(_spans(kept))
    covered = [span for span in spans if span.danger is None]
    dangers = [span for span in spans if span.danger and not _inside(span, covered)]
    head = _inert_head(said)
    for span in dangers:
        term = "".join(kept[span.start : span.end])
        if span.danger and (head is None or _names_head(span, kept, head)):
            yield len(term), span.danger


def _names_head(span: _Span, kept: list[str], head: str) -> bool:
    """Whether a term of several words (head gasket) or of one takes in the harmless head itself."""
    return head in kept[span.start : span.end]


def _inside(span: _Span, covered: list[_Span]) -> bool:
    """Whether a harmless term takes a danger in, or takes its first word away: hex head | bolt."""
    return any(
        each.start <= span.start < each.end and (each.start < span.start or span.end <= each.end)
        for each in covered
    )


def _spans(kept: list[str]) -> Iterator[_Span]:
    words = danger_words()
    for start in range(len(kept)):
        for end in range(start + 1, min(start + _LONGEST, len(kept)) + 1):
            term = "".join(kept[start:end])
            if words.is_harmless(term) or _begins(term, words.harmless_stems):
                yield _Span(start, end, None)
            danger = words.exact(term)
            if danger is None and end == start + 1 and not _ends_harmless(term):
                danger = _by_stem(term)
            if danger is None and not all(word in words.known for word in kept[start:end]):
                danger = _by_slip(term, end - start)
            if danger:
                yield _Span(start, end, danger)


def _begins(term: str, stems: tuple[str, ...]) -> bool:
    return any(term.startswith(stem) for stem in stems)


def _by_stem(word: str) -> Danger | None:
    """A German compound by what it begins with, longest first: `Bremsgestänge`."""
    for length in range(len(word) - 1, 3, -1):
        danger = danger_words().stem(word[:length])
        if danger:
            return danger
    return None


@lru_cache(maxsize=8192)
def _by_slip(term: str, count: int) -> Danger | None:
    """The danger whose term this may be, typed with a slip or two; first letters must agree."""
    words = danger_words()
    if len(term) < _LEAST or words.is_harmless(term):
        return None
    ways = (term, term[:-1]) if term.endswith("s") else (term,)
    for right, most, danger in words.near(term):
        if abs(len(term) - len(right)) > _MOST_OFF or (count > 1 and len(right) < _SPLIT):
            continue
        if any(_slipped(way, right, most) for way in ways):
            return danger
    return None


def _slipped(said: str, right: str, most: int) -> bool:
    if most == 0:
        return swapped_or_added(said, right)
    if slips(said, right, most):
        return True
    return most == 1 and skeleton(said) == skeleton(right) and slips(said, right, 2)


def _inert_head(said: list[str]) -> str | None:
    """The word for the harmless thing that the clause is about, None where it is not about one."""
    words = danger_words()
    for segment in _segments(said):
        rest = [word for word in segment if word not in words.dropped]
        while rest and rest[-1] in words.fasteners:
            rest.pop()
        while rest and rest[0] in words.fasteners:
            rest.pop(0)
        if not rest:
            continue
        if _ends_harmless(rest[-1]):
            return rest[-1]
        for count in range(min(3, len(rest)), 0, -1):
            if "".join(rest[-count:]) in words.heads:
                return rest[-1]
            if "".join(rest[:count]) in words.fronts:
                return rest[0]
        return None
    return None


def _ends_harmless(word: str) -> bool:
    """A German compound that is about a cover, a label: `Kupplungsdeckel`, its screw as well."""
    words = danger_words()
    bare = _FASTENER_END.sub("", word)
    return bool(bare) and bare.endswith(words.ends) and not (words.exact(word) or words.exact(bare))


def _segments(said: list[str]) -> Iterator[list[str]]:
    """`cover of the clutch` → `cover`, `the clutch`: what it is, then what it belongs to."""
    segment: list[str] = []
    for word in said:
        if word in danger_words().splits:
            yield segment
            segment = []
        else:
            segment.append(word)
    yield segment
