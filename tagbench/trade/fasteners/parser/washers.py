"""Washers that are named by their sort alone: 3 plain, 2 copper, flats and springs."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, zip_longest

import msgspec

from tagbench.trade.fasteners.parser.prepared_words import how_many
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import fold, look_up


def washers_listed(found: list[Token]) -> list[Token]:
    """The plain and the brass of `washers: 3 plain 1 brass` are washers both, and all there are."""
    at = next((at for at, one in enumerate(found) if _are_washers(one)), -1)
    join = found[at + 1] if 0 <= at < len(found) - 1 else None
    if join is None or join.name not in (":", "-") or any(map(how_many, found[:at])):
        return found
    made: list[Token] = []
    for before, token in pairwise(found[at + 1 :]):
        said = look_up((fold(token.text), "washer")) if how_many(before) else None
        if said is not None and said[0] > 1:
            words = f"{token.text} washer"
            token = msgspec.structs.replace(token, kind="phrase", name=words, entry=said[1])
        made.append(token)
    named = sum(1 for one in made if one.entry is not None and "washer" in one.entry.kind)
    if named < sum(1 for one in made if how_many(one)) or named < _SORTS:
        return found
    opens = [*found[:at], join] if at else []
    return [*opens, *_in_list(made)]


def _are_washers(token: Token) -> bool:
    washers = token.entry is not None and token.entry.kind == "washer"
    return washers and is_plural(token.text) and not (token.entry and token.entry.material)


#: One sort is named before the washers: 3 plain washers.
_SORTS = 2


def _in_list(found: list[Token]) -> list[Token]:
    """The things with a comma between two of them."""
    made: list[Token] = []
    for token in found:
        if how_many(token) and made and made[-1].kind != "join":
            made.append(Token("join", ",", token.start, token.start, name=","))
        made.append(token)
    return made


_WASHERS = frozenset(("flat", "lock", "star", "fender"))


#: Of these alone are the washers of a banjo or a plug: + 2 copper.
_SOFT = {"copper", "fibre", "fiber", "aluminium", "aluminum", "ali", "cu"}


#: Inside and outside: copper 8x12.
_SIZES_OF_RING = 2
_ON = frozenset(("+", "&", "with", "w/", "w", "and", "plus", "c/w"))


def soft_washers(found: list[Token]) -> list[Token]:
    """The copper of `banjo M10x1 + 2 copper` is a washer."""
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        ends = follower is None or follower.kind == "join"
        counted = len(made) > 1 and bool(how_many(made[-1])) and made[-2].kind == "join"
        counted = counted and fold(made[-1].text) != "both"
        sized = follower is not None and len(follower.numbers) == _SIZES_OF_RING
        joined = sized and bool(made) and made[-1].kind == "join" and made[-1].name in _ON
        if ((ends and counted) or joined) and fold(token.text) in _SOFT:
            said = look_up((fold(token.text), "washer"))
            if said is not None and said[0] > 1:
                words = f"{token.text} washer"
                token = msgspec.structs.replace(token, name=words, entry=said[1])
        made.append(token)
    return made


def _is_counted_plain(last: Sequence[Token], before: Sequence[Token]) -> bool:
    named = any(one.entry is not None and "washer" in one.entry.kind for one in before)
    return named and bool(how_many(last[0])) and fold(last[1].text) in _FLAT


def washers_alone(found: list[Token]) -> list[Token]:
    """The flat of `(4) 3/8" flat, (4) 3/8" lock` is a washer, and so is the last plain of
    `4 spring washers 4 plain`."""
    if len(found) > _PAIR and _is_counted_plain(found[-2:], found[:-2]):
        last = found[-1]
        found = [*found[:-1], _washer(last)]
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        ends = follower is None or follower.kind == "join"
        sized = bool(made) and bool(made[-1].numbers) and not how_many(made[-1])
        said = look_up((fold(token.text), "washer")) if ends and sized else None
        if said is not None and said[0] > 1 and fold(token.text) in _WASHERS:
            words = f"{token.text} washer"
            token = msgspec.structs.replace(token, kind="phrase", name=words, entry=said[1])
        made.append(token)
    return made


#: Sorts of washer as they are named in short, beside another one.
_IN_SHORT = {
    "flat": "flat", "flats": "flat", "plain": "plain", "plains": "plain", "spring": "spring",
    "springs": "spring", "lock": "lock", "locks": "lock", "star": "star", "stars": "star",
}  # fmt: skip
_FLAT = frozenset(("flat", "plain"))


def washers_in_short(found: list[Token]) -> list[Token]:
    """The spring of `4x M5x12 + spring + flat`, the flats and springs of `4 bolts, flats & springs`
    are washers: a flat one and one that keeps tight, named together behind what they sit under."""
    if not any(fold(token.text) in _IN_SHORT for token in found[2:]):
        return found
    made = list(found)
    for at in range(2, len(found) - _PAIR):
        first, other = _sort(found, at), _sort(found, at + _PAIR)
        two = found[at], found[at + _PAIR]
        if first != other and len({first, other} & _FLAT) == 1 and first and other:
            if "springs" in map(_said, two) and not _SPRUNG.isdisjoint(map(_said, found)):
                continue
            made[at], made[at + _PAIR] = map(_washer, two)
    return made


def _sort(found: list[Token], at: int) -> str:
    """The sort of washer that a word between two joints may name, or empty."""
    before, token, *behind = found[at - 1 : at + 2]
    listed = before.kind == "join" and before.name != ":"
    if not listed or (behind and behind[0].kind != "join"):
        return ""
    sort, _, noun = fold(token.text).partition(" ")
    return _IN_SHORT.get(sort, "") if noun in ("", "washer", "washers") else ""


#: What has springs of its own.
_SPRUNG = frozenset(("clutch", "valve", "valves", "brake", "brakes", "carb", "kickstart"))


def _said(token: Token) -> str:
    return fold(token.text)


#: So far are two of them from one another.
_PAIR = 2


def _washer(token: Token) -> Token:
    sort = fold(token.text)
    said = look_up((_IN_SHORT[sort], "washer")) if sort in _IN_SHORT else None
    if said is None:
        return token  # it is called a washer already
    words = f"{_IN_SHORT[sort]} washer{'s' * is_plural(token.text)}"
    return msgspec.structs.replace(token, kind="phrase", name=words, entry=said[1])
