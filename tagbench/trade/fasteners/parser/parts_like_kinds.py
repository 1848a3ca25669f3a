"""Parts of a machine that are called as small things are: a front roller, an exhaust clamp, a cage.

Beside fasteners that were counted or sized they are where these sat; `ball cage` and `ring
terminal` are things of their own, and neither a ball nor a ring.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, zip_longest

import msgspec

from tagbench.trade.fasteners.parser.prepared_words import PLACE, THING, how_many
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import (
    PARTS_LIKE_HEADS,
    THREADED_KINDS,
    bench_roles,
    fold,
)

#: What rolls or holds in a machine; a needle roller is said with its needle.
_LARGE = frozenset(("roller", "clamp"))
#: Behind the name of a small thing they name another: ball cage, wire ring terminal.
_OTHERS = frozenset(
    ("cage", "cages", "terminal", "terminals", "lever", "handle", "knob", "arm", "rod", "shaft",
     "guide", "adjuster", "tensioner", "rail", "bracket", "end")
)  # fmt: skip
#: Of these, what is a thing and never where others sat.
_THINGS = frozenset(("cage", "cages", "terminal", "terminals"))
#: Kinds that such a part is named after.
_NAMED_AFTER = frozenset(
    ("ball", "roller", "circlip", "clamp", "chain", "thin nut", "spring", "clip", "bush")
)
_ARTICLES = frozenset(("a", "an", "one", "1"))


def parts_like_kinds(found: list[Token], text: str) -> list[Token]:
    """The tokens with each such part as one place or one thing."""
    found = _held_by_bolts(_called_by_others(found, text))
    kinds = {token.entry.kind for token in found if token.entry is not None}
    if "U-bolt" in kinds or (kinds & THREADED_KINDS and _has_leaf_spring(found)):
        found = _springs(found)
    return _where_or_what(found, text) if kinds & _NAMED_AFTER else found


def _called_by_others(found: list[Token], text: str) -> list[Token]:
    """The tokens with parts that are called as heads of screws, plugs and ends of wires are."""
    words = {fold(token.text) for token in found}
    if words & PARTS_LIKE_HEADS:
        found = _caps(found)
    if words & _SEALING:
        found = _plugs(found)
    if "carriage" in words:
        found = _carriages(found)
    if "socket" in words:
        found = _sockets(found, text)
    if "side" in words:
        found = _sides(found, text)
    if "pipe" in words:
        found = _pipe_threads(found)
    return _terminals(found, text) if words & _ENDS_OF_WIRES else found


def _pipe_threads(found: list[Token]) -> list[Token]:
    """The pipe of `drain plug 3/8 pipe` says what thread it has, and is no place."""
    made: list[Token] = []
    for token in found:
        before = made[-1] if made else None
        sized = before is not None and bool(before.numbers) and "/" in before.text
        if sized and fold(token.text) == "pipe":
            token = Token("word", token.text, token.start, token.end)
        made.append(token)
    return made


def _sides(found: list[Token], text: str) -> list[Token]:
    """The suction side and the PTO side of a machine are called by a word that nobody knows."""
    made: list[Token] = []
    for token in found:
        before = made[-1] if made else None
        named = before is not None and is_unread(before) and not bench_roles(fold(before.text))
        if before is not None and named and fold(token.text) == "side" and _is_part(token):
            made[-1] = _place(before, token, text)
        else:
            made.append(token)
    return made


def _where_or_what(found: list[Token], text: str) -> list[Token]:
    """The tokens with a roller or clamp as a place, and what is named after a small thing."""
    made: list[Token] = []
    at = 0
    while at < len(found):
        token = found[at]
        kind = token.entry.kind if token.entry is not None else ""
        follower = found[at + 1] if at + 1 < len(found) else None
        second = fold(follower.text) if follower is not None else ""
        others = [one for one in found if one is not token]
        if kind in _NAMED_AFTER and follower is not None and second in _OTHERS:
            made.append(_named(token, follower, text, _is_thing(second, found[at + 2 :], others)))
            at += 2
            continue
        if kind in _LARGE and _is_where(made, token, found[at + 1 :], others):
            begin = _begin(made)
            end = at + 1 + (follower is not None and _is_part(follower))
            first = made[begin] if begin < len(made) else token
            made[begin:] = [_place(first, found[end - 1], text)]
            at = end
            continue
        made.append(token)
        at += 1
    return made


def _caps(found: list[Token]) -> list[Token]:
    """The cap of `2 cap clips` is what they hold, and no head of a screw."""
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        kind = follower.entry.kind if follower is not None and follower.entry is not None else ""
        soft = kind in ("clip", "gasket", "seal", "spring", "clamp", "circlip")
        if soft and fold(token.text) in PARTS_LIKE_HEADS:
            token = _as_place(token)
        made.append(token)
    return made


_SEALING = frozenset(("gasket", "washer", "seal"))


def _plugs(found: list[Token]) -> list[Token]:
    """The plug of `spark plug gasket` is what it seals."""
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        kind = token.entry.kind if token.entry is not None else ""
        seals = follower is not None and fold(follower.text).split()[-1:] in (
            [one] for one in _SEALING
        )
        if kind in ("spark plug", "drain plug", "plug") and seals and not is_plural(token.text):
            token = _as_place(token)
        made.append(token)
    return made


def _held_by_bolts(found: list[Token]) -> list[Token]:
    """The springs of `saddle springs bolts 2` are what the bolts hold."""
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        kind = follower.entry.kind if follower is not None and follower.entry is not None else ""
        bolts = kind in ("bolt", "nut", "stud") and follower is not None
        before = made[-1] if made else None
        held = bolts and fold(token.text) == "springs" and not how_many(before)
        if held and follower is not None and is_plural(follower.text):
            token = _as_place(token)
        made.append(token)
    return made


def _has_leaf_spring(found: Sequence[Token]) -> bool:
    said = [fold(token.text) for token in found]
    return ("leaf", "spring") in pairwise(said) or "leaf spring" in said


def _springs(found: list[Token]) -> list[Token]:
    """The spring of `u bolts rear spring 4` is that of the axle, which they hold."""
    made: list[Token] = []
    for token in found:
        before = made[-1] if made else None
        counted = bool(how_many(before)) or (before is not None and before.kind == "join")
        if fold(token.text) in ("spring", "leaf spring") and not counted:
            token = _as_place(token)
        made.append(token)
    return made


def _carriages(found: list[Token]) -> list[Token]:
    """The carriage of `carriage return spring` is no head of a bolt."""
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        entry = follower.entry if follower is not None else None
        bolt = entry is not None and entry.kind in ("bolt", "screw", "nut")
        head = follower is not None and fold(follower.text) in ("head", "hd", "heads")
        if fold(token.text) == "carriage" and token.entry is not None and not (bolt or head):
            token = _as_place(token)
        made.append(token)
    return made


#: What is plugged into such a socket.
_PLUGGED = frozenset(
    ("light", "headlight", "headlamp", "valve", "bulb", "lamp", "tube", "plug", "relay", "fuse",
     "trailer", "ball")
)  # fmt: skip


def _sockets(found: list[Token], text: str) -> list[Token]:
    """The socket of `valve socket 2 rivets` is no head of a screw."""
    made: list[Token] = []
    for token in found:
        before = made[-1] if made else None
        words = fold(before.text).split() if before is not None else []
        plugged = bool(words) and words[-1] in _PLUGGED
        if plugged and fold(token.text) == "socket" and before is not None:
            made[-1] = _place(before, token, text)
        else:
            made.append(token)
    return made


_ENDS_OF_WIRES = frozenset(("terminal", "eyelet", "tag"))


def _terminals(found: list[Token], text: str) -> list[Token]:
    """The `ring terminal M6` has a thread that it goes on, and is a thing of its own."""
    made: list[Token] = []
    at = 0
    while at < len(found):
        end = at
        opens = not at or found[at - 1].kind == "join"
        while opens and end < len(found) and (_is_part(found[end]) or is_unread(found[end])):
            end += 1
        named = at < end < len(found) and fold(found[end - 1].text) in _ENDS_OF_WIRES
        if named and (found[end].thread is not None or found[end].kind == "gauge"):
            said = text[found[at].start : found[end - 1].end]
            last = found[end - 1].end
            made.append(Token("phrase", said, found[at].start, last, name=said, entry=THING))
            at = end
        else:
            made.append(found[at])
            at += 1
    return made


def _is_thing(second: str, behind: Sequence[Token], others: Sequence[Token]) -> bool:
    threaded = bool(behind) and behind[0].thread is not None  # table clamp handle M12
    alone = not any(one.entry is not None and one.entry.kind for one in others)
    return second in _THINGS or threaded or alone


def _named(token: Token, follower: Token, text: str, thing: bool) -> Token:
    said = text[token.start : follower.end]
    entry = THING if thing else PLACE
    return Token("phrase", said, token.start, follower.end, name=said, entry=entry)


def _as_place(token: Token) -> Token:
    return msgspec.structs.replace(token, kind="phrase", name=token.text, entry=PLACE)


def _place(first: Token, last: Token, text: str) -> Token:
    said = text[first.start : last.end]
    return Token("phrase", said, first.start, last.end, name=said, entry=PLACE)


def _is_where(
    before: Sequence[Token], token: Token, behind: Sequence[Token], others: Sequence[Token]
) -> bool:
    """Whether a roller or clamp says where the fasteners of the note sat."""
    if is_plural(token.text) or " " in token.text.strip():
        return False
    last = before[-1] if before else None
    counted = last is not None and (bool(how_many(last)) or fold(last.text) in _ARTICLES)
    joined = last is not None and last.kind == "join" and last.name not in (",", ".", ":", "-")
    fixed = any(one.entry is not None and one.entry.kind in _FIXING for one in others)
    if counted or joined or not fixed:
        return False
    roller = fold(token.text) == "roller"
    if behind and fold(behind[0].text) in ("end", "ends") and roller:
        return True  # roller end pins
    named = last is not None and (_is_part(last) or is_unread(last))
    heads = bool(behind) and bool(how_many(behind[0]))  # clamp 1 screw
    return heads or (named and roller)


_FIXING = THREADED_KINDS | frozenset(("washer", "pin", "cotter pin", "circlip", "spring"))


def _is_part(token: Token) -> bool:
    entry = token.entry
    return entry is not None and entry.place and not (entry.kind or entry.opens)


def _begin(before: Sequence[Token]) -> int:
    """Where the name of the part begins: the front of front roller."""
    at = len(before)
    while at and (_is_part(before[at - 1]) or is_unread(before[at - 1])):
        at -= 1
    return at
