"""Remarks in prose, which are kept word for word: `no washer`, `one is shorter`, `see bag 4`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import bench_words, fold, nearest_word

_CLAUSE_ENDS = frozenset((",", ";", ".", ":", "|", "-"))
#: They begin a note as often as they go on with one.
_PARTICIPLES = frozenset(("cut", "used", "came", "stuck"))
#: Words that a count may stand beside.
_KNOWN_SMALL = frozenset(("approx", "about", "ditto", "same", "other", "others", "rest", "autres"))
_AND = frozenset(("and", "&", "+", "und", "et", "y", "e"))


def with_remarks(found: list[Token], text: str) -> list[Token]:
    """The tokens with each remark as one word, so that nothing in it is counted or read."""
    listed = any(token.kind == "join" for token in found)
    if not any(map(_may_remark, found)) and not listed:
        return found
    made: list[Token] = []
    for clause, end in _clauses(found):
        begin = _remark_in(clause, any(token.kind != "word" for token in made))
        if len(clause) < len(found) and _is_of_something_else(clause):
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
        if (token.kind == "join" and token.name in _CLAUSE_ENDS) or (joins and counted):
            yield clause, [token]
            clause = []
            continue
        clause.append(token)
        if token.kind == "word" and token.text.endswith("!"):
            yield clause, []
            clause = []
    yield clause, []


def _remark_in(clause: Sequence[Token], told: bool) -> int:
    """Where the remark in a clause begins; its length when there is none.

    `told`: something was said before it, so that `one is shorter` counts no new piece.
    """
    for at, token in enumerate(clause):
        if _is_negation(token) and at + 1 < len(clause):
            return at
        bare = all(one.kind != "count" or one.name == "word" for one in clause[:at])
        with_it = told and at and bare and _is_with(token) and all(map(_is_weak, clause[:at]))
        if not _is_verb(token) and not with_it:
            continue
        subject = clause[:at]
        if not (told or subject) and fold(token.text) in _PARTICIPLES:
            continue  # cut down M6x30
        return 0 if told and all(map(_is_weak, subject)) else at
    return 0 if told and _is_of_others(clause) else len(clause)


def _is_of_something_else(clause: Sequence[Token]) -> bool:
    """`4 holes 6.5 mm`, `0.3 end float`, `shank 45`: figures with a noun that is no fastener."""
    if not any(token.numbers for token in clause):
        return False
    if len(clause) == 2 and clause[0].numbers and clause[0].numbers[0].whole:
        return False  # 2 dingles are things, and counted
    for token in clause:
        entry = token.entry
        if token.kind not in ("word", "numbers", "phrase") or token.behind or tells_sort(token):
            return False
        if entry and (entry.kind or entry.head or entry.drive or entry.locks or entry.material):
            return False
    return any(
        token.kind == "word"
        and len(token.text) > 3
        and token.text.isalpha()
        and not nearest_word(token.text)
        and fold(token.text) not in _KNOWN_SMALL
        for token in clause
    )


def _is_of_others(clause: Sequence[Token]) -> bool:
    """`3 of 4 M6 bolts, other one broke`, `rest short`: pieces that were counted before."""
    if not clause or any(one.thread or one.numbers for one in clause):
        return False
    first = fold(clause[0].text)
    named = any(one.entry and one.entry.kind for one in clause)
    return not named and (first in bench_words("others") or first in ("other", "rest"))


def _says_absent(clause: Sequence[Token]) -> bool:
    """`Federring fehlt!`: a kind without a size or count, which is not there."""
    if len(clause) < 2 or not (clause[0].entry and clause[0].entry.kind):
        return False
    return len(clause) == 2 and fold(clause[1].text.strip("! ")) in bench_words("absent")


def _is_negation(token: Token) -> bool:
    return token.kind in ("word", "phrase", "join") and fold(token.text) in bench_words("negation")


def _is_verb(token: Token) -> bool:
    if token.kind not in ("word", "phrase"):
        return False
    return fold(token.text) in bench_words("verb")


def _may_remark(token: Token) -> bool:
    said = fold(token.text.strip("! "))
    absent = said in bench_words("absent") or said in ("other", "others", "rest")
    return absent or _is_negation(token) or _is_verb(token) or _is_with(token)


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
