"""Texts that say that there are no fasteners: `no screws, held by the cable`, `ohne Schrauben`."""

from __future__ import annotations

import re

from tagbench.trade.fasteners.vocabulary import fold, look_up

#: What people write where there are no fasteners at all.
_NONE = re.compile(
    r"(?:none|nil|(?:bag\s)?empty|leer|vide|nothing(?:\s(?:to|holding|here|there|in|on|fitted)\b[^,;]*)?|n/a|keine?|nichts|aucune?|rien|nada|ningun[oa]|nessun[oa]|niente)[.!]?",
    re.IGNORECASE,
)
_NO = re.compile(
    r"(?:(?:has|had|with|there(?:'s| is| are| were)|es gibt|il n'y a|hay)\s)?"
    r"(?:no|nil|zero|without(?: any)?|w/o|not any|ohne|keine?n?|sans|aucune?"
    r"|pas de|sin|ning[uú]n[oa]?|senza"
    r"|nessun[oa]?)\s(?P<what>[^\W\d_]+(?:\s[^\W\d_]+){0,2}?)"
    r"(?:\s(?:here|at all|in it|used|fitted|on\s(?:this|it|here)\b.*))?[.!]?",
    re.IGNORECASE,
)
_CLAUSE = re.compile(r"\s*(?:[,;:.!](?=\s|$)|\s-\s)\s*")
_FASTENERS = frozenset(("fasteners", "fixings", "fastener", "fixing", "hardware", "befestigung"))


def is_nothing(text: str) -> bool:
    """Whether it says that there is nothing, and not what there is instead."""
    return _NONE.fullmatch(text) is not None


def says_none(text: str) -> bool:
    """Whether one of its clauses says that there are no screws, nuts or the like."""
    first, *rest = _CLAUSE.split(text)
    last = rest[-1] if rest else first
    return is_nothing(first) or is_nothing(last) or any(map(_is_none, (first, *rest)))


def _is_none(clause: str) -> bool:
    found = _NO.fullmatch(clause)
    words = tuple(map(fold, found["what"].split())) if found else ()
    said = look_up(words) if words else None
    named = said is not None and said[0] == len(words) and bool(said[1].kind)
    return named or words in {(word,) for word in _FASTENERS}
