"""Which line a size or a thread belongs to, and where a list of sizes opens the next line."""

from __future__ import annotations

from tagbench.trade.fasteners.parsed_line import Figure, ParsedLine
from tagbench.trade.fasteners.parser.state import BELONGS, ParserState
from tagbench.trade.fasteners.thread_words import ThreadFound, ThreadOption
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import NO_LENGTH, THREADED_KINDS, fold

#: Behind thread and length a lone figure up to here is a count, above it another length.
_LIKELY_COUNT = 12
_PAIR = 2


def add_figure(state: ParserState, token: Token, at: int) -> int:
    line = state.line
    if state.lock is not None and token.kind == "numbers" and not token.cross:
        state.lock.size = _size_text(token)
        state.lock = None
        return 1
    if _is_next_of_list(state, token, at):
        _next_of_list(state, line, token)
    listed = line is not state.lines[-1]
    line = state.line
    pair = len(token.numbers) == 2 and bool(token.numbers[0].whole)
    screw = line.count is None and (line.thread or line.kind in THREADED_KINDS)
    if pair and screw and any(len(figure.token.numbers) == 2 for figure in line.figures):
        line = state.new(token.start)  # M6 bolts: 3x20 2x35
    adjacent = state.before is not None and state.before.kind == "thread" and not state.join
    follower = state.peek(at + 1)
    last = follower is None or follower.kind in ("join", "place", "torque", "note", "quoted")
    line.figures.append(Figure(token, adjacent or listed, bool(line.kind), last))
    return 1


def _next_of_list(state: ParserState, before: ParsedLine, token: Token) -> None:
    line = state.new(token.start)
    line.kind, line.kind_words = before.kind, before.kind_words
    line.head, line.drive = before.head, before.drive
    line.thread, line.thread_text = before.thread, before.thread_text
    if before.kind == "shim" and before.count == _PAIR:
        before.count, line.count = 1, 1


def _is_next_of_list(state: ParserState, token: Token, at: int) -> bool:
    """The next length of `M6: 25 x4, 35 x2` or `M6 x 18, 22`; the next shim's thickness."""
    line, follower = state.line, state.peek(at + 1)
    if not line.figures or token.cross:
        return False
    first, number = line.figures[-1].token, token.numbers[0]
    if line.kind == "shim" and len(token.numbers) == 1:
        return line.count in (None, _PAIR) and bool(number.unit or not number.whole)
    counted = follower is not None and follower.kind == "count" and bool(follower.cross)
    if not state.join and not (line.count is not None and counted):
        return False
    if line.kind and line.kind not in THREADED_KINDS:
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
        return counted
    return number.whole > _LIKELY_COUNT and (
        follower is None or follower.kind in ("join", "count", "place")
    )


def add_thread(state: ParserState, token: Token, at: int) -> int:
    line = state.line
    follower = state.peek(at + 1)
    if line.thread is not None and _is_other_reading(state, token):
        return 1
    if line.thread is not None:
        if state.lock is not None and token.thread and not (follower and follower.numbers):
            ours = line.thread.thread is not None
            if ours and token.thread.thread == line.thread.thread:
                return 1  # spring washers M6 + flat washers M6
        same = token.thread and line.thread.thread == token.thread.thread and line.thread.thread
        entry = follower.entry if follower is not None else None
        if same and entry and entry.locks and state.join not in (",", ";", ""):
            return 1  # the M8 of "with M8 nut" says nothing new
        if same and not state.join and state.before and state.before.kind == "thread":
            return 1  # a stud with the same thread at both ends
        line = state.new(token.start)
    elif line.core and state.join and _is_done(line, follower):
        line = state.new(token.start)
    if token.thread and token.thread.count and line.count is None:
        line.count = token.thread.count
    line.thread, line.thread_text = token.thread, token.text
    state.lock = None
    return 1


def _is_other_reading(state: ParserState, token: Token) -> bool:
    """`M5 or 10-32`: one of the two, to be measured."""
    line, new = state.line, token.thread
    if not line.words or fold(line.words[-1]) not in ("or", "oder", "ou"):
        return False
    first = line.thread.thread if line.thread else None
    second = new.thread if new else None
    if first is None or second is None:
        return False
    options = (ThreadOption(first.designation), ThreadOption(second.designation))
    between = line.words.pop()
    line.thread_text = f"{line.thread_text} {between} {token.text}"
    line.thread = ThreadFound(token.end, line.thread_text, options=options)
    return True


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
