"""What a note says of all its pieces together, written into the lines it holds for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import msgspec

from tagbench.trade.fasteners.counts.here import OnlyHere
from tagbench.trade.fasteners.counts.whole import (
    Hands,
    Lengths,
    OddOne,
    OnBoth,
    ShouldBe,
    Thicknesses,
    TotalCount,
    WholeCount,
)
from tagbench.trade.fasteners.parsed_line import Figure, ParsedLine, line_text
from tagbench.trade.fasteners.tokens import Token, number_of, tokens
from tagbench.trade.fasteners.vocabulary import NO_LENGTH, THREADED_KINDS, fold


def with_whole_counts(
    lines: Sequence[ParsedLine], said: Sequence[WholeCount]
) -> list[ParsedLine] | None:
    """The lines with what was said of all of them; None where that does not fit them."""
    made: list[ParsedLine] | None = list(lines)
    for one in sorted(said, key=lambda one: isinstance(one, TotalCount)):
        if made is None:
            return None
        made = _written(made, one)
    return made


def _written(lines: list[ParsedLine], one: WholeCount) -> list[ParsedLine] | None:
    match one:
        case TotalCount():
            return _in_all(lines, one)
        case Hands() | OnBoth():
            return _on_hands(lines, one) if isinstance(one, Hands) else _on_both(lines, one)
        case Lengths():
            return _of_lengths(lines, one)
        case Thicknesses():
            return _of_thicknesses(lines, one)
        case OddOne():
            return _with_odd_one(lines, one)
        case OnlyHere():
            return _only_here(lines, one)
        case ShouldBe():
            return _should_be(lines, one)


def fits_hands(lines: Sequence[ParsedLine], said: Sequence[WholeCount]) -> bool:
    """Whether lines have both counts of `2 left, 2 right` already."""
    own = _holders(lines)
    counts = [line.count for line in own]
    alike = len({(line.kind, len(line.figures)) for line in own}) == 1
    return alike and any(
        isinstance(one, Hands) and counts == [one.first, one.second] for one in said
    )


def _holders(lines: Sequence[ParsedLine]) -> list[ParsedLine]:
    """The lines without the nuts and washers that sit on their fasteners."""
    return [line for line in lines if not line.sits_on]


def _in_all(lines: list[ParsedLine], total: TotalCount) -> list[ParsedLine] | None:
    own = _holders(lines)
    rest = [line for line in own if line.rest]
    if rest:
        return _with_rest(lines, own, rest, total)
    if len(own) == 1:
        line = own[0]
        if line.count is None and line.asked is None:
            line.count = total.many
            _one_on_each(lines, total.many)
        elif line.count != total.many or line.asked is not None:
            return None
        return lines
    if all(line.count is None for line in own):
        return None
    missing = total.many - sum(line.count or 1 for line in own)
    open_ones = [line for line in own if line.count is None and line.surely_plural]
    if missing and len(open_ones) == 1 and missing >= 0:
        open_ones[0].count = missing + 1
    elif missing:
        return None
    return lines


def _with_rest(
    lines: list[ParsedLine],
    own: Sequence[ParsedLine],
    rest: Sequence[ParsedLine],
    total: TotalCount,
) -> list[ParsedLine] | None:
    """`2 M8x45, rest M8x35, 6 in all`: the rest are four."""
    others = [line for line in own if not line.rest]
    many = total.many - sum(line.count or 1 for line in others)
    if len(rest) != 1 or many < 1 or rest[0].count is not None:
        return None
    rest[0].count, rest[0].asked = many, None
    return lines


def _on_hands(lines: list[ParsedLine], said: Hands) -> list[ParsedLine] | None:
    own, many = _holders(lines), said.first + said.second
    if len(own) != 1 or own[0].count not in (None, many) or own[0].asked or own[0].per_side:
        return None
    own[0].count = many
    own[0].place.append(said.typed)
    _one_on_each(lines, many)
    return lines


def _on_both(lines: list[ParsedLine], said: OnBoth) -> list[ParsedLine] | None:
    own = _holders(lines)
    if len(own) != 1 or own[0].count is not None or own[0].asked or own[0].per_side:
        return None
    own[0].count = 2 * said.many
    own[0].place.append(said.sides)
    _one_on_each(lines, 2 * said.many)
    return lines


def _one_on_each(lines: Sequence[ParsedLine], many: int) -> None:
    """The 2 nuts of `screws M6 1L 1R + 2 nuts` are one on each, not two; of fewer it is asked."""
    if any("each" in fold(place).split() for line in lines for place in line.place):
        return
    for line in lines:
        if line.sits_on == many:
            line.sits_on = 1
        elif line.sits_on > 1:
            line.asked = line.kind_words or line_text(line), (line.sits_on, line.sits_on * many)
            line.count, line.sits_on = line.sits_on, 0


def _of_lengths(lines: list[ParsedLine], said: Lengths) -> list[ParsedLine] | None:
    """Each lot of pieces of one length in its line; the note says as many lots, or one."""
    own, lots = _holders(lines), Counter(said.each)
    if len(own) == len(lines) == 1:
        return _split(own[0], lots, said)
    if Counter(line.count for line in own) != Counter(lots.values()):
        return None
    if any(line.figures or line.kind in NO_LENGTH for line in own):
        return None
    left = sorted(lots, key=lambda one: number_of(one, said.unit).value, reverse=True)
    for line in sorted(own, key=_shortness):
        length = next(one for one in left if lots[one] == line.count)
        left.remove(length)
        line.figures.append(_length(length, said.unit))
    return lines


def _shortness(line: ParsedLine) -> int:
    words = {word for place in line.place for word in fold(place).split()}
    return 0 if words & _LONG else 2 if words & _SHORT else 1


_LONG = frozenset(("long", "longer", "longest", "lang", "lange", "longue", "longues", "largo",
                   "largos", "lungo", "lunghe"))  # fmt: skip
_SHORT = frozenset(("short", "shorter", "shortest", "kurz", "kurze", "court", "courte", "courtes",
                    "corto", "cortos", "corte"))  # fmt: skip


def _split(line: ParsedLine, lots: Counter[str], said: Lengths) -> list[ParsedLine] | None:
    many, figures = line.count, list(line.figures)
    if many is None and len(figures) == 1 and _whole(figures[0]) == len(said.each):
        many, figures = len(said.each), []  # M6 x 5, lengths 20 20 30 30 45
    if many is None and max(lots.values()) == 1:
        return None  # bolts M6 (20, 30): how many of each nobody said
    fastener = not line.kind or line.kind in THREADED_KINDS - NO_LENGTH
    if figures or not fastener or many not in (None, len(said.each)):
        return None
    made = [
        _like(line, count, [_length(length, said.unit)], list(line.place))
        for length, count in lots.items()
    ]
    made[-1].place += [said.last_place] if said.last_place else []
    return made


#: What is told apart by how thick it is.
_BY_THICKNESS = ("shim", "thrust washer")


def _of_thicknesses(lines: list[ParsedLine], said: Thicknesses) -> list[ParsedLine] | None:
    """A line for each thickness of shims: `3 shims: 0.1, 0.1, 0.25`."""
    own = _holders(lines)
    if len(own) != 1 or len(lines) > 1 or own[0].kind not in _BY_THICKNESS or own[0].figures:
        return None
    line, lots = own[0], Counter(said.each)
    if line.count not in (None, len(said.each)) or line.asked is not None:
        return None
    made: list[ParsedLine] = []
    for thick, many in lots.items():
        token = Token(
            "numbers", thick, 0, 0, numbers=(number_of(thick, said.unit),), behind="thick"
        )
        made.append(_like(line, many, [Figure(token, True, True, True)], list(line.place)))
    for other in made[1:]:
        other.words = []
    return made


def _whole(figure: Figure) -> int:
    numbers = figure.token.numbers
    return numbers[0].whole if len(numbers) == 1 else 0


def _length(text: str, unit: str) -> Figure:
    token = Token("numbers", text, 0, 0, numbers=(number_of(text, unit),), behind="long")
    return Figure(token, True, True, True)


def _like(line: ParsedLine, count: int, figures: list[Figure], place: list[str]) -> ParsedLine:
    """Another line of the same fastener, of another size and count."""
    return msgspec.structs.replace(
        line, count=count, figures=figures, place=place, words=list(line.words),
        material=list(line.material), locks=list(line.locks), tools=list(line.tools),
        notes=list(line.notes), asked=None,
    )  # fmt: skip


def _with_odd_one(lines: list[ParsedLine], said: OddOne) -> list[ParsedLine] | None:
    """`8 M5x16, the top one is 25`: seven and one, or eight and one, which is asked."""
    sized = [line for line in _holders(lines) if line.thread and line.figures]
    if len(sized) != 1 or len(lines) > 1:
        return None
    line = sized[0]
    count = line.count
    if count is None or count <= said.many or line.asked is not None:
        return None
    size = tokens(said.size)
    thread = next((one for one in size if one.thread), None)
    length = next((one for one in size if one.numbers), None)
    if length is None:
        return None
    long = msgspec.structs.replace(length, cross="", behind="long")
    odd = _like(
        line, said.many, [Figure(long, True, True, True)], [said.place] if said.place else []
    )
    odd.words, odd.locks = [], []
    if said.place and not _is_place(said.place):
        odd.place, odd.words = [], [said.place]
    if thread is not None:
        odd.thread, odd.thread_text = thread.thread, thread.text
    line.count, line.asked = count - said.many, (said.typed, (count - said.many, count))
    return [line, odd]


def _is_place(said: str) -> bool:
    """Whether words say where: top, at the front."""
    found = tokens(said)
    return all(
        one.entry and (one.entry.place or one.entry.opens or one.entry.noise) for one in found
    )


def _only_here(lines: list[ParsedLine], said: OnlyHere) -> list[ParsedLine] | None:
    own = _holders(lines)
    line = own[-1]
    if not _is_alone(own) or line.asked is not None or line.per_side is not None:
        return None
    if line.count is None and not (line.surely_plural or said.several):
        return None
    if line.count is not None and line.count != said.many:
        line.asked = said.typed, (said.many, line.count)
        line.words.append(str(line.count))
    line.count = said.many
    line.words.append(said.typed)
    return lines


def _is_alone(own: Sequence[ParsedLine]) -> bool:
    """Whether only the last of the lines can be meant: fan cowl + its 3 screws, so 2 in bag."""
    *before, last = own
    things = all(line.count in (None, 1) and not line.kind for line in before)
    return not before or (things and bool(last.kind) and (last.count or 0) > 1)


def _should_be(lines: list[ParsedLine], said: ShouldBe) -> list[ParsedLine] | None:
    own = _holders(lines)
    line = own[0]
    many = said.many or line.count
    counted = line.count == many or (line.count is None and line.surely_plural)
    if len(own) != 1 or not many or not counted or line.asked is not None:
        return None
    line.count, line.asked = many, (said.typed, (many, said.other))
    line.words.append(said.typed)
    return lines
