"""Parts of the machine that are counted in a note, and are no fasteners: 5 ring terms, 2 jets.

What nobody knows is taken for a thing where a number counts it, so that the number is not taken
for the size or the count of what stands beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import msgspec

from tagbench.trade.fasteners.parser.asked_counts import NO_PIECES
from tagbench.trade.fasteners.parser.prepared_words import LIKELY_COUNT, how_many
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import (
    PARTS_LIKE_HEADS,
    PhraseMeaning,
    bench_roles,
    fold,
)

_THING = PhraseMeaning(kind="other")
#: So many counts make a list, and a name and its count are so many.
_PAIR = 2
#: More words than these name no part.
_LONGEST = 3
#: What is counted and is no piece, and what has pieces of its own: 2 legs, 3 drums.
_NO_PIECES = NO_PIECES | frozenset(
    ("sides", "places", "ends", "corners", "halves", "positions", "spots", "threads", "legs",
     "cylinders", "drums", "wheels", "hubs", "barrels", "forks", "items", "bags", "boxes", "tins",
     "sizes", "lengths", "kinds", "types", "sorts", "others", "extras", "speeds", "lots", "rows",
     "originals", "used", "repros", "replacements")
)  # fmt: skip
#: A clause with one of these before the number is a remark.
_REMARK = frozenset(("verb", "negation", "chore", "hedge", "comparative"))
#: Behind the name of a thing stands one of these, or another count.
_ENDS = frozenset(("gauge", "place", "join", "thread", "count", "numbers"))


def parts_counted(found: list[Token], text: str) -> list[Token]:
    """The tokens with each counted part as one thing."""
    found = _counted_behind(_apart(found), text)
    made: list[Token] = []
    at = 0
    while at < len(found):
        many = how_many(found[at])
        before = made[-2:-1] if made and made[-1].kind == "join" else made[-1:]
        listed = bool(before) and before[0].entry is _THING
        end = _end_of_name(found, at + 1, many, listed) if 0 < many <= LIKELY_COUNT else 0
        if not end or not (listed or _may_count(found, at)):
            made.append(found[at])
            at += 1
            continue
        if any(map(how_many, made)) and made[-1].kind != "join":
            start = found[at].start
            made.append(Token("join", ",", start, start, name=","))
        first, last = found[at + 1], found[end - 1]
        name = text[first.start : last.end]
        made += [found[at], Token("phrase", name, first.start, last.end, name=name, entry=_THING)]
        at = end
    return made


def _apart(found: list[Token]) -> list[Token]:
    """The tokens with a comma behind each count of `pawls 4 pins 4`, where all stand behind."""
    if any(token.kind == "join" for token in found) or len(found) < 2 * _PAIR:
        return found
    counts = [at for at, token in enumerate(found) if how_many(token)]
    names = [token for at, token in enumerate(found) if at not in counts]
    plain = all(_names(token) or (token.entry and token.entry.kind) for token in names)
    ends = counts[-1:] == [len(found) - 1] and len(counts) >= _PAIR
    if not (plain and ends) or any(b - a < _PAIR for a, b in pairwise([-1, *counts])):
        return found
    if not all(is_plural(found[at - 1].text) for at in counts):
        return found
    made: list[Token] = []
    for at, token in enumerate(found):
        if at and at - 1 in counts:
            made.append(Token("join", ",", token.start, token.start, name=","))
        made.append(token)
    return made


def _counted_behind(found: list[Token], text: str) -> list[Token]:
    """The 6 of `bullet connectors 6, green`, the 3 of `ring terminals 3 kill wire` count them."""
    first = next((at for at, token in enumerate(found) if not _names(token)), len(found))
    token = found[first] if 0 < first < len(found) and first <= _LONGEST else None
    many = how_many(token) if token is not None and token.kind == "numbers" else 0
    if token is None or not 0 < many <= LIKELY_COUNT or _is_metal(found[first - 1]):
        return found
    noun = fold(found[first - 1].text)
    follower = found[first + 1] if first + 1 < len(found) else None
    goes_on = follower is None or follower.kind == "join" or _names(follower)
    if not is_plural(noun) or noun in _NO_PIECES or not goes_on:
        return found
    start, end = found[0].start, found[first - 1].end
    thing = Token("phrase", text[start:end], start, end, name=text[start:end], entry=_THING)
    count = msgspec.structs.replace(token, kind="count", numbers=(), count=many)
    return [thing, count, *found[first + 1 :]]


def _end_of_name(found: Sequence[Token], at: int, many: int, listed: bool) -> int:
    """Behind the name of a part that so many are counted of; 0 for anything else.

    `listed`: it stands behind another one: 2 spades 1 eyelet.
    """
    end = at
    while end < len(found) and end - at < _LONGEST and _names(found[end]):
        end += 1
    if many > 1:  # 2 caps inlet
        end = max((i + 1 for i in range(at, end) if is_plural(found[i].text)), default=at)
    if end == at:
        return 0
    own, last = found[at:end], found[end - 1]
    ends = end == len(found) or found[end].kind in _ENDS or _is_noise(found[end])
    ends = ends or _is_state(found[end]) or _is_part(found[end])
    if many == 1:  # 1 fuse holder, but not: 1 slightly wonky
        named = len(own) > 1 and any(map(_is_part, own))
        named = (named or (listed and _is_noun(last))) and not is_plural(last.text)
    else:
        named = is_plural(last.text) and fold(last.text) not in _NO_PIECES
    return end if named and ends else 0


def _names(token: Token) -> bool:
    return is_unread(token) or _is_part(token) or _is_metal(token)


def _is_part(token: Token) -> bool:
    entry = token.entry
    part = entry is not None and entry.place and not (entry.kind or entry.opens)
    roles = bench_roles(fold(token.text)) - {"threaded thing", "feature", "chore"}
    return part and not tells_sort(token) and not roles


def _is_metal(token: Token) -> bool:
    """The corks and the steels of a clutch, the caps of its valves."""
    entry = token.entry
    if entry is None or entry.kind or not is_plural(token.text):
        return False
    return bool(entry.material) or fold(token.text).removesuffix("s") in PARTS_LIKE_HEADS


def _is_noise(token: Token) -> bool:
    return token.entry is not None and token.entry.noise


def _is_noun(token: Token) -> bool:
    """Whether an unread word is more likely a thing than what became of one: melted, wonky."""
    return is_unread(token) and not fold(token.text).endswith(("ed", "en", "ly", "y", "ing"))


def _is_state(token: Token) -> bool:
    return bool(bench_roles(fold(token.text)) & {"condition", "absent"}) and not tells_sort(token)


def _may_count(found: Sequence[Token], at: int) -> bool:
    """Whether a number begins a thing of its own: behind a heading, in a list, before a size."""
    own: list[Token] = []
    for token in reversed(found[:at]):
        if token.kind == "join":
            break
        own.insert(0, token)
    if any(bench_roles(fold(token.text)) & _REMARK for token in own):
        return False
    if not own:
        return True
    before = own[-1]
    if before.entry is not None and before.entry.opens:
        return False
    if any(token.entry is not None and token.entry.kind for token in own):
        return bool(how_many(own[0]))  # 6 springs 6 cups
    return _names(before) and not any(map(how_many, own))
