"""Which line a size or a thread belongs to, and where a list of sizes opens the next line."""

from __future__ import annotations

import msgspec

from tagbench.trade.fasteners.parsed_line import Figure, ParsedLine
from tagbench.trade.fasteners.parser.counts import count_lock
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import BELONGS, ParserState
from tagbench.trade.fasteners.thread_words import ThreadFound, ThreadOption
from tagbench.trade.fasteners.tokens import Token, count_alone
from tagbench.trade.fasteners.vocabulary import NO_LENGTH, RINGS, THREADED_KINDS, fold

#: Behind thread and length a lone figure up to here is a count, above it another length.
_LIKELY_COUNT = 12
_PAIR = 2


def add_figure(state: ParserState, token: Token, at: int) -> int:
    line = state.line
    sealed = state.lock is not None and state.lock.name == "thread lock"
    if sealed or _is_size_of_bolt(state, token):
        state.lock = None  # blue threadlock 3; 2 bolts & nuts 5/16 x 2
    if state.lock is not None and token.kind == "numbers" and not token.cross:
        many = token.numbers[0].whole if len(token.numbers) == 1 and not state.join else 0
        if many and (count_lock(state, many) or _is_count_of_lock(state, token)):
            return 1
        lock, state.lock = state.lock, None
        if _is_size_of_lock(state, token) and not is_unread(state.peek(at + 1)):
            lock.size, lock.sized = _size_text(token), token
        else:
            line.words.append(state.text[token.start : token.end])
        return 1
    if _is_size_of_next(state, token, at):
        line = state.new(token.start)
    elif _is_next_of_list(state, token, at) or _is_behind_bracket(state):
        _next_of_list(state, line, token)
    listed = line is not state.lines[-1]
    line = state.line
    pair = len(token.numbers) == 2 and bool(token.many) and not token.cross
    screw = line.thread or not line.kind or line.kind in THREADED_KINDS
    pairs = any(len(figure.token.numbers) == 2 for figure in line.figures)
    listed_pair = pairs if line.count is None else bool(state.join and line.figures)
    if pair and line.header and line.count is None and line.figures and not pairs:
        line.count = token.many  # 6mm bolts: 3 @ 20mm
        token = msgspec.structs.replace(token, numbers=token.numbers[1:], behind="long")
    elif pair and screw and listed_pair and len(line.text) > token.start:
        sized = not line.thread and bool(line.figures) and not line.figures[0].token.many
        _next_of_list(state, line, token)  # M6 bolts: 3x20 2x35
        line = state.line
        line.listed = False
        if sized and line.kind in THREADED_KINDS:  # bolts 7/16 x 4, plus 2 x 3-1/2
            line.count = token.many
            token = msgspec.structs.replace(token, numbers=token.numbers[1:], behind="long")
    adjacent = state.before is not None and state.before.kind == "thread" and not state.join
    follower = state.peek(at + 1)
    last = follower is None or follower.kind in ("join", "place", "torque", "note", "quoted")
    line.figures.append(Figure(token, adjacent or listed, bool(line.kind), last))
    return 1


def _is_size_of_bolt(state: ParserState, token: Token) -> bool:
    line = state.line
    free = line.thread is None and not line.figures and line.kind in THREADED_KINDS
    return free and _locked_by_nut(state) and len(token.numbers) > 1


def _is_behind_bracket(state: ParserState) -> bool:
    """The 1/2 of `#10-32 screws, 3/8 (3) and 1/2 (1)`: brackets with a count close a line."""
    line, before = state.line, state.before
    closed = before is not None and before.kind == "place" and count_alone(before.name)
    return bool(closed and state.join and line.count is not None and line.figures)


def _is_size_of_next(state: ParserState, token: Token, at: int) -> bool:
    """The second 5/16 of `5/16 flat washers (6) + 5/16 lock washers (6)`."""
    line, follower = state.line, state.peek(at + 1)
    entry = follower.entry if follower is not None else None
    if state.join in BELONGS and (line.kind or line.thread) and entry and entry.kind:
        number = token.numbers[0]
        if number.unit or "/" in number.text:
            return True  # + 30mm spacer
    number = token.numbers[0]
    inch = number.unit or "/" in number.text
    if state.join == "," and line.thread and line.figures and not line.kind and inch:
        return entry is not None and entry.kind in NO_LENGTH | RINGS  # M8x50, 5/16 nut
    closed = line.kind and line.count is not None and line.figures
    named = entry is not None and bool(entry.kind)
    if entry is not None and entry.kind == line.kind and state.join == "," and line.figures:
        return named  # 8mm nut, 10mm nut
    return bool(state.join and closed and named)


def _is_count_of_lock(state: ParserState, token: Token) -> bool:
    """The second 6 of `nuts 6, washers 6`."""
    lock = state.lock_token
    counted = any(
        figure.behind_kind and len(figure.token.numbers) == 1 and figure.token.numbers[0].whole
        for figure in state.line.figures
    )
    if not counted or lock is None or not fold(lock.text).endswith("s"):
        return False
    state.line_of_lock().count = token.numbers[0].whole
    return True


def _is_size_of_lock(state: ParserState, token: Token) -> bool:
    """The 3.2x32 of `+ split pin 3.2x32`, but not the 2 of `+ nut, 2`."""
    lock = state.lock_token
    if len(token.numbers) > 1:
        return True
    if state.join:
        return False
    plural = lock is not None and fold(lock.text).endswith("s")
    nut = bool(lock and lock.entry and "nut" in lock.entry.kind)
    return not token.numbers[0].whole or not (plural or nut)


def _next_of_list(state: ParserState, before: ParsedLine, token: Token) -> None:
    line = state.new(token.start)
    line.listed = True
    line.kind, line.kind_words = before.kind, before.kind_words
    line.head, line.drive = before.head, before.drive
    line.thread, line.thread_text = before.thread, before.thread_text


def goes_on(state: ParserState) -> bool:
    """Whether a cross goes on with the thread: `5/16-18 x 1 (4 front), x 1-1/2 (2 rear)`."""
    closed = state.before is not None and state.before.kind == "place"
    return closed and state.join == "," and state.line.count is not None


def _is_next_of_list(state: ParserState, token: Token, at: int) -> bool:
    """The next length of `M6: 25 x4, 35 x2` or `M6 x 18, 22`; the next shim's thickness."""
    line, follower = state.line, state.peek(at + 1)
    if not line.figures or (token.cross and not goes_on(state)):
        return False
    first, number = line.figures[-1].token, token.numbers[0]
    if line.kind == "shim" and len(token.numbers) == 1:
        return line.count in (None, _PAIR) and bool(number.unit or not number.whole)
    counted = follower is not None and follower.kind == "count" and bool(follower.cross)
    if not state.join and not (line.count is not None and counted):
        return False
    if line.kind and line.kind not in THREADED_KINDS:
        if line.kind in RINGS and len(first.numbers) == len(token.numbers) == 3:
            return True  # seal 30x42x7 and 20x30x5
        if not line.plural or len(first.numbers) != len(token.numbers):
            return False
        near = first.numbers[0].value / 2 < number.value < first.numbers[0].value * 2
        return (
            len(token.numbers) > 1
            or bool(number.unit and first.numbers[0].unit)
            or (near and number.value > _LIKELY_COUNT)
        )
    if len(token.numbers) != 1:
        return False
    if line.thread is None or line.kind in NO_LENGTH or state.join in BELONGS:
        return False
    if line.count is not None:
        return counted or (bool(token.cross) and goes_on(state))
    return number.whole > _LIKELY_COUNT and (
        follower is None or follower.kind in ("join", "count", "place")
    )


def add_thread(state: ParserState, token: Token, at: int) -> int:
    line = state.line
    follower = state.peek(at + 1)
    if line.kind == "lock wire" and line.place:
        line.words.append(token.text)  # lock wire through 2 bolts M6
        return 1
    if line.thread is not None:
        if _is_other_reading(state, token) or _is_said_again(state, line.thread, token, follower):
            return 1
        own = _locked_by_nut(state) and not state.join and bool(line.kind)
        line = state.line_of_lock() if own else state.new(token.start)  # bolt M8 + nyloc M6
    else:
        line = _line_of_thread(state, token, follower)
    if token.thread and token.thread.count and line.count is None:
        line.count = token.thread.count
    line.thread, line.thread_text = token.thread, token.text
    state.lock = None
    return 1


def _is_said_again(
    state: ParserState, known: ThreadFound, token: Token, follower: Token | None
) -> bool:
    """Whether a second thread in a line says nothing new."""
    again = token.thread is not None and known.thread is not None
    if not again or token.thread is None or known.thread != token.thread.thread:
        return False
    if state.lock is not None and not (follower and follower.numbers):
        return True  # spring washers M6 + flat washers M6
    entry = follower.entry if follower is not None else None
    if entry and entry.locks and state.join not in (",", ";", ""):
        return True  # the M8 of "with M8 nut"
    # a stud with the same thread at both ends
    return not state.join and state.before is not None and state.before.kind == "thread"


def _line_of_thread(state: ParserState, token: Token, follower: Token | None) -> ParsedLine:
    """The line that a thread belongs to where the present one has none yet."""
    line = state.line
    if _is_of_bolt_before(state, follower):
        return state.line
    at = state.tokens.index(token)
    if line.core and state.join in _LISTS and _names_other_screw(state, at + 1):
        return state.new(token.start)  # spring, M8x45 bolt
    before = state.tokens[at - 1] if at else None
    own = before is not None and before.entry is not None and before.entry.kind == line.kind
    listed = any(one.name == "," for one in state.tokens[:at])
    if line.kind in RINGS and own and listed:
        return line  # old nut, new washer M10
    if line.kind in RINGS and state.join == "," and token.thread and not token.thread.bare:
        open_ones = (one for one in state.lines if one.kind in THREADED_KINDS and not one.thread)
        return next(open_ones, line)  # 4 nuts + 4 washers, 5/16-24
    if line.kind in RINGS and line.place and token.thread and token.thread.count:
        return state.new(token.start)  # lockwasher under each of the 8 1/4-20 bolts
    done = line.core and state.join and _is_done(line, follower)
    if done or _is_of_next_kind(line, follower):
        return state.new(token.start)
    if line.kind and line.kind not in THREADED_KINDS and _locked_by_nut(state):
        return state.line_of_lock()
    return line


#: Joints behind which another thing may stand.
_LISTS = BELONGS | {",", "and", "und", "et", "y", "e", "/"}


def _names_other_screw(state: ParserState, at: int) -> bool:
    """Whether what is named behind a thread is another kind than that of the line: x45 bolt."""
    line = state.line
    while (token := state.peek(at)) is not None and token.kind != "join":
        entry = token.entry
        if entry is not None and entry.kind:
            other = entry.kind in THREADED_KINDS and entry.kind != line.kind
            return bool(line.kind) and other and not (line.kind == "bolt" and entry.kind == "screw")
        sized = token.numbers or token.kind == "count"
        described = entry is not None and (entry.head or entry.drive or entry.material)
        if not (sized or described):
            return False
        at += 1
    return False


def _is_of_bolt_before(state: ParserState, follower: Token | None) -> bool:
    """The M6x30 of `bolt, 2 washers M6x30`: no washer is that long, so the bolt goes on."""
    line = state.line
    if line.kind not in RINGS or line.kind == "penny washer" or follower is None:
        return False
    if follower.cross != "tight" or not follower.numbers:
        return False
    before = state.lines[-2] if len(state.lines) > 1 else None
    if before is None or before.kind not in THREADED_KINDS - NO_LENGTH or before.thread:
        return False
    state.lines[-2:] = [line, before]
    return True


def _is_of_next_kind(line: ParsedLine, follower: Token | None) -> bool:
    """The M6 of `exhaust clamp M6 nut` is the nut's."""
    entry = follower.entry if follower is not None else None
    other = entry is not None and entry.kind in THREADED_KINDS and entry.kind != line.kind
    return bool(line.kind) and line.kind not in THREADED_KINDS and other


def _locked_by_nut(state: ParserState) -> bool:
    token = state.lock_token
    return bool(
        state.lock is not None
        and token is not None
        and token.entry
        and token.entry.kind in THREADED_KINDS
    )


def _is_other_reading(state: ParserState, token: Token) -> bool:
    """`M5 or 10-32`: one of the two, to be measured."""
    line, new = state.line, token.thread
    if not line.words or fold(line.words[-1]) not in ("or", "oder", "ou"):
        return False
    options = (*_may_be(line.thread), *_may_be(new))
    if line.thread is None or new is None or not options:
        return False
    between = line.words.pop()
    line.thread_text = f"{line.thread_text} {between} {token.text}"
    line.thread = ThreadFound(token.end, line.thread_text, options=options)
    return True


def _may_be(found: ThreadFound | None) -> tuple[ThreadOption, ...]:
    """The threads that one reading leaves open."""
    if found is None:
        return ()
    return (ThreadOption(found.thread.designation),) if found.thread else found.options


def _is_done(line: ParsedLine, follower: Token | None) -> bool:
    """A line without a thread that a thread behind a comma does not belong to."""
    entry = follower.entry if follower is not None else None
    other = bool(entry and entry.kind and line.kind and entry.kind != line.kind)
    return bool(line.kind) and line.kind not in THREADED_KINDS and (bool(line.figures) or other)


def _size_text(token: Token) -> str:
    unit = {number.unit for number in token.numbers}
    said = "x".join(number.text.replace(",", ".") for number in token.numbers)
    inches = "in" in unit and "/" not in said
    return f"{said} in" if inches else said
