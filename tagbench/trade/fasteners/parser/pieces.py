"""Nuts, washers and rings that were named with a fastener are pieces, and have lines of their own.

What only keeps a fastener from coming loose (thread lock, lock washer, cotter pin) stays with it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tagbench.trade.fasteners.parsed_line import Figure, LockingDevice, ParsedLine, line_text
from tagbench.trade.fasteners.parser.lists import only_figure
from tagbench.trade.fasteners.patterns import patterns
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import RINGS, PhraseMeaning

#: What stays with the fastener it keeps tight, and is renewed with it.
KEEP_TIGHT = frozenset(
    (
        "thread lock", "lock wire", "staked", "captive washer", "lock washer", "star washer",
        "tab washer", "wave washer", "conical spring washer", "cotter pin", "R-clip", "linch pin",
    )
)  # fmt: skip
#: Of these, what goes through a nut.
_OF_NUT = frozenset(("cotter pin", "R-clip", "lock wire"))
#: Their nut has their thread; a stud may have two.
NUTS_ON = frozenset(("bolt", "screw", "set screw", "U-bolt", ""))


def with_pieces(lines: Iterable[ParsedLine]) -> list[ParsedLine]:
    """The lines with one more for each nut, washer or ring that sits on a fastener."""
    made: list[ParsedLine] = []
    for line in lines:
        locks, line.locks = line.locks, []
        pieces: dict[int, ParsedLine] = {}
        for lock in locks:
            last = next(reversed(pieces.values()), None)
            if not is_piece(lock) or lock.token is None:
                pinned = last is not None and "nut" in last.kind and lock.name in _OF_NUT
                (last if last is not None and pinned else line).locks.append(lock)
            elif lock.token.start in pieces:
                _add_to(pieces[lock.token.start], lock)
            else:
                pieces[lock.token.start] = _piece(line, lock, lock.token)
        made += [line, *pieces.values()]
    _counted_with(made)
    return made


def _counted_with(lines: Sequence[ParsedLine]) -> None:
    """The washer of `4 bolts with a nut and a washer` is one for each as the nut is, or one."""
    for holder, piece, other in zip(lines, lines[1:], lines[2:], strict=False):
        many, each = holder.count or 1, other.count or 0
        counted = piece.sits_on and not other.sits_on and other.counted_first
        small = other.kind in RINGS or "nut" in other.kind
        joint = other.text[piece.end : other.start].strip().lower()
        if counted and small and other.asked is None and 0 < each != many > 1 and joint in _ANDS:
            options = (many * each, each) if piece.on_each else (each, many * each)
            other.count, other.asked = options[0], (line_text(other), options)


#: Joints of things that belong together.
_ANDS = ("and", "&", "+", "und", "et", "y", "e")


def _add_to(piece: ParsedLine, lock: LockingDevice) -> None:
    """One more on each: 2 copper washers, with what was said behind them."""
    piece.sits_on += 1
    piece.material += [lock.metal] if lock.metal and lock.metal not in piece.material else []
    piece.words += [word for word in lock.words if word not in piece.words]
    piece.tools += [lock.tool] if lock.tool and lock.tool not in piece.tools else []
    piece.place += [lock.place] if lock.place and lock.place not in piece.place else []
    if lock.sized is not None and not piece.figures:
        piece.figures = [Figure(lock.sized, False, True, True)]


def is_piece(lock: LockingDevice) -> bool:
    """Whether it is a nut, washer or ring, and does not only keep its fastener tight."""
    entry = lock.token.entry if lock.token else None
    return entry is not None and bool(entry.kind) and lock.name not in KEEP_TIGHT


def _piece(line: ParsedLine, lock: LockingDevice, token: Token) -> ParsedLine:
    entry = token.entry or PhraseMeaning()
    end = max(token.end, lock.sized.end if lock.sized else 0)
    said = token.name or token.text
    piece = ParsedLine(line.text, token.start, end, kind=entry.kind, kind_words=said)
    piece.listed = not any(word in entry.kind for word in ("nut", "washer"))
    beside = piece.listed and line.kind in RINGS  # 2 washers + a spacer
    piece.sits_on, piece.on_each = 1, (lock.counted and not beside) or is_plural(token.text)
    piece.head, piece.drive = entry.head, entry.drive
    piece.material = list(filter(None, [lock.metal or entry.material]))
    piece.place = [lock.place] if lock.place else []
    piece.words, piece.tools = list(lock.words), [lock.tool] if lock.tool else []
    if lock.sized is not None:
        piece.figures = [Figure(lock.sized, False, True, True)]
    elif "nut" in entry.kind and line.kind in NUTS_ON:
        piece.thread, piece.thread_text = line.thread, line.thread_text
    return piece


def count_piece(piece: ParsedLine, holder: ParsedLine, many: int) -> None:
    """`4 bolts with nuts`: four nuts; `4 bolts with nut`: one each, which is asked.

    `many`: how many there are of the fastener it sits on.
    """
    per, own = piece.sits_on, only_figure(piece)
    if holder.kind == "U-bolt" and per == 1 and is_plural(piece.kind_words):
        piece.count, piece.asked = 2 * many, (piece.kind_words, (2 * many, many))
        return
    if per * many > 1 or holder.count is not None or not is_plural(piece.kind_words):
        piece.count = per * many
    if own and own == piece.count:
        piece.figures = []  # dadi testa 4 + rosette 4
    sides = any(map(patterns()["each_side"].search, holder.place))
    if holder.per_side is not None or sides:
        one_side = holder.per_side[1] if holder.per_side else many
        piece.per_side = piece.kind_words, per * one_side
    elif holder.asked is not None:
        piece.asked = piece.kind_words, tuple(per * one for one in holder.asked[1])
    elif many > 1 and not piece.on_each:
        piece.asked = piece.kind_words, (per * many, per)
        if piece.listed:
            piece.count, piece.asked = per, (piece.kind_words, (per, per * many))
