"""What keeps a fastener from coming loose, told from a line of its own."""

from __future__ import annotations

from tagbench.trade.fasteners.parsed_line import LockingDevice, ParsedLine
from tagbench.trade.fasteners.parser.counts import locks_next
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import BELONGS, ParserState, tells_sort
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import (
    NO_LENGTH,
    RINGS,
    THREADED_KINDS,
    PhraseMeaning,
    bench_words,
    fold,
)

#: With a size of their own behind them they are things beside the fastener.
_SIZED = frozenset(("circlip", "spacer", "bush", "O-ring"))


def is_of_its_own(state: ParserState, token: Token, at: int) -> bool:
    """The castle nut of `4 screws M5, castle nut M10`: behind a comma, with a thread or a count of
    its own, it locks nothing."""
    follower = state.peek(at + 1)
    if follower is None or not token.entry or not state.line.thing:
        return False
    if state.join and token.entry.kind in _SIZED and follower.numbers:
        return True
    if state.join != ",":
        return False
    if not (token.entry.locks and token.entry.kind):
        return False
    counted = follower.kind == "count" and follower.cross and not fold(token.text).endswith("s")
    return counted or (follower.kind == "thread" and bool(state.line.thread))


def is_metal_of_lock(state: ParserState, entry: PhraseMeaning, at: int) -> bool:
    """`studs with brass nuts`: the metal is that of the nuts."""
    if not entry.material or entry.kind or not locks_next(state, at - 1):
        return False
    follower = state.peek(at + 1)
    if follower is None or not follower.entry or not is_lock(state, follower.entry):
        return False
    if not state.join and (not state.line.kind or state.line.kind == follower.entry.kind):
        return False
    state.lock = add_lock(state, follower)
    state.lock.made_of(entry.material)
    return True


_ANDS = frozenset(("and", "und", "et", "y", "e"))
#: A circlip beside one of these is a thing of its own.
_UNLOCKED = RINGS - {kind for kind in RINGS if "washer" in kind} - {"shim"} | {"spring"}


def is_lock(state: ParserState, entry: PhraseMeaning) -> bool:
    line = state.line
    if line.kind in _UNLOCKED or line.kind == "other" or state.join == "|":
        return False
    if state.repeat:
        return not (state.repeat > 1 and "pin" in line.kind and "pin" in entry.kind)
    if line.for_all and not line.kind:
        return state.join in BELONGS  # all with nylocs
    return _locks_named(state, entry) if line.kind else _locks_sized(state, entry)


def _locks_named(state: ParserState, entry: PhraseMeaning) -> bool:
    """Whether it sits on the fastener that the line names."""
    line = state.line
    if not state.join and (line.kind not in THREADED_KINDS or is_finer_nut(line.kind, entry.kind)):
        return False
    if line.kind == "screw" and entry.kind in THREADED_KINDS and not state.join:
        return "nut" in entry.kind
    return (
        bool(state.join in BELONGS or state.join in _ANDS or state.join in (",", "/", ""))
        and (entry.kind != line.kind)
        and (line.kind in THREADED_KINDS or state.join in BELONGS)
    )


def _locks_sized(state: ParserState, entry: PhraseMeaning) -> bool:
    """Whether it sits on what the line only sizes: cheese heads 2BA, 6, brass nuts."""
    line = state.line
    joined = state.join in BELONGS or state.join in _ANDS
    if joined and line.count and line.place and _named_before(state):
        return True  # studs 2 long 2 short with nuts
    beside = entry.kind in RINGS or bool(line.locks and "nut" in entry.kind)
    if line.thread is not None and line.count and beside and state.join == ",":
        return True  # 4 M6, spring washers, nuts
    long = any(figure.adjacent and figure.token.cross for figure in line.figures)
    nut_of_screw = bool(line.head or line.drive or long) and entry.kind in NO_LENGTH
    nut_of_screw = nut_of_screw and (bool(state.join) or _is_long(line))  # M10x90 nut
    if nut_of_screw and line.thread is not None:
        return True
    if (line.head or line.drive) and entry.kind not in THREADED_KINDS:
        sized = line.thread is not None or bool(line.figures or line.gauge)
        if joined or (state.join and sized and state.join != ":"):
            return True  # 2 off 1/4 x 1 whit csk + cup washers; 4x M5 pan, spring washers
    has_length = bool(line.figures or (line.words and state.join))
    if line.thread is not None and joined:
        return True
    return line.thread is not None and has_length and entry.kind not in THREADED_KINDS


#: No nut is so high, in mm, and no thread so coarse.
_HIGHEST_NUT = 12


def _is_long(line: ParsedLine) -> bool:
    """Whether the figure right behind a metric thread is the length of a screw: M10x90."""
    first = line.figures[0].token if line.figures else None
    tight = first is not None and first.cross == "tight" and len(first.numbers) == 1
    metric = line.thread_text[:1] in "Mm" and bool(line.thread_text)
    return metric and first is not None and tight and first.numbers[0].value > _HIGHEST_NUT


def _named_before(state: ParserState) -> bool:
    return any(line.kind for line in state.lines[:-1])


def add_lock(state: ParserState, token: Token) -> LockingDevice:
    name = token.entry.locks if token.entry else token.text
    one = state.repeat == 1 and state.join in ("+", "&", "plus")  # 4 bolts + a nut
    each = any(fold(one.text) in bench_words("each") for one in state.tokens)
    counted = bool(state.repeat) and (each or not one)
    before, line = state.before, state.line
    sort = before is not None and tells_sort(before) and line.place[-1:] == [before.text]
    sort = sort and (_is_behind_join(state, before) or _is_behind_kind(state, before))
    made = [LockingDevice(name, token=token, counted=counted) for _ in range(max(state.repeat, 1))]
    made[-1].listed = state.join == ","
    if sort:
        made[-1].place = line.place.pop()  # + nuts + thick washers
    elif before is not None and is_unread(before) and line.words[-1:] == [before.text]:
        own = _is_behind_join(state, before)  # + insulating washers
        made[-1].words += [line.words.pop()] if own else []
    line.locks += made
    state.repeat = 0
    return made[-1]


def _is_behind_kind(state: ParserState, token: Token | None) -> bool:
    """The big of `centre nut big washer` is said of the washer."""
    at = next((at for at, one in enumerate(state.tokens) if one is token), 0)
    before = state.tokens[at - 1].entry if at else None
    return before is not None and bool(before.kind)


def _is_behind_join(state: ParserState, token: Token | None) -> bool:
    """The thick of `nut + thick washer`, of `nut and the thick washer`."""
    at = next((at for at, one in enumerate(state.tokens) if one is token), 0)
    while at and fold(state.tokens[at - 1].text) in ("the", "its", "their"):
        at -= 1
    return at > 0 and state.tokens[at - 1].kind == "join"


def is_finer_nut(kind: str, other: str) -> bool:
    """A nut that is then called a castle nut."""
    return kind == "nut" and other.endswith("nut")
