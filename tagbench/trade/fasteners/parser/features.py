"""What a part has on it, and what is written on it: words, which count and size no parts.

The 3 of `washer 3 ears` are its ears, the square of `square hole screw` is its hole, and the
figures of `3 jaws numbered 1 2 3` stand on the jaws.
"""

from __future__ import annotations

from collections.abc import Sequence

from tagbench.trade.fasteners.parser.prepared_words import how_many
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import bench_words, fold

_WITH = frozenset(("with", "w/", "w", "mit", "avec", "con", "having"))
_ARTICLES = frozenset(("a", "an", "one", "the", "un", "une", "una", "ein", "einer", "einem"))
#: Behind these stands what is written on a part.
_WRITTEN = frozenset(("numbered", "marked", "stamped", "labelled", "lettered", "punched"))
#: They are the drive of a screw as well, and washers in short.
_ALSO_OTHER = frozenset(("slot", "slots", "flats"))


#: Which way it goes: right way round, wrong way up.
_WAYS = frozenset(("right", "wrong", "which", "what", "other", "correct", "that", "this", "same"))
_ROUND = frozenset(("round", "up", "in", "out", "around", "on"))
#: A number behind one of these says how many of those that were counted are so.
_STATES = ("broken", "bent", "sheared", "snapped", "seized", "stripped")
#: Behind a verb: screws off, clips into the hub.
_VERBS = frozenset(("screws", "clips", "bolts", "plugs"))
_AWAY = frozenset(("off", "out", "into", "onto", "over"))


def remarks_on_parts(found: list[Token], text: str) -> list[Token]:
    """The tokens with what is said of parts as one word: lost 1, screws off, right way round."""
    if not any(map(_may_remark, found)):
        return found
    made: list[Token] = []
    at = 0
    while at < len(found):
        token, rest = found[at], found[at + 1 :]
        if rest and _is_remark(token, rest, made):
            ways = fold(token.text) == "way" and made and fold(made[-1].text) in _WAYS
            first = made.pop() if ways else token
            token = Token("word", text[first.start : rest[0].end], first.start, rest[0].end)
            at += 1
        made.append(token)
        at += 1
    return made


#: What is put on a thing, called by what is in it: copper grease.
_PUT_ON = frozenset(
    (
        "grease",
        "paste",
        "slip",
        "ease",
        "paint",
        "spray",
        "goo",
        "sealant",
        "tape",
        "wool",
        "compound",
    )
)
#: They go on as they hang: hooks on the carb arm.
_HANGS = frozenset(("hooks", "clips", "hangs"))
_ON = frozenset(("on", "onto", "into", "over", "round", "to"))


_SINGLE = frozenset(("way", "stay", "stays", "stayed", "rh", "right-hand"))


def _may_remark(token: Token) -> bool:
    said = fold(token.text)
    told = said in _VERBS or said in _HANGS or said in _PUT_ON or said in _SINGLE
    return told or said in _STATES or said in bench_words("absent")


def _is_remark(token: Token, rest: Sequence[Token], before: Sequence[Token]) -> bool:
    """Whether a word and the one behind it say how parts are, go or come off."""
    said, behind = fold(token.text), fold(rest[0].text)
    entry = token.entry
    if said == "pipe" and before and before[-1].numbers and "/" in before[-1].text:
        return False
    if entry is not None and entry.material and not entry.kind and behind in _PUT_ON:
        return True
    if said in _HANGS and behind in _ON and bool(before) and before[-1].kind != "join":
        return not how_many(before[-1])
    if said in ("stay", "stays", "stayed") and behind in ("in", "put", "on", "there"):
        return bool(before)
    if said in ("rh", "right-hand") and behind in ("thread", "threaded", "thd"):
        return True
    if said == "way":
        return behind in _ROUND and bool(before)
    opens = not before or before[-1].kind == "join"
    comes_off = said in _VERBS and behind in _AWAY and opens
    return comes_off or _counts_state(said, rest[0], rest[1:], before)


def _counts_state(said: str, many: Token, behind: Sequence[Token], before: Sequence[Token]) -> bool:
    ends = not behind or behind[0].kind == "join"
    state = said in bench_words("absent") or said in _STATES
    return state and ends and bool(how_many(many)) and any(map(how_many, before))


def features(found: list[Token], text: str) -> list[Token]:
    """The tokens with each feature of a part as one word, with its count and its `with`."""
    nouns = bench_words("feature")
    if not any(fold(token.text) in nouns or fold(token.text) in _WRITTEN for token in found):
        return found
    made: list[Token] = []
    at = 0
    while at < len(found):
        token = found[at]
        begin, end = len(made), at + 1
        if made and fold(token.text) in nouns:
            begin = _begin(made, token, found[at + 1 : at + 2])
            end = _end(found, at) if begin < len(made) and _is_with(made[begin]) else at + 1
        elif fold(token.text) in _WRITTEN:
            while end < len(found) and (found[end].numbers or found[end].count):
                end += 1
            begin = len(made) if end > at + 1 else begin
        if begin < len(made) or end > at + 1:
            first, last = made[begin] if begin < len(made) else token, found[end - 1]
            made[begin:] = [Token("word", text[first.start : last.end], first.start, last.end)]
        else:
            made.append(token)
        at = end
    return made


def _begin(before: Sequence[Token], noun: Token, behind: Sequence[Token]) -> int:
    """Where what says of a feature begins; the number of tokens when it is none of a part."""
    at = len(before)
    described = before[-1].entry is not None and not before[-1].entry.kind
    kind = behind[0].entry is not None and behind[0].entry.kind if behind else ""
    hollow = fold(noun.text) in ("hole", "holes", "recess")
    if hollow and kind and before[-1].entry is not None and before[-1].entry.head:
        return at - 1  # square hole screw
    if at > 1 and (described or before[-1].kind == "word") and not how_many(before[-1]):
        at -= not _is_with(before[-1]) and before[-1].kind != "join"
    many = at > 0 and (bool(how_many(before[at - 1])) or fold(before[at - 1].text) in _ARTICLES)
    at -= many
    if at and _is_with(before[at - 1]):
        own = many or fold(noun.text) not in _ALSO_OTHER
        return at - 1 if own and at > 1 else len(before)
    listed = not at or before[at - 1].kind == "join"
    if listed or not many or fold(noun.text) == "flats":
        return len(before)
    return at if _names_part(before[at - 1]) else len(before)


def _names_part(token: Token) -> bool:
    """Whether a feature may be that of what stands before it."""
    entry = token.entry
    return token.kind == "word" or (entry is not None and bool(entry.kind or entry.place))


def _end(found: Sequence[Token], at: int) -> int:
    """Behind what is said of the feature: bent over the nut."""
    end = at + 1
    while end < len(found) and found[end].kind in ("word", "phrase"):
        end += 1
    return end


def _is_with(token: Token) -> bool:
    return token.kind == "join" and fold(token.name.strip()) in _WITH
