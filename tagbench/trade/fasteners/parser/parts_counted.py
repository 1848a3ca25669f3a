"""Parts of the machine that are counted in a note, and are no fasteners: 5 ring terms, 2 jets.

What nobody knows is taken for a thing where a number counts it, so that the number is not taken
for the size or the count of what stands beside it.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import msgspec

from tagbench.trade.fasteners.parser.asked_counts import NO_PIECES
from tagbench.trade.fasteners.parser.prepared_words import LIKELY_COUNT, THING, how_many
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Token, count_alone
from tagbench.trade.fasteners.vocabulary import (
    PARTS_LIKE_HEADS,
    bench_roles,
    bench_words,
    fold,
)

_LIKE_HEADS = PARTS_LIKE_HEADS | {"hook", "eye"}
#: So many counts make a list, and a name and its count are so many.
_PAIR = 2
#: More words than these name no part.
_LONGEST = 3
#: What is counted and is no piece, and what has pieces of its own: 2 legs, 3 drums.
NO_PARTS = NO_PIECES | frozenset(
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
    if len(found) > _PAIR and _is_numbered_jet(found[:_PAIR]) and _is_said_of(found[_PAIR]):
        return [_thing(found[0], found[1], text), *found[_PAIR:]]  # Hauptdüse 78 Vergaser
    found = _each_of_its_own(found, text)
    found = _counted_behind(_by_colour(_times_behind(_apart(found)), text), text)
    made: list[Token] = []
    at = 0
    while at < len(found):
        many = how_many(found[at])
        before = made[-2:-1] if made and made[-1].kind == "join" else made[-1:]
        listed = bool(before) and before[0].entry is THING
        if (end := _joined_to_thing(found, at, made)) > at:
            made.append(_thing(found[at], found[end - 1], text))
            at = end
            continue
        behind = _counted_in_brackets(found, at) if made and made[-1].kind == "join" else 0
        if behind:
            made.append(_thing(found[at], found[behind - 1], text))
            at = behind
            continue
        end = _end_of_name(found, at + 1, many, listed) if 0 < many <= LIKELY_COUNT else 0
        if not end or not (listed or _may_count(found, at)):
            made.append(found[at])
            at += 1
            continue
        if any(map(how_many, made)) and made[-1].kind != "join":
            start = found[at].start
            made.append(Token("join", ",", start, start, name=","))
        made += [found[at], _thing(found[at + 1], found[end - 1], text)]
        at = end
    return made


def _is_said_of(token: Token) -> bool:
    """Whether it says where a thing was or how it is, and counts, sizes and names none."""
    named = token.entry is not None and bool(token.entry.kind)
    return token.kind in ("phrase", "word") and not named


def _joined_to_thing(found: Sequence[Token], at: int, made: Sequence[Token]) -> int:
    """Behind the earth tag of `3 wires + earth tag`, another thing; else the same place."""
    if len(made) < _PAIR or made[-1].kind != "join" or made[-1].name not in ("+", "&", "plus"):
        return at
    end = at
    while end < len(found) and _names(found[end]):
        end += 1
    ends = end == len(found) or found[end].kind == "join"
    return end if made[-2].entry is THING and ends and end - at <= _LONGEST else at


def _thing(first: Token, last: Token, text: str) -> Token:
    said = text[first.start : last.end]
    return Token("phrase", said, first.start, last.end, name=said, entry=THING)


def _counted_in_brackets(found: Sequence[Token], at: int) -> int:
    """Behind the name that brackets count: the collets of `spring + collets (pair)`; else 0."""
    end = at
    while end < len(found) and end - at < _LONGEST and is_unread(found[end]):
        end += 1
    counted = end < len(found) and found[end].kind == "place" and count_alone(found[end].name)
    return end if end > at and counted else 0


def _apart(found: list[Token]) -> list[Token]:
    """The tokens with a comma behind each count of `pawls 4 pins 4`, where all stand behind."""
    if any(token.kind == "join" for token in found) or len(found) < 2 * _PAIR:
        return found
    counts = [at for at, token in enumerate(found) if how_many(token)]
    names = [token for at, token in enumerate(found) if at not in counts]
    plain = all(
        _names(token) or (token.entry and (token.entry.kind or token.entry.noise))
        for token in names
    )
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


def _times_behind(found: list[Token]) -> list[Token]:
    """The tokens with a comma behind the x2 of `valve springs x2 collets x4`."""
    made: list[Token] = []
    for at, token in enumerate(found):
        before, behind = made[-1] if made else None, found[at + 1] if at + 1 < len(found) else None
        counted = before is not None and before.kind == "count" and bool(before.cross)
        next_one = behind is not None and behind.kind == "count" and bool(behind.cross)
        if counted and next_one and _names(token) and is_plural(token.text):
            made.append(Token("join", ",", token.start, token.start, name=","))
        made.append(token)
    return made


#: Things that come in several sorts, one clause for each: tail bulb 6V 3W, stop bulb 6V 18W.
_SORTED = frozenset(("bulb", "jet", "wire", "fuse", "lead", "relay", "switch", "brush"))


def _each_of_its_own(found: list[Token], text: str) -> list[Token]:
    """The tokens with each clause that names such a thing as one thing, where two of them do."""
    ends = [at for at, token in enumerate(found) if token.kind == "join" and token.name != ":"]
    clauses = [found[a + 1 : b] for a, b in pairwise([-1, *ends, len(found)])]
    jets = sum(map(_is_numbered_jet, clauses)) if len(clauses) >= _PAIR else 0
    if jets + sum(map(_names_sorted, clauses)) < _PAIR and not jets:
        return found
    made: list[Token] = []
    for clause, end in zip(clauses, [*ends, len(found)], strict=True):
        one = _names_sorted(clause) or _is_numbered_jet(clause)
        made += [_thing(clause[0], clause[-1], text)] if one else clause
        made += found[end : end + 1]
    return made


#: Nozzles of a carburettor, which go by their number.
_JETS = frozenset(("jet", "pilot", "gicleur", "duse", "duese", "hauptduse", "leerlaufduse", "getto",
                   "chicler", "surtidor", "spruzzatore"))  # fmt: skip


def _is_numbered_jet(clause: Sequence[Token]) -> bool:
    """Whether a clause is a jet by its number: main jet #95, Hauptdüse 85, pilot 38."""
    if len(clause) < _PAIR or clause[-1].kind not in ("numbers", "gauge"):
        return False
    names = clause[:-1]
    whole = len(clause[-1].numbers) <= 1 and not clause[-1].behind and not clause[-1].cross
    return whole and fold(names[-1].text.split()[-1]) in _JETS and all(map(_may_stand, names))


def _names_sorted(clause: Sequence[Token]) -> bool:
    """Whether a clause names one of these, and no fastener, count or size of one."""
    named = any(_SORTED.intersection(fold(token.text).split()) for token in clause)
    told = any(
        token.count or token.thread or token.kind == "gauge"
        or bool(token.entry and (token.entry.kind or token.entry.opens))
        for token in clause
    )  # fmt: skip
    return named and not told and not how_many(clause[0])


def _by_colour(found: list[Token], text: str) -> list[Token]:
    """The three of `spade terminals 2 red 1 black`, counted by what tells them apart."""
    first = next((at for at, token in enumerate(found) if not _names(token)), len(found))
    if not 0 < first <= _LONGEST or not is_plural(found[first - 1].text):
        return found
    end, many = first, 0
    while end + 1 < len(found) and how_many(found[end]) and _tells_one(found[end + 1]):
        many += how_many(found[end])
        end += 2
    placed = end < len(found) and (found[end].kind == "join" or _is_part(found[end]))
    if end < first + 2 * _PAIR or not (placed or end == len(found)):
        return found
    thing = _thing(found[0], found[end - 1], text)
    count = Token("count", str(many), thing.end, thing.end, count=many)
    return [thing, count, *found[end:]]


def _may_stand(token: Token) -> bool:
    """Whether it may stand in a name: also what a thing is made of, as in felt wipers."""
    entry = token.entry
    metal = entry is not None and bool(entry.material) and not entry.kind
    return metal or _names(token) or fold(token.text) == "ones"


def _tells_one(token: Token) -> bool:
    """Whether it may be a colour or the like: red, black, plated."""
    entry = token.entry
    return is_unread(token) or (entry is not None and bool(entry.material) and not entry.kind)


def _counted_behind(found: list[Token], text: str) -> list[Token]:
    """The 6 of `bullet connectors 6, green`, the 3 of `ring terminals 3 kill wire` count them, in
    each clause."""
    ends = [at for at, token in enumerate(found) if token.kind == "join"]
    made: list[Token] = []
    for begin, end in pairwise([-1, *ends, len(found)]):
        made += _named_and_counted(found[begin + 1 : end], text)
        made += found[end : end + 1]
    return made


def _is_named(token: Token) -> bool:
    """The connectors of bullet connectors, the ones of `spade terminals 5, bullet ones 3`."""
    return fold(token.text) == "ones" or _names(token)


def _named_and_counted(found: list[Token], text: str) -> list[Token]:
    first = next((at for at, token in enumerate(found) if not _may_stand(token)), len(found))
    token = found[first] if 0 < first < len(found) and first <= _LONGEST else None
    behind = token is not None and (token.kind == "numbers" or token.name in ("", "word"))
    many = how_many(token) if behind else 0
    if token is None or not 0 < many <= LIKELY_COUNT or not _is_named(found[first - 1]):
        return found
    noun = fold(found[first - 1].text)
    follower = found[first + 1] if first + 1 < len(found) else None
    goes_on = follower is None or follower.kind == "join" or _names(follower)
    goes_on = goes_on or (follower is not None and _is_state(follower))
    threaded = noun.removesuffix("s") in bench_words("threaded thing") or noun in bench_words(
        "threaded thing"
    )
    long = first + 2 < len(found) and bool(found[first + 2].cross)  # switches 2 M8x30
    own = follower is not None and follower.thread is not None and not long
    goes_on = goes_on or (threaded and own)
    if not is_plural(noun) or noun in NO_PARTS or not goes_on:
        return found
    thing = _thing(found[0], found[first - 1], text)
    count = msgspec.structs.replace(token, kind="count", numbers=(), count=many)
    return [thing, count, *found[first + 1 :]]


def _end_of_name(found: Sequence[Token], at: int, many: int, listed: bool) -> int:
    """Behind the name of a part that so many are counted of; 0 for anything else.

    `listed`: it stands behind another one: 2 spades 1 eyelet.
    """
    while many > 1 and at + 1 < len(found) and _is_state(found[at]) and _names(found[at + 1]):
        at += 1  # carb 4 rusty brackets
    end = at
    while end < len(found) and end - at < _LONGEST and _names(found[end]):
        end += 1
    if at < len(found) and _is_electrical(found[at]) and end == at + 1:  # 2 spade 6.3 red
        rated = end < len(found) and found[end].text[:1].isdigit()  # 1 bulb 6v
        return end if end == len(found) or rated or found[end].kind in _ENDS else 0
    if many > 1:  # 2 caps inlet
        end = max((i + 1 for i in range(at, end) if is_plural(found[i].text)), default=at)
    if end == at:
        return 0
    own, last = found[at:end], found[end - 1]
    ends = end == len(found) or found[end].kind in _ENDS or _is_noise(found[end])
    ends = ends or (is_unread(found[end]) and not _is_noun(found[end]))  # 3 arms screwed in
    ends = ends or _is_state(found[end]) or _is_part(found[end])
    if many == 1:  # 1 fuse holder, but not: 1 slightly wonky
        named = len(own) > 1 and any(map(_is_part, own))
        named = (named or (listed and _is_noun(last))) and not is_plural(last.text)
    else:
        named = is_plural(last.text) and fold(last.text) not in NO_PARTS
    return end if named and ends else 0


#: What wires end in, and what is in them, said of one and of several.
_ELECTRICAL = frozenset(("spade", "bullet", "ring", "eyelet", "fuse", "bulb", "connector"))


def _is_electrical(token: Token) -> bool:
    return fold(token.text) in _ELECTRICAL and (token.kind == "word" or _is_part(token))


def _names(token: Token) -> bool:
    return is_unread(token) or _is_part(token) or _is_metal(token)


def _is_part(token: Token) -> bool:
    entry = token.entry
    part = entry is not None and entry.place and not (entry.kind or entry.opens)
    roles = bench_roles(fold(token.text)) - {"threaded thing", "feature", "chore"}
    return part and not tells_sort(token) and not roles


def _is_place(token: Token) -> bool:
    return token.entry is not None and token.entry.place


def _is_metal(token: Token) -> bool:
    """The corks and the steels of a clutch, the caps of its valves."""
    entry = token.entry
    if entry is None or entry.kind or not is_plural(token.text):
        return False
    return bool(entry.material) or fold(token.text).removesuffix("s") in _LIKE_HEADS


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
    if any(bench_roles(fold(token.text)) & _REMARK and not _is_place(token) for token in own):
        return False
    if not own:
        return True
    before = own[-1]
    if before.entry is not None and before.entry.opens:
        return False
    kind = next((i for i, one in enumerate(own) if one.entry is not None and one.entry.kind), -1)
    if kind >= 0:
        return any(map(how_many, own[:kind]))  # 6 springs 6 cups, tank 4 bolts 4 rubbers
    return (_names(before) or tells_sort(before)) and not any(map(how_many, own))
