"""Remarks in prose, which are kept word for word: `no washer`, `one is shorter`, `see bag 4`."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

import msgspec

from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import (
    PhraseMeaning,
    bench_words,
    fold,
    look_up,
    nearest_word,
)

_CLAUSE_ENDS = frozenset((",", ";", ".", ":", "|", "-"))
#: They begin a note as often as they go on with one.
_PARTICIPLES = frozenset(("cut", "used", "came", "stuck"))
#: Words that a count may stand beside.
_KNOWN_SMALL = frozenset(
    ("same", "other", "others", "rest", "autres", "bsf", "bsw", "bsc", "cei", "unf", "unc", "whit",
     "whitworth")
)  # fmt: skip
#: What stands behind them says again what is there.
_LABELS = frozenset(("order", "note", "nb", "n.b", "reihenfolge", "ordre", "orden", "ordine"))
_SMALL = ("hedge", "ditto", "condition", "all", "weak", "absent", "sizes", "comparative", "others")
#: Kinds of token that say something of a fastener.
_TELLING = frozenset(
    ("thread", "tool", "grade", "standard", "bearing", "tpi", "torque", "quoted", "note", "place")
)
#: A word of so many letters is near to some other by chance.
_SHORT = 4
#: How words of several things end in five languages.
_PLURAL_ENDS = ("s", "x", "n", "e", "i", "r", "l", "a")
#: The its of `its the one with the long shank`; that of `reed block, its 4 screws` has no verb.
_IT_IS = re.compile(r"\bits\s(?:the|an?|not|for|from|in|on)\s", re.IGNORECASE)
_NOISE = PhraseMeaning(noise=True)
_LETTERS = re.compile(r"[^\W\d_]{3}")
_AND = frozenset(("and", "&", "+", "und", "et", "y", "e"))


def with_remarks(found: list[Token], text: str) -> list[Token]:
    """The tokens with each remark as one word, so that nothing in it is counted or read."""
    if not _IT_IS.search(text):
        found = [
            msgspec.structs.replace(token, kind="phrase", entry=_NOISE)
            if token.text.lower() == "its"
            else token
            for token in found
        ]
    listed = any(token.kind == "join" for token in found)
    if not any(map(_may_remark, found)) and not listed:
        return found
    made: list[Token] = []
    for clause, end in _clauses(found):
        label = len(clause) == 1 and bool(end) and end[0].name == ":" and bool(made)
        if label and fold(clause[0].text) in _LABELS:
            opens = clause[0].start
            return [*made, Token("word", text[opens : found[-1].end], opens, found[-1].end)]
        begin = _remark_in(clause, any(token.kind != "word" for token in made))
        if len(clause) < len(found) and _is_of_something_else(clause):
            begin = 0
        if clause and found[0] is clause[0] and _is_size_of_part(clause, found[len(clause) :]):
            begin = 0
        if _says_absent([token for token in clause if token.text != "!"]) and len(clause) < len(
            found
        ):
            begin = 0
        made += clause[:begin]
        if begin < len(clause):
            first, last = clause[begin], clause[-1]
            made.append(Token("word", text[first.start : last.end], first.start, last.end))
        made += end
    return made


def _clauses(found: Sequence[Token]) -> Iterator[tuple[list[Token], list[Token]]]:
    """The pieces between commas, and each time the comma behind; `and 2 nuts` begins another."""
    clause: list[Token] = []
    for at, token in enumerate(found):
        follower = found[at + 1] if at + 1 < len(found) else None
        joins = token.kind == "join" and token.name.lower() in _AND
        counted = follower is not None and (follower.count or follower.numbers)
        ends = token.kind == "join" and token.name in _CLAUSE_ENDS and not _abbreviates(found, at)
        if ends or (joins and counted):
            yield clause, [token]
            clause = []
            continue
        clause.append(token)
        if token.kind == "word" and token.text.endswith("!"):
            yield clause, []
            clause = []
    yield clause, []


def _abbreviates(found: Sequence[Token], at: int) -> bool:
    """The point of `1 ea. adj. bolt` ends no clause."""
    if found[at].name != "." or not at or at + 1 == len(found):
        return False
    before, follower = found[at - 1].text.split()[-1:], found[at + 1].text
    return (
        bool(before) and before[0].isalpha() and len(before[0]) <= _SHORT and follower[0].islower()
    )


def _remark_in(clause: Sequence[Token], told: bool) -> int:
    """Where the remark in a clause begins; its length when there is none.

    `told`: something was said before it, so that `one is shorter` counts no new piece.
    """
    if clause and clause[0].kind == "quoted":
        told = False  # B) one with a dowel
    if told and _is_of_which(clause):
        return 0
    for at, token in enumerate(clause):
        if (
            at
            and _is_or(token)
            and fold(clause[at + 1].text if at + 1 < len(clause) else "") in _NEW
        ):
            return at  # helicoil or new stud
        if _is_negation(token) and at + 1 < len(clause):
            return at
        bare = all(one.kind != "count" or one.name == "word" for one in clause[:at])
        with_it = told and at and bare and _is_with(token) and all(map(_is_weak, clause[:at]))
        with_it = with_it and fold(clause[0].text) not in bench_words("all")  # all with nylocs
        if not _is_verb(token) and not with_it:
            continue
        subject = clause[:at]
        if not (told or subject) and fold(token.text) in _PARTICIPLES:
            continue  # cut down M6x30
        return 0 if told and all(map(_is_weak, subject)) else at
    return 0 if told and _is_of_others(clause) else len(clause)


_NEW = frozenset(("new", "another", "a"))


def _is_or(token: Token) -> bool:
    return fold(token.text) in ("or", "oder", "ou", "o")


def _is_of_which(clause: Sequence[Token]) -> bool:
    """`3 of which brass` are some of the eight before."""
    words = [word for token in clause[:3] for word in fold(token.text).split()]
    if words[:2] == ["of", "which"]:
        return True
    return bool(clause) and bool(clause[0].count or clause[0].numbers) and "which" in words[1:3]


def _is_of_something_else(clause: Sequence[Token]) -> bool:
    """`0.3 end float`, `took 2 hours or so`, `shank 45`: figures with words that name no fastener.

    What a clause without a known thing says is kept whole; only `2 dingles` counts things.
    """
    if not any(token.numbers or token.count or token.kind == "gauge" for token in clause):
        return False
    if any(_tells_fastener(token) for token in clause):
        return False
    if any(fold(token.text) in bench_words(role) for role in ("per", "each") for token in clause):
        return False
    first, *rest = clause
    many = first.count or (first.numbers[0].whole if len(first.numbers) == 1 else 0)
    things = many and rest and all(map(_may_name, rest))
    last = fold(rest[-1].text) if rest else ""
    if things and (many == 1 or last.endswith(_PLURAL_ENDS if len(rest) == 1 else "s")):
        return False
    if things and len(rest) == 1:
        return not _may_count(last)
    return any(map(is_unread, clause)) or (len(clause) > 2 and any(map(_is_absent, clause)))


def _is_absent(token: Token) -> bool:
    return fold(token.text.strip("! ")) in bench_words("absent")


def _is_size_of_part(clause: Sequence[Token], rest: Sequence[Token]) -> bool:
    """The `hinge 80 long` before `, 6 screws`: a part and its size, and no fastener."""
    if not any(token.entry and token.entry.kind for token in rest):
        return False
    part = any(token.entry and token.entry.place and not tells_sort(token) for token in clause)
    sized = any(token.behind or any(one.unit for one in token.numbers) for token in clause)
    plain = all(token.numbers or (token.entry and token.entry.place) for token in clause)
    return part and sized and plain and not clause[0].numbers


def _tells_fastener(token: Token) -> bool:
    """Whether it says something of a fastener, or which one of several it was."""
    if token.kind in _TELLING or tells_sort(token) or token.behind or token.cross:
        return True
    entry = token.entry
    return entry is not None and bool(entry.kind or entry.head or entry.drive or entry.locks)


def _may_count(word: str) -> bool:
    """Whether a word behind a number is a slip for a kind, a set, or the flat of flat washers."""
    near = nearest_word(word)
    slip = look_up((near,)) if near else None
    kinds = (look_up((word, noun)) for noun in ("washer", "nut", "screw", "bolt", "pin"))
    noun = any(said is not None and said[0] > 1 for said in kinds)
    small = any(word in bench_words(role) for role in (*_SMALL, "set", "noise", "place", "opens"))
    return noun or small or bool(slip and slip[1].kind)


def _may_name(token: Token) -> bool:
    """Whether it may name a thing that is no fastener: 2 rubber dingles, 2 spade terminals."""
    entry = token.entry
    return token.kind == "word" or _is_metal(token) or bool(entry and entry.place)


def _is_metal(token: Token) -> bool:
    return token.entry is not None and bool(token.entry.material)


def is_unread(token: Token | None) -> bool:
    """Whether nobody knows what a word says, not even with one letter mended."""
    if token is None or token.kind != "word" or not _LETTERS.search(token.text):
        return False
    said = fold(token.text)
    if token.text.isalpha() and len(said) > _SHORT and nearest_word(token.text) not in ("", said):
        return False
    return said not in _KNOWN_SMALL and not any(said in bench_words(role) for role in _SMALL)


def _is_of_others(clause: Sequence[Token]) -> bool:
    """`3 of 4 M6 bolts, other one broke`, `rest short`: pieces that were counted before."""
    if not clause or any(one.thread or one.numbers for one in clause):
        return False
    opens = clause[0].entry is not None and clause[0].entry.noise and len(clause) > 1
    first = fold(clause[opens].text)  # the other two grand
    named = any(one.entry and one.entry.kind for one in clause)
    return not named and (first in bench_words("others") or first in ("other", "rest"))


def _says_absent(clause: Sequence[Token]) -> bool:
    """`Federring fehlt!`: a kind without a size or count, which is not there."""
    if len(clause) < 2 or not (clause[0].entry and clause[0].entry.kind):
        return False
    return len(clause) == 2 and _is_absent(clause[1])


def _is_negation(token: Token) -> bool:
    return token.kind in ("word", "phrase", "join") and fold(token.text) in bench_words("negation")


def _is_verb(token: Token) -> bool:
    if token.kind not in ("word", "phrase") or token.entry is _NOISE:
        return False
    return fold(token.text) in bench_words("verb")


def _may_remark(token: Token) -> bool:
    said = fold(token.text.strip("! "))
    others = said in ("other", "others", "rest", "or")
    return others or _is_absent(token) or _is_negation(token) or _is_verb(token) or _is_with(token)


def _is_with(token: Token) -> bool:
    """The with of `3 bolts, one with a nut`."""
    return token.kind == "join" and fold(token.name) in ("with", "w/", "w", "mit", "avec", "con")


def _is_weak(token: Token) -> bool:
    """Whether it names no thing: the others, one, two."""
    if token.kind in ("count", "quoted") or (len(token.numbers) == 1 and not token.numbers[0].unit):
        return True
    if fold(token.text) in bench_words("weak"):
        return True
    entry = token.entry
    return entry is not None and (entry.noise or entry.place or entry.opens)
