"""What holds for a whole list of things: places named first, counts for each, things in pairs."""

from __future__ import annotations

import re
from collections.abc import Sequence

import msgspec

from tagbench.trade.fasteners.parsed_line import Figure, LockingDevice, ParsedLine
from tagbench.trade.fasteners.parser.state import Each, ParserState, tells_sort
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import (
    NO_LENGTH,
    RINGS,
    THREADED_KINDS,
    bench_words,
    fold,
)

#: A figure behind a thing counts it up to here, and behind a plural up to the second.
_LIKELY_COUNT, _MOST = 12, 60
#: A bare length among inches is inches up to here.
INCHES_AT_MOST = 6
_BOTH_SIDES = ({"links", "rechts"}, {"left", "right"}, {"gauche", "droite"})
#: The series of a thread, said behind its size.
_SERIES = re.compile(r"BS[FW]|UN[FC]|whit(?:worth)?", re.IGNORECASE)
_COUNTED = ("count", "numbers", "thread")


def places_first(state: ParserState) -> bool:
    """Whether places stand before what sat there: `front 2 M8x30 rear 2 M8x45`."""
    found = [token for token in state.tokens if token.kind != "join" or token.name == ":"]
    opens = [at for at in range(len(found)) if _is_place_of_next(found, at)]
    if len(opens) < 2 or not found or _is_sort(found[-1]):
        return False
    before = found[: opens[0]]
    return all(
        one.name == ":" or (one.entry and (one.entry.place or one.entry.opens)) for one in before
    )


def _is_sort(token: Token) -> bool:
    """Whether it says which side or end: front, vorne, inside."""
    if not (token.entry and token.entry.place):
        return False
    first, *_ = fold(token.text).split() or [""]
    return tells_sort(token) or first in bench_words("place")


def _is_place_of_next(found: Sequence[Token], at: int) -> bool:
    """Whether a place there, `front`, `rh side`, stands right before a count or thread."""
    if not _is_sort(found[at]):
        return False
    end = at + 1
    while end < len(found) and (entry := found[end].entry) is not None and entry.place:
        end += 1
    if end < len(found) and found[end].name == ":":
        end += 1
    return end < len(found) and found[end].kind in _COUNTED


def begins_with_place(state: ParserState, at: int) -> bool:
    """Whether the place at that token begins the next line of `front 2 M8x30 rear 2 M8x45`."""
    listed = state.join == "," and state.line.count is not None  # 5 cone washers, o/s 5 nuts
    if not (state.places_first or listed) or not state.line.thing:
        return False
    found = state.tokens
    while at < len(found) and found[at].entry and not _is_sort(found[at]):
        at += 1
    return at < len(found) and _is_place_of_next(found, at)


def said_of_all(lines: list[ParsedLine]) -> list[ParsedLine]:
    """`M10x120, M10x95, all with nylocs`: the nut is on both; `2 x 30, 2 x 35, M6` is M6."""
    made: list[ParsedLine] = []
    last = lines[-1]
    others = [line for line in lines[:-1] if line.figures and not (line.thread or line.gauge)]
    said = last.kind or last.figures or last.words or last.place or last.count or last.locks
    if last.thread is not None and not said and len(others) == len(lines) - 1 > 1:
        last.for_all = True
    for at, line in enumerate(lines):
        if at + 1 < len(lines) and _is_only_place(line):
            lines[at + 1].place[:0], lines[at + 1].start = line.place, line.start
            continue  # seat pan 4 buffers
        if not line.for_all or not made:
            made.append(line)
            continue
        threaded = line.thread is not None and any(one.thread for one in made)
        if threaded or line.figures or line.count or line.gauge or line.torque:
            made[-1].words.append(line.text[line.start : line.end])
            made[-1].end = line.end
            continue
        for one in made:
            _add_what_all_have(one, line)
        if line.words and not any(map(_SERIES.fullmatch, line.words)):
            made[-1].words.append(line.text[line.start : line.end])
        made[-1].place += line.place
        made[-1].end = line.end
    return made


def _is_only_place(line: ParsedLine) -> bool:
    sort = any(map(_is_all_sort, line.place))
    more = line.thing or line.words or line.locks or line.tools or line.notes or line.torque
    counted = line.count is not None or line.per_side is not None or line.material
    if line.thing_named or line.bracketed or line.ditto:
        return False
    return bool(line.place) and not (more or counted or sort)


def _is_all_sort(said: str) -> bool:
    """Whether words of place only tell one sort from another: long, but not big wheel."""
    words = fold(said).split()
    return any(word in bench_words("sort") for word in words) and all(
        word in bench_words("sort") or word in bench_words("place") for word in words
    )


def _add_what_all_have(one: ParsedLine, said: ParsedLine) -> None:
    if one.thread is None and (one.kind in THREADED_KINDS | {"", "washer"}):
        one.thread, one.thread_text = said.thread, said.thread_text
        one.words += filter(_SERIES.fullmatch, said.words)  # all UNC
    long = any(figure.adjacent and figure.token.cross for figure in one.figures)
    if not one.kind and not (long and said.kind in RINGS | NO_LENGTH):
        one.kind, one.kind_words = said.kind, said.kind_words
    elif said.kind_token is not None and said.kind in RINGS | NO_LENGTH and not said.words:
        entry = said.kind_token.entry  # all spring washers
        name = entry.locks if entry is not None and entry.locks else said.kind
        one.locks.append(LockingDevice(name, token=said.kind_token, counted=True))
    one.locks += said.locks
    one.head, one.drive = one.head or said.head, one.drive or said.drive
    one.grade = one.grade or said.grade
    one.tools += [tool for tool in said.tools if tool not in one.tools]
    one.material += [metal for metal in said.material if metal not in one.material]


def settle_counts(state: ParserState, lines: Sequence[ParsedLine]) -> None:
    """Gives their counts to the lines of a list that do not say them."""
    begin = 0
    for each in state.each:
        begin = _settle_each(state, each, begin)
    for at, line in enumerate(lines[1:], 1):
        before = lines[at - 1]
        if line.ditto:
            _settle_ditto(before, line)
        if line.paired:
            _settle_pair(before, line)
    _settle_list(lines)
    _settle_behind(lines)
    _share_inches(lines)


def _settle_behind(lines: Sequence[ParsedLine]) -> None:
    """`cable ties 6, p clips 2`: where several things have a figure behind them, it counts them."""
    many = [line.count or only_figure(line) for line in lines]
    if len({line.kind for line in lines}) < 2 or not all(many):
        return
    if any(line.surely_plural for line in lines):
        for line, count in zip(lines, many, strict=True):
            if line.count is None:
                line.count, line.figures = count, []


def only_figure(line: ParsedLine) -> int:
    """How many the only figure of a line may say, behind what it is; else 0."""
    if not line.kind or len(line.figures) != 1 or line.count is not None or line.words:
        return 0
    figure = line.figures[0]
    token = figure.token
    alone = len(token.numbers) == 1 and not token.behind and not token.cross
    many = token.numbers[0].whole if alone and figure.behind_kind and figure.last else 0
    sure = line.surely_plural and line.thread is None
    return many if many <= _LIKELY_COUNT or (sure and many <= _MOST) else 0


def _share_inches(lines: Sequence[ParsedLine]) -> None:
    """The 2 of `bolts: 2 x 1-1/2, 4 x 2` is as many inches as the length before it is."""
    numbers = [one for line in lines for figure in line.figures for one in figure.token.numbers]
    inch = any(one.unit == "in" or "/" in one.text for one in numbers)
    metric = any(one.unit == "mm" for one in numbers) or any(
        line.thread and line.thread.thread and line.thread.thread.system in ("ISO metric", "BA")
        for line in lines
    )
    if not inch or metric:
        return
    for line in lines:
        line.figures = [
            figure if line is lines[0] else _in_inches(figure) for figure in line.figures
        ]


def _in_inches(figure: Figure) -> Figure:
    token = figure.token
    if any(one.unit or one.value > INCHES_AT_MOST for one in token.numbers[-1:]):
        return figure
    *first, last = token.numbers
    last = msgspec.structs.replace(last, unit="in")
    return msgspec.structs.replace(
        figure, token=msgspec.structs.replace(token, numbers=(*first, last))
    )


def _settle_each(state: ParserState, each: Each, begin: int) -> int:
    """Counts the lines before or behind it; words when all of them are counted already."""
    told = state.lines[begin : each.line + 1] if each.behind else state.lines[each.line :]
    open_ones = [line for line in told if line.count is None and (line.thing or _is_named(line))]
    if each.sets and any(line.count is not None for line in told):
        open_ones = []
    for line in open_ones:
        line.count = each.count
        sides = " ".join(line.place)
        if any(both <= set(fold(sides).split()) for both in _BOTH_SIDES):
            line.per_side = sides, each.count  # je 2 Schrauben links und rechts
    if each.sets and len(open_ones) == 1 and open_ones[0].plural:
        open_ones[0].asked = each.text, tuple(each.count * many for many in (1, 2, 3, 4))
    if not open_ones:
        state.lines[each.line].words.append(each.text)
    return each.line + 1


def _is_named(line: ParsedLine) -> bool:
    """The tappet adjusters of `tappet adjusters and locknuts, 2 of each`."""
    words = " ".join((*line.place, *line.words))
    return bool(words) and is_plural(words, line.text) and not line.header


def _settle_ditto(first: ParsedLine, second: ParsedLine) -> None:
    """`M6x16 x3, ditto x 25 x2`: all that is not said anew."""
    second.count = second.count or first.count
    if second.kind or second.thread:
        return
    second.kind, second.kind_words = first.kind, first.kind_words
    second.head, second.drive = second.head or first.head, second.drive or first.drive
    second.material = second.material or list(first.material)
    second.thread, second.thread_text = first.thread, first.thread_text
    second.gauge, second.grade = first.gauge, second.grade or first.grade
    second.figures = second.figures or list(first.figures)
    second.bearing, second.standard = first.bearing, first.standard


def _settle_pair(first: ParsedLine, second: ParsedLine) -> None:
    """`4 nuts and bolts M6`: four of each, of one thread; of `plates 4 + nipples 2` two."""
    if second.count is None and first.count is not None and (own := only_figure(second)):
        second.count, second.figures = own, []
    second.count = second.count or first.count
    first.count = first.count or second.count
    for one, other in ((first, second), (second, first)):
        if one.thread is None and not one.figures and one.kind in THREADED_KINDS:
            one.thread, one.thread_text = other.thread, other.thread_text


def _settle_list(lines: Sequence[ParsedLine]) -> None:
    """`2 oil seals 20x35x7 and 25x40x7` are one of each size."""
    for at, first in enumerate(lines):
        listed = [first]
        for line in lines[at + 1 :]:
            if not line.listed:
                break
            listed.append(line)
        rest = listed[1:]
        said = first.text[first.start : first.end].rstrip(" ,")
        own = said.endswith((f" x{first.count}", f" x {first.count}"))  # shims 0.1 x2, 0.2
        told = first.counted_first or (first.kind in RINGS and not own)
        if not rest or first.listed or not told or any(line.count for line in rest):
            continue
        if first.count == len(listed):
            for line in listed:
                line.count = 1
