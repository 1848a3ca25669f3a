"""Parses the tokens of a text into lines of fasteners: which token belongs to which line."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import msgspec

from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.parser.counts import (
    add_count,
    begins_line,
    count_lock,
    is_count,
    is_first_sort,
    is_part_of_several,
    may_be_length,
    says_where,
    take_condition,
)
from tagbench.trade.fasteners.parser.sizes import add_figure, add_thread
from tagbench.trade.fasteners.parser.state import ParserState
from tagbench.trade.fasteners.parser.words import (
    add_brackets,
    add_phrase,
    add_place,
    continues_place,
)
from tagbench.trade.fasteners.shared_words import share_words
from tagbench.trade.fasteners.tokens import Number, Token, count_alone, tokens
from tagbench.trade.fasteners.vocabulary import THREADED_KINDS, PhraseMeaning, fold

#: More than so many of one length are not listed by their length.
_LIKELY_COUNT = 12


def parse_lines(text: str) -> list[ParsedLine]:
    """The lines that one piece of a text holds, without their figures being read yet."""
    return _parse(ParserState(text, _parted(tokens(text))))


def _parse(state: ParserState) -> list[ParsedLine]:
    state.new(0)
    at = 0
    while at < len(state.tokens):
        at = _take(state, at)
    lines = [
        line
        for line in state.lines
        if line.core
        or line.count
        or line.torque
        or line.notes
        or line.tools
        or line.grade
        or line.locks
    ]
    if not lines:  # small words alone say nothing, and are kept all the same
        lines = [ParsedLine(state.text, 0, len(state.text), words=[state.text])]
    return share_words(lines)


def _take(state: ParserState, at: int) -> int:
    token = state.tokens[at]
    line = state.line
    if token.kind == "join":
        state.join = token.name.lower().strip()
        if state.join == ":" and not (line.kind or line.thread or line.count):
            _words_are_place(state)
        return at + 1
    used = _dispatch(state, token, at)
    state.line.end = max(state.line.end, state.tokens[at + used - 1].end)
    state.before = state.tokens[at + used - 1]
    if token.kind not in ("count", "numbers") or not state.repeat:
        state.join = "" if token.kind != "count" else state.join
    return at + used


def _words_are_place(state: ParserState) -> None:
    """`clutch cover: 4x M6x20` names the place first."""
    line = state.line
    if line.words or line.place:
        said = state.text[line.start : line.end].strip(" :")
        line.place, line.words = [said], []


def _dispatch(state: ParserState, token: Token, at: int) -> int:
    kind = token.kind
    if kind == "count":
        return _count(state, token, at)
    if kind == "grade" and not _is_grade(state, token, at) and _is_number(token.name):
        return _numbers(state, _as_numbers(token), at)
    if kind == "bearing" and token.name.isdecimal() and not _is_bearing(state, token):
        return _numbers(state, _as_numbers(token), at)
    if kind == "numbers":
        return _numbers(state, token, at)
    if kind == "thread":
        return add_thread(state, token, at)
    if kind == "phrase":
        return add_phrase(state, token, at)
    if kind == "place" or (token.text[0] == "[" and count_alone(token.name)):
        return add_brackets(state, token)
    _simple(state, token, at)
    return 1


def _simple(state: ParserState, token: Token, at: int) -> None:
    line = state.line
    state.lock = None
    if _only_one(state, token, at):
        return
    match token.kind:
        case "tool":
            line.tools.append(token.name)
        case "note":
            line.notes.append(token.name)
        case "once":
            line.single_use = fold(token.name) != "reusable"
        case "handed":
            _handed(state, token, state.peek(at + 1))
        case "quoted":
            line.words.append(token.name)
        case "word" if continues_place(state, token):
            line.place[-1] = f"{line.place[-1]} {token.text}"
        case _:
            line.words.append(token.text)


def _only_one(state: ParserState, token: Token, at: int) -> bool:
    """Takes what a line has once at most; a second one stays among the words."""
    line = state.line
    if token.kind == "torque" and line.torque is None:
        line.torque = token.torque
    elif token.kind == "grade" and not line.grade and _is_grade(state, token, at):
        line.grade = token.name
    elif token.kind == "standard" and not line.standard:
        line.standard = token.name
    elif token.kind == "bearing" and _is_bearing(state, token):
        if line.bearing:  # bearings 6202, 6203
            before = line
            line = state.new(token.start)
            line.kind, line.kind_words = before.kind, before.kind_words
        line.bearing = token.name
    elif token.kind in ("gauge", "tpi") and getattr(line, token.kind) is None:
        setattr(line, token.kind, token)
    else:
        return False
    return True


def _handed(state: ParserState, token: Token, follower: Token | None) -> None:
    if follower is not None and fold(follower.text) in ("side", "end", "seite"):
        state.line.place.append(token.text)
        return
    close = state.before is not None and state.before.kind in ("thread", "numbers")
    state.line.handed.append((token, close))


def _is_grade(state: ParserState, token: Token, at: int) -> bool:
    """A bare 8.8 is a class only beside a thread; `grade 5` is one anywhere."""
    if not token.text[:1].isdigit() or state.line.thread is not None:
        return True
    for follower in state.tokens[at + 1 : at + 4]:
        if follower.kind == "join":
            return False
        if follower.kind == "thread":
            return True
    return False


def _is_bearing(state: ParserState, token: Token) -> bool:
    """A figure such as 6202 is a bearing when one is named, or nothing else is."""
    kinds = [one.entry.kind for one in state.tokens if one.entry and one.entry.kind]
    if any("bearing" in kind for kind in kinds):
        return True
    return not kinds and len(token.name) > 3


def _count(state: ParserState, token: Token, at: int) -> int:
    before = state.before
    sized = "thread" if state.line.kind in THREADED_KINDS - {"screw"} else "gauge"
    if token.cross and before is not None and before.kind in ("thread", sized):
        return add_figure(state, _as_numbers(token), at)
    if says_where(state, token, at):
        state.line.place.append(state.text[token.start : state.tokens[at + 1].end])
        return 2
    if is_part_of_several(state, token, at):
        state.line.words.append(token.text)
        return 1
    if fold(token.text) == "one" and before is not None and before.entry and before.entry.place:
        state.line.place[-1] = f"{state.line.place[-1]} {token.text}"
        return 1
    if token.cross and may_be_length(state, token):
        return add_figure(state, _as_numbers(token), at)
    if token.cross and before is not None and before.behind == "across" and not state.line.thread:
        return add_figure(state, _as_numbers(token), at)  # 8 dia x 50
    if take_condition(state, token, at):
        return 2
    if not begins_line(state, state.peek(at + 1)) and count_lock(state, token.count):
        return 1
    add_count(state, token.count, token, at)
    return 1


def _numbers(state: ParserState, token: Token, at: int) -> int:
    single = token.numbers[0].whole if len(token.numbers) == 1 and not token.cross else 0
    follower = state.peek(at + 1)
    if single and not token.behind and follower is not None:
        if fold(follower.text) in ("o'clock", "oclock", "uhr"):
            said = state.text[token.start : follower.end]
            add_place(state, said)
            return 2
        if take_condition(state, token, at):
            return 2
        if is_first_sort(state, follower, at):
            state.line.count = single
            return 1
        if is_count(state, single, follower):
            add_count(state, single, token, at)
            return 1
    return add_figure(state, token, at)


def _parted(found: list[Token]) -> list[Token]:
    """Cuts the 3 long of "3 long, 1 short", which is a count, from the 20 long of M6 20 long."""
    parted: list[Token] = []
    diameter = 0.0
    for token in found:
        if token.thread is not None and token.thread.thread is not None:
            diameter = token.thread.thread.diameter_mm
        elif len(token.numbers) == 1 and token.numbers[0].unit and not token.behind:
            diameter = float(token.numbers[0].value)
        counts = len(token.numbers) == 1 and token.numbers[0].whole and not token.cross
        if (
            token.behind == "long"
            and counts
            and (not diameter or token.numbers[0].whole <= diameter)
            and _may_count(token.numbers[0].whole, parted)
        ):
            figure, _, word = token.text.partition(" ")
            end = token.start + len(figure)
            parted.append(msgspec.structs.replace(token, text=figure, end=end, behind=""))
            parted.append(
                Token("phrase", word, end + 1, token.end, entry=PhraseMeaning(place=True))
            )
        else:
            parted.append(token)
    return parted


def _may_count(number: int, before: Sequence[Token]) -> bool:
    """Whether the 3 of `3 long` may be how many, by what stands before it."""
    if not before or before[-1].kind == "join":
        return True
    return number <= _LIKELY_COUNT and before[-1].kind != "numbers"


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdecimal()


def _as_numbers(token: Token) -> Token:
    figure = token.name if token.kind in ("bearing", "grade") else str(token.count)
    number = Number(value=Fraction(figure), text=figure, unit="")
    return msgspec.structs.replace(token, kind="numbers", numbers=(number,), count=0)
