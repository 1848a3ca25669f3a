"""Parses the tokens of a text into lines of fasteners: which token belongs to which line."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from itertools import takewhile

import msgspec

from tagbench.trade.fasteners.parsed_line import LockingDevice, ParsedLine
from tagbench.trade.fasteners.parser.counts import (
    SHORTEST,
    add_count,
    add_thing,
    begins_line,
    count_lock,
    is_count,
    is_first_sort,
    may_be_length,
    names_thing,
    note_each,
    note_per_side,
    part_of_several,
    says_where,
    take_condition,
)
from tagbench.trade.fasteners.parser.doubt import doubted
from tagbench.trade.fasteners.parser.lists import places_first, said_of_all, settle_counts
from tagbench.trade.fasteners.parser.pieces import is_piece, with_pieces
from tagbench.trade.fasteners.parser.places import OF, add_brackets, add_place, continues_place
from tagbench.trade.fasteners.parser.prepared import prepared
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.sizes import add_figure, add_thread, goes_on
from tagbench.trade.fasteners.parser.state import ParserState, tells_sort
from tagbench.trade.fasteners.parser.words import add_phrase
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.shared_words import share_words
from tagbench.trade.fasteners.tokens import Number, Token, count_alone, tokens
from tagbench.trade.fasteners.vocabulary import NO_LENGTH, THREADED_KINDS, bench_words, fold

#: `top 2:` counts, `tank 14:` names something.
_MOST_AT_A_PLACE = 8
_PAIR = 2
#: What numbers or letters the things of a list.
_LABEL = re.compile(r"\w[.:)]")
#: A tolerance such as h6 or H7 parts no size.
_FIT = re.compile(r"[A-Za-z]{1,2}[0-9]{1,2}")


def parse_lines(text: str) -> list[ParsedLine]:
    """The lines that one piece of a text holds, without their figures being read yet."""
    return _parse(ParserState(text, prepared(tokens(text), text)))


def _parse(state: ParserState) -> list[ParsedLine]:
    state.new(0)
    state.places_first = places_first(state)
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
        or line.per_side
    ]
    if not lines:  # small words alone say nothing, and are kept all the same
        return [ParsedLine(state.text, 0, len(state.text), words=[state.text])]
    lines = said_of_all(lines)
    settle_counts(state, lines)
    return with_pieces(share_words(doubted(state.tokens, lines)))


def _take(state: ParserState, at: int) -> int:
    token = state.tokens[at]
    if token.kind == "join":
        _join(state, token, at)
        return at + 1
    used = _dispatch(state, token, at)
    if used == 1 and token.entry and token.entry.opens and fold(token.text) in OF:
        return at + 1  # vis de 6 (4) et de 8 (2)
    state.line.end = max(state.line.end, state.tokens[at + used - 1].end)
    fit = token.kind == "word" and _FIT.fullmatch(token.text) is not None
    if not fit and fold(token.text) not in bench_words("hedge"):  # M6 x approx 20
        state.before = state.tokens[at + used - 1]
    said_again = token.kind == "thread" and state.line.thread is not token.thread
    if (token.kind == "word" and used == 1) or said_again:
        return at + used  # & casle nut: what follows is still behind the &
    if token.kind not in ("count", "numbers") or not state.repeat:
        state.join = "" if token.kind != "count" else state.join
    return at + used


def _join(state: ParserState, token: Token, at: int) -> None:
    line, name = state.line, token.name.lower().strip()
    state.join = name
    if name == ":":
        _heading(state, token, at)
    elif _is_unknown_thing(state, at):
        line.thing_named = True
        if line.count is None:
            line.count, line.figures = line.figures[0].token.numbers[0].whole, []
        state.new(token.end)
        state.join = name


def _heading(state: ParserState, token: Token, at: int) -> None:
    """What stands before a colon says where the things behind it were, or what they are."""
    line, follower = state.line, state.peek(at + 1)
    counted = follower is not None and bool(follower.count or follower.numbers)
    said = list(_since_join(state, at))
    if line.thing and counted and said and all(map(_names_place, said)):
        _next_heading(state, said, token.end)  # cyl 1: 4 nuts, cyl 2: 4 nuts
        return
    if line.count and counted and not line.thing and (line.words or line.place):
        line.count = None  # 1 qt bag: 12 screws
    if not (line.kind or line.thread or line.count):
        _words_are_place(state)
        return
    line.header = True
    sized = all("/" in figure.token.text for figure in line.figures)
    if (line.kind or line.thread) and line.count is not None and sized:
        line.total = True
        state.new(token.end)  # 3 circlips: 1 x 15, 2 x 14


def _since_join(state: ParserState, at: int) -> Iterator[Token]:
    for token in reversed(state.tokens[:at]):
        if token.kind == "join":
            return
        yield token


def _names_place(token: Token) -> bool:
    entry = token.entry
    return token.kind in ("word", "gauge") or bool(entry and (entry.place or entry.noise))


def _next_heading(state: ParserState, said: list[Token], end: int) -> None:
    line = state.line
    first = min(token.start for token in said)
    text = state.text[first : max(token.end for token in said)]
    line.words = [word for word in line.words if word not in text]
    line.place = [word for word in line.place if word not in text]
    state.new(end).place = [text]


def _is_unknown_thing(state: ParserState, at: int) -> bool:
    """The 2 x spade connectors of `2 x spade connectors, bolt M6x12`: the bolt is another thing."""
    line = state.line
    lone = _lone_figure(line)
    if (line.count is None and not lone) or (line.thing and not lone):
        return False
    own = [token for token in state.tokens if line.start <= token.start < line.end]
    clause = list(takewhile(lambda one: one.kind != "join", state.tokens[at + 1 :]))
    kinds = [one for one in clause if one.entry and one.entry.kind]
    if any(map(is_unread, own)) and not lone:
        return bool(kinds)
    counted = len(own) > 1 and (own[-1].kind == "count" or (lone and is_plural(own[-2].text)))
    counted = counted and state.join == "," and not any(map(tells_sort, own))
    own_count = any(one.count or one.numbers for one in clause) or not any(
        is_plural(one.text) for one in kinds
    )
    return counted and bool(kinds) and own_count  # Kerzenstecker 1x, Zündkerze


def _lone_figure(line: ParsedLine) -> bool:
    """The 4 of `tank rubbers 4`: all that a line says besides a place."""
    if len(line.figures) != 1 or line.kind or line.thread or line.head or not line.place:
        return False
    token = line.figures[0].token
    return len(token.numbers) == 1 and bool(token.numbers[0].whole) and not token.cross


def _words_are_place(state: ParserState) -> None:
    """`clutch cover: 4x M6x20` names the place first."""
    line = state.line
    if not (line.words or line.place):
        return
    end = line.end
    first = line.figures[0].token if len(line.figures) == 1 else None
    if first is not None and first.end == end and len(first.numbers) == 1:
        many = first.numbers[0].whole if not first.cross else 0
        if 0 < many <= _MOST_AT_A_PLACE:  # top 2: M6x55
            line.count, line.figures, end = many, [], first.start
    line.place, line.words = [state.text[line.start : end].strip(" :")], []


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
    line, lock, state.lock = state.line, state.lock, None
    if _only_one(state, token, at):
        return
    if lock is not None and is_piece(lock) and token.kind == "word" and not state.join:
        lock.words.append(token.text)  # nuts + washers gruesas
        state.lock = lock
        return
    match token.kind:
        case "tool":
            _add_tool(state, token, lock)
        case "note":
            line.notes.append(token.name)
        case "once":
            line.single_use = fold(token.name) != "reusable"
        case "handed":
            _handed(state, token, state.peek(at + 1))
        case "quoted":
            told = line.thing or line.count is not None
            labels = state.join == "," and told and _LABEL.fullmatch(token.name)
            (state.new(token.start) if labels else line).words.append(token.name)
        case "word" if _refers(state, token, at):
            pass
        case "word" if continues_place(state, token):
            line.place[-1] = f"{line.place[-1]} {token.text}"
        case _:
            line.words.append(token.text)


def _refers(state: ParserState, token: Token, at: int) -> bool:
    """Takes a word that says that what was said before, or what is said now, holds for another."""
    line = state.line
    if line.thing and _says_ditto(state, token, at):
        if state.join:
            state.new(token.start).ditto = True
            return True
        if line.figures and len(state.lines) > 1:  # 1 of 1/4 x 2 ditto
            line.ditto = True
            return True
    if line.core and _says_all(state, token, at):
        state.new(token.start).for_all = True
        return True
    return False


def _says_all(state: ParserState, token: Token, at: int) -> bool:
    """`all with nylocs` behind a comma, and `all 1/4 whit` anywhere."""
    follower = state.peek(at + 1)
    threaded = follower is not None and follower.thread is not None
    listed = threaded and len(state.lines) > 1
    return fold(token.text) in bench_words("all") and (bool(state.join) or listed)


def _says_ditto(state: ParserState, token: Token, at: int) -> bool:
    """`ditto`, and the same of `2 front, same rear`."""
    if fold(token.text) in bench_words("ditto"):
        return True
    follower = state.peek(at + 1)
    placed = follower is not None and bool(follower.entry and follower.entry.place)
    crossed = follower is not None and bool(follower.cross)
    return fold(token.text) == "same" and (placed or crossed)


def _add_tool(state: ParserState, token: Token, lock: LockingDevice | None) -> None:
    line = state.line
    if lock is not None and is_piece(lock) and not state.join:
        lock.tool = token.name  # studs + nuts SW 13
        return
    if state.join and line.tools and (line.kind or line.count is not None):
        line = state.new(token.start)  # 14 AF nut, 8 AF bolt
    line.tools.append(token.name)


def _only_one(state: ParserState, token: Token, at: int) -> bool:
    """Takes what a line has once at most; a second one stays among the words."""
    line = state.line
    if token.kind == "gauge" and line.gauge is not None and state.join and line.kind:
        line = state.new(token.start)  # #8 screws (3), #10 screws (1)
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
    if token.name in ("each", "sets"):
        note_each(state, token)
    elif token.name.startswith("lot "):  # 3 of the 4 bolts
        state.line.words.append(token.text)
        add_count(state, token.count, token, at)
        state.line.asked = token.text, (token.count, int(token.name.removeprefix("lot ")))
    elif token.name == "per side":
        note_per_side(state, token)
    elif says_where(state, token, at):
        state.line.place.append(state.text[token.start : state.tokens[at + 1].end])
        return 2
    elif several := part_of_several(state, token, at):
        state.line.words.append(token.text)
        state.line.asked = token.text, (several, token.count)
    elif fold(token.text) == "one" and _describes(state, at) and not _is_behind_join(state, at):
        return _one_of_a_sort(state, token, at)
    elif token.cross and _is_size(state, token):
        return add_figure(state, _as_numbers(token), at)
    elif take_condition(state, token, at):
        return 2
    elif begins_line(state, state.peek(at + 1)) or not count_lock(state, token.count):
        add_count(state, token.count, token, at)
    return 1


def _is_behind_join(state: ParserState, at: int) -> bool:
    """The one of `two on bottom, one in the middle` counts."""
    return at > 0 and state.tokens[at - 1].kind == "join"


def _is_size(state: ParserState, token: Token) -> bool:
    """Whether what could be a count behind its x is a size: M8 stud x 40, 8 dia x 50."""
    before = state.before
    if state.line.kind in NO_LENGTH:
        return False  # nuts M8 x4
    follower = next((one for one in state.tokens if one.start >= token.end), None)
    if follower is not None and follower.entry and is_plural(follower.text):
        other = follower.entry.kind
        if other and state.line.kind not in ("", other):
            return False  # 4 bolts M6 x 2 nuts
    line = state.line
    if goes_on(state) and line.thread is not None and line.figures:
        return True  # M5 x 10 (x2), x 16 (x1)
    known = line.count is not None and not (state.join or state.lock) and token.count >= SHORTEST
    if known and line.kind in THREADED_KINDS and not line.figures:
        return True  # bolts (2) 10mm head x 30
    if state.line.ditto and not state.line.figures and state.line.count is not None:
        return bool(state.lines[-2].figures)  # 2 M6x20, 1 ditto x 30
    sized = "thread" if state.line.kind in THREADED_KINDS - {"screw"} else "gauge"
    if before is not None and before.kind in ("thread", sized):
        return True
    across = before is not None and before.behind == "across" and not state.line.thread
    return across or may_be_length(state, token)


def _describes(state: ParserState, at: int) -> bool:
    """Whether the word before a one says which: the long one, the stubby one."""
    before, follower = state.before, state.peek(at + 1)
    if before is None or (follower is not None and tells_sort(follower)):
        return False  # 2 short one long
    if before.entry is not None:
        return before.entry.place and bool(state.line.place)
    return before.kind == "word" and bool(state.line.words) and before.text.isalpha()


def _one_of_a_sort(state: ParserState, token: Token, at: int) -> int:
    """`three long bolts and the stubby one` are four; `M6 long one` is a long M6."""
    line, before = state.line, state.tokens[at - 1]
    said = line.place if before.entry is not None else line.words
    behind = [one for one in state.tokens[max(0, at - 3) : at - 1] if one.kind == "join"]
    rest = fold(before.text) in bench_words("others")
    if behind and line.count is not None and line.thing and not rest:
        said.pop()
        line = state.new(before.start)
        line.count, line.place = 1, [f"{before.text} {token.text}"]
    elif said:
        said[-1] = f"{said[-1]} {token.text}"
    else:
        line.words.append(token.text)
    return 1


def _numbers(state: ParserState, token: Token, at: int) -> int:
    single = token.numbers[0].whole if len(token.numbers) == 1 and not token.cross else 0
    follower = state.peek(at + 1)
    used = 0
    if single and follower is None and _closes_with_count(state):
        state.line.count = single
        return 1
    if single and not token.behind and follower is not None:
        used = _lone_number(state, token, single, follower, at)
    return used or add_figure(state, token, at)


def _closes_with_count(state: ParserState) -> bool:
    """The 5 of `M5 screws - 5`."""
    line = state.line
    return state.join in ("-", ":") and line.count is None and line.surely_plural


def _lone_number(state: ParserState, token: Token, single: int, follower: Token, at: int) -> int:
    """How many tokens a number takes that says how many or where; 0 when it is a size."""
    both = state.text[token.start : follower.end]
    if state.line.thing and _says_ditto(state, follower, at + 1):
        line = state.new(token.start)
        line.ditto, line.count = True, single
        return 2
    if _says_where(state, single, follower, both) or take_condition(state, token, at):
        return 2
    after = state.peek(at + 2)
    if follower.name == "-" and state.join and after is not None and after.thread is not None:
        state.new(token.start).count = single  # 5 - 1/4-20 x 1/2, 3 - 1/4-20 x 3/4
        return 2
    if names_thing(state, single, at):
        add_thing(state, single, token, at)
        return 2
    if is_first_sort(state, follower, at):
        state.line.count = single
        return 1
    if is_count(state, single, follower):
        add_count(state, single, token, at)
        return 1
    if _is_some_of_them(state, single, follower, at):
        many = state.line.count or 1
        state.line.words.append(both)
        state.line.asked = both, (many, many + single)
        return 2
    return _unknown_thing(state, token, single, follower, at)


def _says_where(state: ParserState, single: int, follower: Token, both: str) -> bool:
    """Takes `6 o'clock`, and the side of `washer 1 side`."""
    if fold(follower.text) in ("o'clock", "oclock", "uhr"):
        add_place(state, both)
        return True
    side = fold(follower.text).removesuffix("s") in ("side", "end", "face")
    if side and single <= _PAIR:
        state.line.place.append(both)
    return side and single <= _PAIR


def _is_some_of_them(state: ParserState, single: int, follower: Token, at: int) -> bool:
    """The 1 domed of `7 nuts 1/4 BSF 1 domed`."""
    line, after, entry = state.line, state.peek(at + 2), follower.entry
    described = entry is not None and bool(entry.head) and not entry.kind
    described = described or (tells_sort(follower) and line.thread is not None)
    ends = after is None or after.kind == "join"
    told = bool(line.kind) and not state.join and (line.count or 0) > single
    return described and ends and told


def _unknown_thing(state: ParserState, token: Token, single: int, follower: Token, at: int) -> int:
    """Takes the eccentric of `1 screw, 1 eccentric`."""
    told = state.line.thing or state.line.count is not None
    if not (state.join and told and follower.kind == "word"):
        return 0
    if is_unread(follower):
        add_thing(state, single, token, at)
    else:
        state.line.words.append(state.text[token.start : follower.end])
    return 2


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdecimal()


def _as_numbers(token: Token) -> Token:
    figure = token.name if token.kind in ("bearing", "grade") else str(token.count)
    number = Number(value=Fraction(figure), text=figure, unit="")
    return msgspec.structs.replace(token, kind="numbers", numbers=(number,), count=0)
