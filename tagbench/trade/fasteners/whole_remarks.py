"""Notes that name no fastener at all, and go to the note of the part: `see photo`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tagbench.trade.fasteners.clauses import HEADING, clauses_of, is_heading
from tagbench.trade.fasteners.not_here import is_gone, is_shopping
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.remark_clauses import (
    MADE_OF,
    SAYS,
    begins_chore,
    counts_or_sizes,
    is_state,
    is_way_round,
    may_be_piece,
    names_piece,
    says_something,
)
from tagbench.trade.fasteners.tokens import Token, tokens
from tagbench.trade.fasteners.vocabulary import bench_roles, bench_words, fold, fold_words

#: Colours of wires, and what leads from one thing to another.
_COLOURS = re.compile(
    r"\b(?:black|blue|brown|red|white|green|yellow|grey|gray|orange|purple|pink|light|dark)\b"
    r"(?:[/-]\w+)?(?:\s(?:wire|lead|cable))?\s(?:to|=|->|goes|on)\s"
    r"|\bto\s(?:black|blue|brown|red|white|green|yellow|grey|gray|orange|purple|pink)\b",
    re.IGNORECASE,
)
#: What was set, and what is to stay so.
_SET_AT = re.compile(r"\b(?:set|gapped|timed|adjusted)\s(?:at|to)\b", re.IGNORECASE)


#: What is to be done when it goes together again.
_AT_REFIT = re.compile(
    r"\b(?:when|before|on|at|after|for|during)\s(?:re-?)?(?:build(?:ing)?|assembl(?:y|ing)|fit(?:ting)?)\b",
    re.IGNORECASE,
)
#: The thread of a fastener.
_THREAD = re.compile(r"\bM[0-9]+(?:x|\b)|\b(?:BS[FW]|UN[CF]|[0-9]+BA)\b")


#: It is worn out, or another is wanted.
_IS_TO_GO = re.compile(
    r"(?:frayed|worn|broken|cracked|perished|torn|split|snapped|knackered|shot|buy|order|replace|renew"
    r"|get\s(?:a\s)?new|to\s(?:be\s)?(?:replace|renew|order|buy)|neu|ersetzen|tauschen|gerissen|kaputt"
    r"|à\s(?:changer|remplacer)|cambiar|comprar|rot[oa]|da\s(?:cambiare|sostituire|comprare)|rott[oaei])\b",
    re.IGNORECASE,
)


def _tells_of_it(heading: re.Match[str]) -> bool:
    """Whether what stands behind a dash is how the thing before it is: impeller - vanes gone."""
    if _IS_TO_GO.match(heading.string, heading.end()):
        return True
    words = fold_words(heading.string[heading.end() :].partition(",")[0])
    what = bool(words) and (words[0] in MADE_OF or words[0] in bench_words("feature"))
    return what and any(not bench_roles(word).isdisjoint(_STATES) for word in words[1:])


_STATES = ("condition", "absent")


def is_remark(note: str) -> bool:
    """Whether a note in plain signs names no fastener at all: `see photo`, `bent, get new`."""
    if is_shopping(note):
        return True
    if _COLOURS.search(note) and not any(map(str.isdigit, note)):
        return True  # brown wire to coil, white to points
    if _SET_AT.search(note) and not any(one.entry and one.entry.kind for one in tokens(note)):
        return True  # points set at 0.015
    if _AT_REFIT.search(note) and _are_chores(note):
        return True  # fit new o-ring 22 x 2.5 when building
    called, _, behind = note.partition("!")
    if called and any(token.entry and token.entry.kind for token in tokens(behind.strip("! "))):
        return False  # don't lose! small ball + spring
    heading = HEADING.match(note)
    if heading is not None and heading[0].rstrip().endswith("-") and _tells_of_it(heading):
        return False  # brake cable - buy new: the cable is in the bag
    rest = note[heading.end() :] if heading is not None and is_heading(heading[1]) else note
    parted = [clause.strip("() .!") for _, clause in clauses_of(rest)]
    if _THREAD.search(parted[0]):
        return False  # seen without taking the words apart: most notes begin with a fastener
    return bool(note) and all(map(str.strip, parted)) and _are_remarks(parted)


def _are_remarks(parted: Sequence[str]) -> bool:
    """Whether each clause tells of something, and none brings a piece."""
    first = tokens(parted[0])
    if is_part_in_state(first):
        return False  # belt worn: a thing as well as a remark
    alone = _is_remark(first)
    if not alone and not any(map(_has_verb, parted[1:])):
        return False
    clauses = [first, *map(tokens, parted[1:])]
    if not alone:
        told = any(map(_is_told, clauses[1:]))
        return told and not any(names_piece(one) for found in clauses for one in found)
    return all(
        _is_remark(found) or is_state(found) or not any(map(names_piece, found))
        or is_gone(found, clause)
        for found, clause in zip(clauses[1:], parted[1:], strict=True)
    )  # fmt: skip


def _are_chores(note: str) -> bool:
    """Whether each clause says what to do, as `cleaned, fit new seal on assembly` does.

    What is named in one of them is then no piece of the bag, but of the day when it is fitted.
    """
    clauses = [(clause, tokens(clause.strip("() .!"))) for _, clause in clauses_of(note)]
    return all(
        found
        and begins_chore(found)
        and (_AT_REFIT.search(clause) or not any(map(names_piece, found)))
        for clause, found in clauses
    )


def _has_verb(clause: str) -> bool:
    """Whether one of its words is a verb or a negation; seen without taking it apart."""
    return any(not bench_roles(fold(word)).isdisjoint(_TELLING) for word in clause.split())


_TELLING = ("verb", "negation")


def _is_told(found: Sequence[Token]) -> bool:
    """Whether a clause says something with a verb: don't know where green goes."""
    words = [fold(word) for token in found for word in token.text.split()]
    said = any(word in bench_words(role) for word in words for role in _TELLING)
    return said and len(words) > _FEW_WORDS and _is_remark(found)


#: Fewer words may say how a part is, and no more.
_FEW_WORDS = 3
#: What is looked at is no piece of this bag.
_LOOKS = frozenset(("look", "check", "see", "inspect", "siehe", "voir", "ver", "vedi"))


#: What is not to be done names no piece either.
_DONT = ("don't", "dont", "do", "never", "nicht", "pas", "ne")


def is_part_in_state(found: Sequence[Token]) -> bool:
    """`belt worn`, `pressure gauge broken`: the name of a part, and how it is."""
    *part, state = found or [Token("word", "", 0, 0)]
    roles = ("opens", "sort", "pair of sides", "all", "verb")
    named = part and all(map(_names_part, part))
    told = any(fold(token.text) in bench_words(role) for token in part for role in roles)
    return bool(named) and not told and fold(state.text) in bench_words("condition")


def _names_part(token: Token) -> bool:
    """A part of the machine, or several of something that nobody knows: big end shells."""
    if token.entry is not None and token.entry.place:
        return True
    word = fold(token.text)
    return token.kind == "word" and not bench_roles(word) and is_plural(token.text)


def _is_remark(found: Sequence[Token]) -> bool:
    """`put back with glue`, `same as left`, `lost one`."""
    first, last = fold(found[0].text.split()[0]), fold(found[-1].text)
    begins = any(first in bench_words(role) for role in SAYS) or first == "same"
    begins = begins or begins_chore(found)
    rest = found[:-1] if begins and len(found) > 1 and last in ("one", "ones") else found
    names = names_piece if begins_chore(found) else may_be_piece
    pieces = [token for token in rest if token.kind != "join" and names(token)]
    if is_way_round(found):
        return True
    if first in (*_LOOKS, *_DONT) and not any(map(counts_or_sizes, rest)):
        return True  # look at seal, don't use the short screw here
    verbs = any(fold(word) in bench_words("verb") for one in found for word in one.text.split())
    return not pieces and (begins or verbs or says_something(found))
