"""Parses the tokens of a text into lines of fasteners: which token belongs to which line."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import takewhile

import msgspec

from tagbench.trade.fasteners.parsed_line import Figure, LockingDevice, ParsedLine
from tagbench.trade.fasteners.parser.brackets import add_brackets
from tagbench.trade.fasteners.parser.counts import is_slip
from tagbench.trade.fasteners.parser.doubt import doubted
from tagbench.trade.fasteners.parser.lists import places_first, said_of_all, settle_counts
from tagbench.trade.fasteners.parser.lone_figures import (
    MOST_AT_A_PLACE,
    as_numbers,
    says_ditto,
    take_count,
    take_numbers,
)
from tagbench.trade.fasteners.parser.no_places import keep_described
from tagbench.trade.fasteners.parser.pieces import is_piece, with_pieces
from tagbench.trade.fasteners.parser.places import (
    OF,
    continues_place,
    is_named_behind_plus,
    unknown_behind_plus,
)
from tagbench.trade.fasteners.parser.prepared import prepared
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.sizes import add_thread
from tagbench.trade.fasteners.parser.state import BELONGS, ParserState, tells_sort
from tagbench.trade.fasteners.parser.words import add_phrase
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.shared_words import share_words
from tagbench.trade.fasteners.tokens import Token, count_alone, tokens
from tagbench.trade.fasteners.vocabulary import (
    RINGS,
    bench_words,
    fold,
)

#: Of washers they are form and size as often as a stainless steel.
_FORMS = ("A1", "A3", "A5")
#: What numbers or letters the things of a list.
_LABEL = re.compile(r"\w[.:)]")
#: A tolerance such as h6 or H7 parts no size.
_FIT = re.compile(r"[A-Za-z]{1,2}[0-9]{1,2}")


def parse_lines(text: str, *, placed: bool = False) -> list[ParsedLine]:
    """The lines that one piece of a text holds, without their figures being read yet.

    `placed`: a heading said already where all of it was.
    """
    return _parse(ParserState(text, prepared(tokens(text), text, placed=placed), placed=placed))


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
    lines = share_words(doubted(state.tokens, lines))
    _ask_rest(state.text, lines)
    lines = with_pieces(lines)
    keep_described(lines)
    return lines


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
    small = fold(token.text) in _THE
    if ((token.kind == "word" or small) and used == 1) or said_again:
        return at + used  # & casle nut, & the nut: what follows is still behind the &
    if token.kind not in ("count", "numbers") or not state.repeat:
        state.join = "" if token.kind != "count" else state.join
    return at + used


def _join(state: ParserState, token: Token, at: int) -> None:
    line, name = state.line, token.name.lower().strip()
    state.join = name
    if name == ":":
        _heading(state, token, at)
    elif _is_joint(name) and _is_thing_alone(line) and _counts_kind(state, at + 1):
        line.thing_named = True  # spark plug cap + 1 M4 nut
        state.new(token.end)
        state.join = name
    elif name == "," and line.kind == "other" and _names_kind(state, at + 1):
        state.new(token.end)  # plug cap 1x, coil 2 bolts M6
        state.join = name
    elif name == "," and _is_sort_of_before(state) and _names_another(state, at + 1):
        state.new(token.end)  # 8 washers thick, 4 thin, head studs
        state.join = name
    elif name == "," and _is_size_of_heading(state) and _names_kind(state, at + 1):
        state.new(token.end)  # bolts: 3 3/8x3, 1 3/8x4, nylocs
        state.join = name
    elif _is_numbered_part(line) and _goes_on_with_name(state, at + 1):
        line.thing_named = True
        state.new(token.end)  # main jet #95, pilot #38, needle
        state.join = name
    elif _is_unknown_thing(state, at):
        line.thing_named = True
        if line.count is None:
            line.count, line.figures = line.figures[0].token.numbers[0].whole, []
        state.new(token.end)
        state.join = name


def _is_size_of_heading(state: ParserState) -> bool:
    """Whether the line is so many of a size of what a heading names: bolts: 3 3/8x3."""
    line, first = state.line, state.lines[0]
    sized = line.count is not None and bool(line.figures) and not (line.kind or line.thread)
    return sized and first.header and len(state.lines) > 1


def _is_numbered_part(line: ParsedLine) -> bool:
    """Whether it names a part of the machine by its number: main jet #95."""
    numbered = line.gauge is not None and not line.figures and line.count is None
    return numbered and not (line.thing or line.head) and bool(line.words or line.place)


def _goes_on_with_name(state: ParserState, at: int) -> bool:
    """Whether another thing is named next."""
    token = state.peek(at)
    return token is not None and token.kind in ("word", "phrase")


def _names_kind(state: ParserState, at: int) -> bool:
    """Whether a fastener is named before the next joint."""
    clause = takewhile(lambda one: one.kind != "join", state.tokens[at:])
    return any(one.entry is not None and one.entry.kind for one in clause)


def _is_sort_of_before(state: ParserState) -> bool:
    """Whether the line is so many of another sort of what the line before it named."""
    line, before = state.line, state.lines[-2] if len(state.lines) > 1 else None
    bare = line.count is not None and not (line.thing or line.words or line.locks or line.tools)
    sorts = bool(line.place) and all(fold(said) in bench_words("sort") for said in line.place)
    return bare and sorts and before is not None and bool(before.kind and before.place)


def _names_another(state: ParserState, at: int) -> bool:
    """Whether the next clause names something else than the line before this one."""
    clause = takewhile(lambda one: one.kind != "join", state.tokens[at:])
    kinds = [one.entry.kind for one in clause if one.entry is not None and one.entry.kind]
    return bool(kinds) and kinds[0] != state.lines[-2].kind


def _is_thing_alone(line: ParsedLine) -> bool:
    """Whether it names a part of the machine, and says nothing else."""
    sized = line.thing or line.count is not None or line.figures or line.bracketed
    part = any(not _is_side(word) for said in line.place for word in fold(said).split())
    return bool(line.place) and part and not sized


def _is_side(word: str) -> bool:
    return any(word in bench_words(role) for role in ("sort", "place", "opens", "pair of sides"))


def _is_joint(name: str) -> bool:
    return name in BELONGS or name in ("and", "und", "et", "y", "e")


def _counts_kind(state: ParserState, at: int) -> bool:
    """The 1 M4 nut behind the plus, the lock nut behind a with."""
    token = state.peek(at)
    if token is None:
        return False
    follower = state.peek(at + 1)
    metal = token.entry is not None and token.entry.material and not token.entry.kind
    named_by = metal or is_unread(token)  # + pinch screw
    entry = follower.entry if named_by and follower is not None else token.entry
    named = bool(entry and entry.kind)
    return bool(token.count or token.numbers) or named


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
    if line.count is None and not line.thread and _names_other_kind(state, at + 1):
        line.place = [state.text[line.start : line.end].strip(" :")]
        line.kind, line.kind_words = "", ""  # engine clamps: four M6 bolts
        return
    line.header = True
    sized = all("/" in figure.token.text for figure in line.figures)
    if (line.kind or line.thread) and line.count is not None and sized:
        line.total = True
        state.new(token.end)  # 3 circlips: 1 x 15, 2 x 14


def _names_other_kind(state: ParserState, at: int) -> bool:
    """Whether what stands first behind a colon is counted, and another thing than before it."""
    clause = list(takewhile(lambda one: one.kind != "join", state.tokens[at:]))
    kinds = [one.entry.kind for one in clause if one.entry is not None and one.entry.kind]
    sized = any(one.thread for one in clause)
    return sized and bool(kinds) and state.line.kind not in ("", *kinds)


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
    own = [token for token in state.tokens if line.start <= token.start < line.end]
    named = line.kind or line.thread or line.head or line.drive
    if line.count is not None and not named and own and is_slip(own[0]):
        return True  # wahser 6mm four, spring washer four
    if (line.count is None and not lone) or (line.thing and not lone):
        return False
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
        if 0 < many <= MOST_AT_A_PLACE:  # top 2: M6x55
            line.count, line.figures, end = many, [], first.start
    line.place, line.words = [state.text[line.start : end].strip(" :")], []


def _dispatch(state: ParserState, token: Token, at: int) -> int:
    kind = token.kind
    if kind == "count":
        return take_count(state, token, at)
    if kind == "grade" and not _is_grade(state, token, at) and _is_number(token.name):
        return take_numbers(state, as_numbers(token), at)
    if kind == "bearing" and token.name.isdecimal() and not _is_bearing(state, token):
        return take_numbers(state, as_numbers(token), at)
    if kind == "numbers":
        return take_numbers(state, token, at)
    if kind == "thread":
        return add_thread(state, token, at)
    if kind == "phrase" and _is_left_abroad(state, token, at):
        state.tokens[at] = msgspec.structs.replace(token, kind="handed", entry=None)
        state.line.handed.append((state.tokens[at], False))
        return 1
    if kind == "phrase":
        return add_phrase(state, token, at)
    if kind == "place" or (token.text[0] == "[" and count_alone(token.name)):
        return add_brackets(state, token)
    if kind == "word" and (used := unknown_behind_plus(state, at)):
        return used
    _simple(state, token, at)
    return 1


def _is_left_abroad(state: ParserState, token: Token, at: int) -> bool:
    """The links of `Mutter M12x1 links`, which is a thread as often as a side."""
    follower, before = state.peek(at + 1), state.before
    ends = follower is None or follower.kind == "join" or not follower.text.strip("!")
    threaded = before is not None and before.kind == "thread" and state.line.thread is before.thread
    return ends and threaded and fold(token.text) in ("links", "gauche", "izquierda", "sinistra")


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
            *_, last = fold(token.name).split() or [""]
            few = state.join and told and last in bench_words("few")  # & a handful of washers
            labels = few or (state.join == "," and told and _LABEL.fullmatch(token.name))
            (state.new(token.start) if labels else line).words.append(token.name)
        case "word" if _refers(state, token, at):
            pass
        case "word" if continues_place(state, token):
            line.place[-1] = f"{line.place[-1]} {token.text}"
        case _:
            line.words.append(token.text)


def _refers(state: ParserState, token: Token, at: int) -> bool:
    """Takes a word that says that what was said before, or what is said now, holds for another,
    and a word that begins another line."""
    line = state.line
    if _begins_rest(state, token, at):
        return True
    if is_unread(token) and is_named_behind_plus(state, at):
        state.new(token.start).words.append(token.text)  # key + crank nut
        return True
    if line.thing and says_ditto(state, token, at):
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


#: What is left of all that was counted.
_REST = frozenset(
    ("rest", "remainder", "others", "remaining", "uebrige", "ubrige", "reste", "autres", "resto",
     "otros", "altri", "altre")
)  # fmt: skip
_THE = frozenset(("the", "die", "les", "le", "los", "las", "gli", "i", "all"))
#: So many are offered where nobody said how many the rest are.
_HOW_MANY = (2, 3, 4, 5, 6, 8, 1)


def _begins_rest(state: ParserState, token: Token, at: int) -> bool:
    """Takes the rest of `2 M8x45, rest M8x35`, which has a size of its own."""
    follower = state.peek(at + 1)
    sized = follower is not None and bool(follower.thread or follower.numbers)
    said = [one for one in state.tokens[max(0, at - 2) : at] if fold(one.text) not in _THE]
    joined = bool(said) and said[-1].kind == "join"
    if said and (said[-1].count or said[-1].numbers) and not said[-1].cross:
        return False  # les 3 autres M6x12
    before = state.line
    if before.thread and before.figures and follower is not None and follower.thread:
        joined = True  # top two M6x55 the rest M6x40
    if fold(token.text) not in _REST or not sized or (before.core and not joined):
        return False
    line = state.new(token.start) if before.core or before.count is not None else before
    line.rest = True
    if line is not before and follower is not None and follower.numbers:
        line.kind, line.kind_words = before.kind, before.kind_words
        line.head, line.drive = before.head, before.drive
        line.thread, line.thread_text = before.thread, before.thread_text
    return True


def _ask_rest(text: str, lines: Iterable[ParsedLine]) -> None:
    """How many the rest are is asked, where no count follows it."""
    for line in lines:
        line.rest = line.rest and line.count is None
        if line.rest and line.asked is None:
            line.asked = text[line.start :].split()[0], _HOW_MANY


def _says_all(state: ParserState, token: Token, at: int) -> bool:
    """`all with nylocs` behind a comma, and `all 1/4 whit` anywhere."""
    follower = state.peek(at + 1)
    threaded = follower is not None and follower.thread is not None
    listed = threaded and len(state.lines) > 1
    return fold(token.text) in bench_words("all") and (bool(state.join) or listed)


def _add_tool(state: ParserState, token: Token, lock: LockingDevice | None) -> None:
    line = state.line
    size, _, noun = token.text.rpartition(" ")
    if line.kind in RINGS and fold(noun) in ("head", "hd", "heads") and not line.figures:
        line.figures.append(Figure(tokens(size)[0], False, True, True))
        line.place.append(noun)  # 5 washers 5/16 head: no washer has one
        return
    if lock is not None and is_piece(lock) and not state.join:
        lock.tool = token.name  # studs + nuts SW 13
        return
    if state.join and line.tools and (line.kind or line.count is not None):
        line = state.new(token.start)  # 14 AF nut, 8 AF bolt
    line.tools.append(token.name)


def _only_one(state: ParserState, token: Token, at: int) -> bool:
    """Takes what a line has once at most; a second one stays among the words."""
    line = state.line
    sized = line.gauge is not None or (line.thread is not None and line.kind)
    if token.kind == "gauge" and sized and state.join and line.kind:
        line = state.new(token.start)  # #8 screws (3), #10 screws (1)
    if token.kind == "torque" and line.torque is None:
        line.torque = token.torque
    elif token.kind == "grade" and line.kind in RINGS and token.name in _FORMS:
        line.words.append(token.text)  # Zahnscheibe A5: form A for M5
    elif token.kind == "grade" and not line.grade and _is_grade(state, token, at):
        line.grade = token.name
    elif token.kind == "standard" and line.standard and state.join:
        state.new(token.start).standard = token.name  # DIN 603 M8x50 + DIN 934 M8
    elif token.kind == "standard" and not line.standard:
        line.standard = token.name
    elif token.kind == "bearing" and _is_bearing(state, token):
        _take_bearing(state, token)
    elif token.kind in ("gauge", "tpi") and getattr(line, token.kind) is None:
        setattr(line, token.kind, token)
    else:
        return False
    return True


def _take_bearing(state: ParserState, token: Token) -> None:
    """Takes the number of a bearing, for a line of its own where there is one already."""
    line = state.line
    known = next((one for one in state.lines if "bearing" in one.kind), None)
    other = bool(line.kind) and "bearing" not in line.kind  # bearing 6206, spacer, 6206
    if line.bearing or (other and known is not None):
        before = known if other and known is not None else line
        sort = state.before if state.before is not None and tells_sort(state.before) else None
        last = line.place[-1] if line.place else ""
        line = state.new(token.start)  # bearings 6202, 6203
        if sort is not None and before.bearing and last.endswith(sort.text) and last != sort.text:
            pass
        elif sort is not None and before.bearing and last == sort.text:
            line.place.append(before.place.pop())  # bearing top 6204 bottom 6205
        line.kind, line.kind_words = before.kind, before.kind_words
    line.bearing = token.name


#: Beside these a hand is a side of the machine: LH side cover.
_OF_HAND = (["side"], ["end"], ["seite"], ["cover"], ["engine"], ["crankcase"], ["half"], ["fork"])


def _handed(state: ParserState, token: Token, follower: Token | None) -> None:
    if follower is not None and fold(follower.text).split()[:1] in _OF_HAND:
        state.line.place.append(token.text)
        return
    doubted = follower is not None and follower.text[:1] == "?"
    if doubted:
        state.line.words.append(token.text)  # LH?
        return
    close = state.before is not None and state.before.kind in ("thread", "numbers")
    part = follower is not None and follower.entry is not None and follower.entry.place
    part = part and follower is not None and not tells_sort(follower)
    close = close and not part  # M10 LH wheel: a thread or a side
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
    at = state.tokens.index(token)
    own = (*_until_join(state.tokens[:at][::-1]), *_until_join(state.tokens[at + 1 :]))
    return not any(one.entry and one.entry.kind for one in own) and len(token.name) > 3


def _until_join(found: Sequence[Token]) -> Iterator[Token]:
    return takewhile(lambda token: token.kind != "join", found)


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdecimal()
