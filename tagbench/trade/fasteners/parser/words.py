"""What the words of a bag note say of their line: kind, locking, metal, place."""

from __future__ import annotations

from tagbench.trade.fasteners.parsed_line import Lock, ParsedLine
from tagbench.trade.fasteners.parser.counts import count_lock, locks_next
from tagbench.trade.fasteners.parser.state import BELONGS, ParserState, tells_sort
from tagbench.trade.fasteners.tokens import Token, count_alone, tokens
from tagbench.trade.fasteners.vocabulary import (
    THREADED_KINDS,
    PhraseMeaning,
    bench_words,
    fold,
    nearest_word,
)


def add_phrase(state: ParserState, token: Token, at: int) -> int:
    entry = token.entry or PhraseMeaning()
    line = state.line
    if entry.opens:
        return _opened(state, token, at)
    if entry.place or (entry.noise and not (entry.kind or entry.head or entry.locks)):
        if entry.place:
            if _is_next_sort(state, token):
                state.new(token.start)
            add_place(state, token.text)
        return 1
    if _is_of_its_own(state, token, at):
        state.new(token.start)
    elif entry.locks and _is_lock(state, entry):
        state.lock = _add_lock(state, entry)
        state.lock_token = token
        return 1
    state.lock = None
    line = _line_of(state, token, entry)
    if entry.kind and not _take_kind(state, token, entry):
        line = state.line
        if state.join:
            line = state.new(token.start)
            _take_kind(state, token, entry)
        else:
            line.words.append(token.text)
            return 1
    if _is_metal_of_lock(state, entry, at):
        return 2
    _describe(state, token, entry)
    return 1


def _is_of_its_own(state: ParserState, token: Token, at: int) -> bool:
    """The castle nut of `4 screws M5, castle nut M10`: behind a comma, with a thread or a count of
    its own, it locks nothing."""
    follower = state.peek(at + 1)
    if state.join != "," or follower is None or not token.entry or not state.line.thing:
        return False
    if not (token.entry.locks and token.entry.kind):
        return False
    counted = follower.kind == "count" and follower.cross and not fold(token.text).endswith("s")
    return counted or (follower.kind == "thread" and bool(state.line.thread))


def _line_of(state: ParserState, token: Token, entry: PhraseMeaning) -> ParsedLine:
    """The line that a kind or a metal belongs to, which may be a new one."""
    before = state.line
    if not (_is_other_metal(state, entry) or _is_next_kind(state, entry)):
        return before
    line = state.new(token.start)
    if not entry.kind:
        line.kind, line.kind_words = before.kind, before.kind_words
    return line


def _is_other_metal(state: ParserState, entry: PhraseMeaning) -> bool:
    """The fibre of `copper washers 3/8 x 4 & fibre 1/2 x 2`."""
    line = state.line
    other = entry.material and not entry.kind and entry.material not in line.material
    return bool(
        other and state.join and line.material and line.figures and line.kind not in THREADED_KINDS
    )


def _is_next_kind(state: ParserState, entry: PhraseMeaning) -> bool:
    """`plain washers M6 (2) spring washers M6 (2)`: a counted line is closed by its brackets."""
    line, before = state.line, state.before
    counted = before is not None and before.kind == "place" and count_alone(before.name)
    return bool(entry.kind and counted and line.kind and (line.thread or line.figures))


def _is_next_sort(state: ParserState, token: Token) -> bool:
    """The short of `long at the top x2, short x4`."""
    line = state.line
    if state.join not in (",", ";") or line.count is None or not line.place:
        return False
    first = fold(line.place[0]).split()[:1]
    return tells_sort(token) and bool(first) and first[0] in bench_words("sort")


def _is_metal_of_lock(state: ParserState, entry: PhraseMeaning, at: int) -> bool:
    """`studs with brass nuts`: the metal is that of the nuts."""
    if not entry.material or entry.kind or not locks_next(state, at - 1):
        return False
    follower = state.peek(at + 1)
    if follower is None or not follower.entry or not _is_lock(state, follower.entry):
        return False
    if not state.join and (not state.line.kind or state.line.kind == follower.entry.kind):
        return False
    state.lock = _add_lock(state, follower.entry)
    state.lock.name = f"{entry.material} {state.lock.name.removeprefix('plain ')}"
    return True


def _describe(state: ParserState, token: Token, entry: PhraseMeaning) -> None:
    line = state.line
    if fold(token.text) == "rh" and _is_right_hand(state):
        line.place.append(token.text)
        return
    for field in ("head", "drive"):
        _say(state, field, getattr(entry, field), token)
    if entry.material and entry.material not in line.material:
        line.material.append(entry.material)
    elif not (entry.kind or entry.head or entry.drive or entry.material):
        line.words.append(token.text)


def _is_right_hand(state: ParserState) -> bool:
    """RH is a round head on screws and rivets, and the right hand beside an LH."""
    beside = any(fold(one.text) in ("lh", "lhs") for one in state.tokens)
    kind = state.line.kind
    return beside or bool(kind and "screw" not in kind and kind not in ("bolt", "rivet"))


def _say(state: ParserState, field: str, value: str, token: Token) -> None:
    line = state.line
    before = getattr(line, field)
    if not value or before == value:
        return
    if before and not (field == "head" and line.kind == "circlip"):
        line.words.append(token.text)
        return
    setattr(line, field, f"{before} {value}".strip())


def _is_lock(state: ParserState, entry: PhraseMeaning) -> bool:
    line = state.line
    if state.repeat:
        return True
    if line.kind:
        if not state.join and (
            line.kind not in THREADED_KINDS or _finer_nut(line.kind, entry.kind)
        ):
            return False
        if line.kind == "screw" and entry.kind in THREADED_KINDS and not state.join:
            return "nut" in entry.kind
        return (
            bool(
                state.join in BELONGS or state.join in ("and", ",", "und", "et", "y", "e", "/", "")
            )
            and (entry.kind != line.kind)
            and (line.kind in THREADED_KINDS or state.join in BELONGS)
        )
    if state.join in BELONGS and line.count and line.place and _named_before(state):
        return True  # studs 2 long 2 short with nuts
    has_length = any(figure.adjacent for figure in line.figures)
    if line.thread is not None and state.join in BELONGS:
        return True
    return line.thread is not None and has_length and entry.kind not in THREADED_KINDS


def _named_before(state: ParserState) -> bool:
    return any(line.kind for line in state.lines[:-1])


def _add_lock(state: ParserState, entry: PhraseMeaning) -> Lock:
    line = state.line
    made = [Lock(entry.locks) for _ in range(max(state.repeat, 1))]
    line.locks += made
    state.repeat = 0
    return made[-1]


def _take_kind(state: ParserState, token: Token, entry: PhraseMeaning) -> bool:
    line = state.line
    if not line.kind:
        line.kind, line.kind_words = entry.kind, token.text
        if entry.kind == "spring" and any("washer" in one.kind for one in state.lines):
            line.kind = "lock washer"  # washers: 4 flat, 4 spring
        return True
    if state.join:
        return False
    before = state.before
    if before is not None and before.entry is not None and before.entry.kind and not entry.foreign:
        line.kind_words = f"{line.kind_words} {token.text}"
        weak = entry.kind == "screw" and line.kind in (
            "set screw",
            "wood screw",
            "self-tapping screw",
            "drive screw",
            "bleed screw",
        )
        line.kind = line.kind if weak else entry.kind
        return True
    if line.kind == "screw" or entry.kind == line.kind or _finer_nut(line.kind, entry.kind):
        line.kind = entry.kind
        line.kind_words = token.text
        return True
    return False


def add_place(state: ParserState, said: str) -> None:
    line = state.line
    before = state.before
    close = (
        before is not None
        and before.entry is not None
        and (before.entry.place or before.entry.opens)
    )
    if before is not None and close and line.place and state.text[before.end] in " -/":
        line.place[-1] = f"{line.place[-1]} {said}"
    else:
        line.place.append(said)


def _opened(state: ParserState, token: Token, at: int) -> int:
    """A place from its first small word up to the next size, count or comma."""
    end = at + 1
    while (follower := state.peek(end)) is not None and follower.kind in (
        "phrase",
        "word",
        "numbers",
    ):
        if follower.kind == "numbers":
            after = state.peek(end + 1)
            if after is None or fold(after.text) not in ("o'clock", "oclock"):
                break
        end += 1
    if end == at + 1:
        return 1
    said = state.text[token.start : state.tokens[end - 1].end]
    if state.line.core or state.line.count is not None:
        state.line.place.append(said)
    else:
        state.line.place.append(said)
    state.lock = None
    return end - at


def add_brackets(state: ParserState, token: Token) -> int:
    count = count_alone(token.name)
    if count and count_lock(state, count):
        return 1
    if count and state.line.count is None:
        state.line.count = count
    elif (inner := tokens(token.name)) and all(one.kind == "tool" for one in inner):
        state.line.tools += [one.name for one in inner]
    elif token.name:
        state.line.place.append(token.name)
        state.line.bracketed = True
    return 1


def continues_place(state: ParserState, token: Token) -> bool:
    before = state.before
    if before is None or not state.line.place or before.entry is None or not before.entry.place:
        return False
    return (
        token.text[0].isalpha()
        and fold(token.text) not in bench_words("condition")
        and not nearest_word(token.text)
    )


def _finer_nut(kind: str, other: str) -> bool:
    """A nut that is then called a castle nut."""
    return kind == "nut" and other.endswith("nut")
