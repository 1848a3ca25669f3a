"""Texts that say that there are no fasteners: `no screws, held by the cable`, `ohne Schrauben`."""

from __future__ import annotations

import re

from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.remark_clauses import names_piece
from tagbench.trade.fasteners.tokens import Token, tokens
from tagbench.trade.fasteners.vocabulary import bench_roles, fold, look_up

#: What people write where there are no fasteners at all.
_NONE = re.compile(
    r"(?:none|nil|(?:bag\s)?empty|leer|vide|nothing(?:\s(?:left|to|holding|here|there|in|on|fitted)\b[^,;]*)?|n/a|keine?|nichts|aucune?|rien|nada|ningun[oa]|nessun[oa]|niente)[.!]?",
    re.IGNORECASE,
)
#: Verbs before it in other languages: war kein Splint drin, il n'y avait pas de goupille.
_HAD = (
    r"(?:da|hier|es)?\s?(?:war(?:en)?|ist|sind|hat(?:te)?|gab)|es gibt"
    r"|(?:il\s)?(?:n'|n)?y\s(?:a|avait)|n'avait|avait"
    r"|(?:aqu[ií]\s)?(?:hay|hab[ií]a|tiene|ten[ií]a|lleva(?:ba)?)"
    r"|(?:qui\s)?(?:c'(?:è|e|era|erano)|aveva|ha)"
)
_NO = re.compile(
    rf"(?:(?:has|had|with|there(?:'s| is| are| were)|{_HAD})\s)?"
    rf"(?:no (?:{_HAD})|non (?:{_HAD})|no|nil|zero|without(?: any)?|w/o|not any|ohne"
    r"|keine?n?|sans|aucune?|pas (?:de |d')|sin|ning[uú]n[oa]?|senza"
    r"|nessun[oa]?)\s?(?<=[\s'])(?:(?:el|la|los|las|un|una|il|lo|gli|le|i)\s)?"
    r"(?P<what>[^\W\d_]+(?:\s[^\W\d_]+){0,2}?)"
    r"(?:\s(?:(?:was|were|is|are)\s(?=\w))?(?:here|there|found|present|supplied|at all|in it|used"
    r"|fitted|on\s(?:this|it|here)\b.*"
    r"|drin|dran|da|dabei|vorhanden|verbaut|montiert|mehr|drunter|darunter|drauf"
    r"|dedans|dessus|dessous|là|du tout|monté[es]*|à l'intérieur"
    r"|dentro|debajo|puest[oa]s?|montad[oa]s?|aqu[ií]"
    r"|messa|mess[oi]|montat[aoei]|presente|qui|sotto"
    r"|(?:im|am|beim|sur|dans|au|du|en|del|nel|nella|sul|sulla|della)\s[^0-9,;:]+))?"
    r"[.!]*",
    re.IGNORECASE,
)
#: What is said to be missing: fehlt, il manque, faltan, manca.
_MISSING = re.compile(
    r"\b(?:fehl(?:t|en|te|ten)|manqu(?:e|ent|ait)|falta(?:n|ba|ban)?|manca(?:no|va|vano)?)\b",
    re.IGNORECASE,
)
#: Some are missing of a lot of which the others are there: manque 1 sur 5.
_OF_LOT = re.compile(
    r"\b(?:sur|von|su|of)\s(?:den\s|les\s)?[0-9]|[0-9]\s(?:de|di|der|des|delle|dei)\s[0-9]", re.I
)
_CLAUSE = re.compile(r"\s*(?:[,;:.!](?=\s|$)|\s-\s|[()])\s*")
_FASTENERS = frozenset(("fasteners", "fixings", "fastener", "fixing", "hardware", "befestigung"))


def is_nothing(text: str) -> bool:
    """Whether it says that there is nothing, and not what there is instead."""
    return _NONE.fullmatch(text) is not None


def says_missing(text: str) -> bool:
    """Whether all that is named is said to be missing, in German, French, Spanish or Italian.

    `faltan dos tornillos`, `zwei Muttern fehlen`; not where others are there, as in
    `3 Schrauben M6, eine fehlt`.
    """
    found = [clause for clause in _CLAUSE.split(text) if clause]
    absent = [clause for clause in found if _MISSING.search(clause)]
    if len(absent) != 1 or "“" in text or _OF_LOT.search(text):
        return False
    others = [clause for clause in found if clause is not absent[0]]
    if any(_says_piece(clause) or _names_several(clause) for clause in others):
        return False
    before, after = _MISSING.split(absent[0], maxsplit=1)
    if not _says_piece(before):
        return _says_piece(after)
    return not _counts(after) and len(_counts(before)) < _SEVERAL


def _names_several(clause: str) -> bool:
    """The Bremsbacken of `Bremsbacken, Feder fehlt`: parts that are there."""
    found = tokens(clause)
    parts = all(token.entry is not None and token.entry.place for token in found)
    return bool(found) and parts and is_plural(found[-1].text, clause)


#: So many counts in a clause are those of two lots: 4 Schrauben M6 eine fehlt.
_SEVERAL = 2


def _says_piece(clause: str) -> bool:
    return bool(_counts(clause)) or any(map(names_piece, tokens(clause)))


def _counts(clause: str) -> list[Token]:
    """The counts of a clause; the two figures of M6x20 are none."""
    return [
        token
        for token in tokens(clause)
        if token.count or (len(token.numbers) == 1 and token.numbers[0].whole and not token.cross)
    ]


def says_none(text: str) -> bool:
    """Whether one of its clauses says that there are no screws, nuts or the like."""
    if _brings_parts(text):
        return False  # bearing cups, no balls
    first, *rest = _CLAUSE.split(text)
    last = rest[-1] if rest else first
    return is_nothing(first) or is_nothing(last) or any(map(says_no_kind, (first, *rest)))


def says_no_kind(clause: str) -> bool:
    """Whether a clause says that a thing was not there: no nut was fitted."""
    found = _NO.fullmatch(clause)
    words = tuple(map(fold, found["what"].split())) if found else ()
    said = look_up(words) if words else None
    named = said is not None and said[0] == len(words) and bool(said[1].kind)
    return named or words in {(word,) for word in _FASTENERS}


def _brings_parts(text: str) -> bool:
    """Whether it begins with several parts, or of something that nobody knows: they are here."""
    clauses = [clause for clause in _CLAUSE.split(text) if clause]
    found = tokens(clauses[0]) if len(clauses) > 1 else []
    if not found or not is_plural(found[-1].text):
        return False
    entry = found[-1].entry
    part = entry is not None and entry.place and not entry.kind
    return part or (found[-1].kind == "word" and not bench_roles(fold(found[-1].text)))
