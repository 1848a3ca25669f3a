"""How many: which figures and number words of a bag note count its pieces."""

from __future__ import annotations

from itertools import pairwise

from tagbench.trade.fasteners.parser.state import BELONGS, ParserState, tells_sort
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import NO_LENGTH, THREADED_KINDS, bench_words, fold

#: Nobody writes a larger count on a bag.
_MOST = 250
_SIZES = ("thread", "numbers", "gauge")
#: Below this a lone figure behind a screw is a count, not a length in mm.
_SHORTEST = 8
#: A line may repeat what locks it so often: two copper washers on a banjo bolt.
_REPEATED_AT_MOST = 4


def says_where(state: ParserState, token: Token, at: int) -> bool:
    """`one end`, `both sides` count no fasteners."""
    follower = state.peek(at + 1)
    return (
        token.name == "word"
        and follower is not None
        and fold(follower.text).removesuffix("s") in ("end", "side", "face")
        and state.line.core
    )


def is_part_of_several(state: ParserState, token: Token, at: int) -> bool:
    """The `3 of` of `3 of 4 screws`: the part has four."""
    follower = state.peek(at + 1)
    if follower is None or not token.text.lower().endswith("of"):
        return False
    many = follower.count or (follower.numbers[0].whole if follower.numbers else 0)
    return many > token.count and len(follower.numbers) < 2


def may_be_length(state: ParserState, token: Token) -> bool:
    """The 20 of `M6 bolt x 20`, but not of `M6 bolts x 20`."""
    line = state.line
    if line.thread is None and len(line.figures) == 1 and line.kind in THREADED_KINDS:
        size = line.figures[0].token  # the 60 of 8mm stud x 60
        sized = len(size.numbers) == 1 and bool(size.numbers[0].unit or "/" in size.text)
        return sized and not line.plural and token.count >= _SHORTEST
    return (
        line.thread is not None
        and (line.kind in THREADED_KINDS - NO_LENGTH or (not line.kind and bool(line.head)))
        and not line.plural
        and not line.figures
        and token.count >= _SHORTEST
    )


def take_condition(state: ParserState, token: Token, at: int) -> bool:
    """`1 missing` behind a line says something of it and counts nothing new."""
    follower = state.peek(at + 1)
    if (
        follower is None
        or not state.line.core
        or fold(follower.text) not in bench_words("condition")
    ):
        return False
    state.line.words.append(state.text[token.start : follower.end])
    return True


def count_lock(state: ParserState, count: int) -> bool:
    """`M8 bolts x4 & nuts x4` is a nut on each; `washers x8` are a line of their own."""
    line, token = state.line, state.lock_token
    if state.lock is None or token is None or token.entry is None or line.count is None:
        return False
    if not token.entry.kind or not fold(token.text).endswith("s"):
        return False
    if count != line.count:
        line.locks.remove(state.lock)
        new = state.new(token.start)
        new.kind, new.kind_words, new.count = token.entry.kind, token.text, count
        new.head, new.drive = token.entry.head, token.entry.drive
        new.material = [token.entry.material] if token.entry.material else []
    return True


def add_count(state: ParserState, count: int, token: Token, at: int) -> None:
    line = state.line
    follower = state.peek(at + 1)
    if token.name == "word" and count == 1 and state.join and locks_next(state, at):
        state.repeat = 1  # avec une rondelle: one each
        return
    if (
        locks_next(state, at)
        and state.join in BELONGS
        and ((line.count or 1) == 1 or _is_on_each(state, at))
        and count <= _REPEATED_AT_MOST
    ):
        state.repeat = count
        return
    sized = line.thread or line.figures or line.gauge
    goes_on = follower is not None and follower.kind in _SIZES and not sized and not state.join
    behind = token.cross and state.before is not None and state.before.kind == "numbers"
    opens = line.thing and begins_line(state, follower) and not goes_on and not behind
    if line.count is not None or opens:
        line = state.new(token.start)
    line.count = count


def _is_on_each(state: ParserState, at: int) -> bool:
    """The two washers of `2 bolts with 2 washers each` are on each of them."""
    behind = [one.text for one in state.tokens[at + 2 : at + 4] if one.kind != "join"]
    words = {fold(word) for word in (*state.line.place, *behind)}
    return bool(words & {"each", "ea", "je", "chacun", "cada uno", "ciascuno"})


def locks_next(state: ParserState, at: int) -> bool:
    follower = state.peek(at + 1)
    if (
        follower is not None
        and follower.kind == "phrase"
        and follower.entry
        and follower.entry.material
        and not follower.entry.kind
    ):
        follower = state.peek(at + 2)
    return bool(
        state.line.core and follower is not None and follower.entry and follower.entry.locks
    )


def begins_line(state: ParserState, follower: Token | None) -> bool:
    """Whether a count with this behind it begins something new."""
    if follower is None:
        return False
    if follower.kind in ("thread", "gauge", "bearing", "standard"):
        return True
    if follower.kind == "numbers":
        return bool(state.line.kind or state.line.thread)
    entry = follower.entry
    if entry is None:
        return False
    return bool(entry.kind or entry.locks or entry.head or (entry.place and tells_sort(follower)))


def is_count(state: ParserState, number: int, follower: Token) -> bool:
    line = state.line
    if number > _MOST:
        return False
    if follower.kind == "join":
        return follower.name == "-" and not line.core and line.count is None
    if not line.thing and line.count is None:
        return follower.kind != "numbers" or len(follower.numbers) > 1
    if (
        line.thread is not None
        and state.before is not None
        and state.before.kind == "thread"
        and not state.join
    ):
        return False  # M6 20 hex: a length, or a doubt, never a new line
    entry = follower.entry
    if entry is not None and (entry.kind or entry.locks):
        return bool(line.kind or line.thread or line.count is not None)
    if entry is not None and entry.place and tells_sort(follower):
        return line.count is not None
    return follower.kind == "thread" and (
        line.count is not None or bool(state.join) or bool(line.kind)
    )


def is_first_sort(state: ParserState, follower: Token, at: int) -> bool:
    """The first 2 of `M6 studs 2 long 2 short`."""
    line, second = state.line, state.tokens[at + 2 : at + 5]
    if line.count is not None or not line.kind or line.place or not tells_sort(follower):
        return False
    return any(
        (one.count or (one.numbers and one.numbers[0].whole)) and tells_sort(other)
        for one, other in pairwise(second)
    )
