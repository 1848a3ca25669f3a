"""Lines of one text share what only one of them says: 3 long screws, 1 short."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile

import msgspec

from tagbench.trade.fasteners.parsed_line import Figure, ParsedLine
from tagbench.trade.fasteners.sides import OPPOSITES
from tagbench.trade.fasteners.vocabulary import (
    NO_LENGTH,
    RINGS,
    THREADED_KINDS,
    bench_words,
    fold,
    fold_words,
    look_up,
    nearest_word,
)

#: A piece that is said to be unlike the others has not their thread: 1 odd one.
_OTHERWISE = frozenset(
    ("odd", "different", "andere", "anders", "verschieden", "different", "diverso")
)
_NEVER_LONG = RINGS | NO_LENGTH


def share_words(lines: Sequence[ParsedLine]) -> list[ParsedLine]:
    """Gives kind, head, drive and thread to the lines that do not say them."""
    lines = _by_length(_broken_down(lines))
    for at, line in enumerate(lines):
        if line.thing_named or not _says_no_kind(line) or _names_unknown(line):
            continue
        if any(fold(word) in _OTHERWISE for one in line.place for word in one.split()):
            continue
        before = lines[at - 1] if at else None
        if before is not None and before.thing_named and before.count and _sorted(line):
            line.thing_named = True  # 2 rubbers top, 2 bottom, 2 bolts
            continue
        behind = [other for other in lines[at + 1 :] if not _is_counted_apart(line, other)]
        others = [*reversed(lines[:at]), *behind]
        if _is_counted_part(line, lines[at + 1 :]):
            line.thing_named = True
            continue
        like = next((other for other in others if _may_be_like(line, other)), None)
        known = next((other for other in others if other.thread), None)
        if like is not None:
            _take_after(line, like)
        elif line.thread is None and known is not None and _takes_thread(line):
            line.thread, line.thread_text = known.thread, known.thread_text
            if _sorted(line):  # 5 short 3 long M6 pan
                line.head, line.drive = line.head or known.head, line.drive or known.drive
        owner = like or known
        if owner is not None and _is_other_side(line, owner):
            line.figures, line.gauge = list(owner.figures), owner.gauge
    _share_thread_of_sorts(lines)
    _share_thread_of_rings(lines)
    return list(lines)


def _share_thread_of_rings(lines: Sequence[ParsedLine]) -> None:
    """The 1/4 Whit of `4 nuts 4 bolts 4 washers 1/4 Whit`: no washer has a thread of its own."""
    last = lines[-1]
    open_ones = [
        line
        for line in lines[:-1]
        if line.kind in THREADED_KINDS and not (line.thread or line.figures or line.thing_named)
    ]
    if (
        last.kind not in RINGS
        or last.thread is None
        or last.figures
        or len(open_ones) < len(lines) - 1
    ):
        return
    for line in open_ones:
        if last.count is not None and line.count is not None:
            line.thread, line.thread_text = last.thread, last.thread_text


def _share_thread_of_sorts(lines: Sequence[ParsedLine]) -> None:
    """The M6 of `6 long 4 short, M6` is that of the long ones too."""
    for at, line in enumerate(lines):
        if line.kind not in THREADED_KINDS or line.thread or line.figures or not _sorted(line):
            continue
        other = next((one for one in lines[at + 1 :] if one.kind == line.kind and one.thread), None)
        if other is not None and _sorted(other) and not other.figures:
            line.thread, line.thread_text = other.thread, other.thread_text


def _sum_of(whole: ParsedLine, parts: Sequence[ParsedLine]) -> Sequence[ParsedLine]:
    """`3 circlips: 1 x 15, 2 x 14`: the first count is the sum of the others."""
    counts = [_said_count(part) for part in parts]
    threaded = next((part for part in parts if part.thread), None)
    if whole.thread is None and not whole.figures and threaded is not None:
        whole.thread, whole.thread_text = threaded.thread, threaded.thread_text
    for part in parts:
        if not part.kind:
            part.kind, part.kind_words = whole.kind, whole.kind_words
            part.head, part.drive = part.head or whole.head, part.drive or whole.drive
            part.material = part.material or list(whole.material)
            if part.thread is None:
                part.thread, part.thread_text = whole.thread, whole.thread_text
                part.figures = [
                    *whole.figures,
                    *map(_as_length if whole.figures else _as_it_is, part.figures),
                ]
    first = parts[0]
    if len(parts) == 1:
        first.count = first.count or whole.count
    elif sum(count or 1 for count in counts) == whole.count:
        for part, count in zip(parts, counts, strict=True):
            part.count = part.count or (None if count else 1)
    else:
        said = whole.text[whole.start : whole.end].strip(" ,:")
        first.words.insert(0, said)
        missing = (whole.count or 0) - sum(count or 1 for count in counts)
        last = parts[-1]
        if missing > 0 and last.asked is None:
            last.asked = said, ((last.count or 1) + missing, last.count or 1)
    first.start = whole.start
    first.place = [*whole.place, *first.place]
    first.words = [*whole.words, *first.words]
    own = [lock for lock in whole.locks if not any(lock is one for one in first.locks)]
    first.locks, first.tools = [*own, *first.locks], [*whole.tools, *first.tools]
    first.grade = first.grade or whole.grade
    return parts


def _by_length(lines: Sequence[ParsedLine]) -> Sequence[ParsedLine]:
    """The bolts of `6 bolts M8, four 40 and two 60` are six; of ten of which nine have a length
    one is left, and asked."""
    for at, whole in enumerate(lines):
        if not (whole.kind and whole.thread and whole.count):
            continue
        if whole.figures or whole.gauge or whole.asked or whole.kind in _NEVER_LONG:
            continue
        parts = [*takewhile(_is_lengths_count, lines[at + 1 :])]
        counted = sum(part.count or 0 for part in parts)
        behind = lines[at + 1 + len(parts) :]
        if len(parts) > 1 and counted == whole.count:
            return [*lines[:at], *_sum_of(whole, parts), *behind]
        if parts and counted < whole.count and not _sorted(whole):
            said = whole.text[whole.start : whole.end].strip(" ,:")
            whole.asked = said, (whole.count - counted, whole.count)
            whole.count -= counted
            return lines
    return lines


def _is_lengths_count(part: ParsedLine) -> bool:
    """The four of `four 40 long`: a count and a length, and no word of what they are."""
    sizes = {figure.token.numbers for figure in part.figures}
    lengths = bool(part.count) and len(sizes) == 1 and part.thread is None
    return lengths and _says_no_kind(part) and not part.thing_named


def _as_it_is(figure: Figure) -> Figure:
    return figure


def _as_length(figure: Figure) -> Figure:
    """The 1" of `7 bolts 1/4x20: 4 off 1"`."""
    return msgspec.structs.replace(
        figure, token=msgspec.structs.replace(figure.token, behind="long")
    )


def _said_count(line: ParsedLine) -> int | None:
    """How many it says, also in a pair such as 4x20."""
    return line.count or (line.figures[0].token.many if line.figures else 0) or None


def _says_no_kind(line: ParsedLine) -> bool:
    return not (line.kind or line.gauge or line.bearing or line.standard or line.head)


def _names_unknown(line: ParsedLine) -> bool:
    """The 2 of `2 silentblocs + 2 screws M8` are no screws."""
    near = nearest_word(line.words[0]) if line.words and line.words[0].isalpha() else ""
    slip = look_up((near,)) if near else None
    if slip is not None and slip[1].kind and not line.kind:
        return True  # wahser 6mm four, spring washer four
    counted = line.count is not None and not line.thread
    if not (counted or line.thread) or line.figures or line.place or not line.words:
        return False
    first = fold(line.words[0])
    known = any(first in bench_words(role) for role in ("condition", "hedge", "sizes", "all"))
    return first.isalpha() and len(first) > 2 and not known and not nearest_word(first)


def _takes_thread(line: ParsedLine) -> bool:
    """Whether a thread said elsewhere may be its own: 2x10mm 4x16mm M5."""
    return not line.figures or bool(line.figures[0].token.many)


def _is_counted_part(line: ParsedLine, behind: Sequence[ParsedLine]) -> bool:
    """The plate of `1 bearing retainer plate, 4 csk M5x10`: the thread is that of the screws."""
    if line.count is None or line.thing or line.thread or line.per_side or line.material:
        return False
    named = any(map(_names_part, (*line.words, *line.place)))
    other = next((one for one in behind if one.thread), None)
    return named and other is not None and other.count is not None and not other.place


def _names_part(said: str) -> bool:
    """Whether the last of some words names a thing, and no side or sort or state of it."""
    roles = ("sort", "place", "pair of sides", "opens", "condition", "hedge", "all", "sizes",
             "weak", "noise", "others", "comparative", "count", "negation", "verb")  # fmt: skip
    last = (fold_words(said) or [""])[-1]
    if not last.isalpha() or len(last) <= _SHORT_WORD:
        return False
    slip = look_up((last,)) is None and nearest_word(last)
    return not slip and not any(last in bench_words(role) for role in roles)


#: Shorter words name no part for certain: bsf, off.
_SHORT_WORD = 3


def _is_counted_apart(line: ParsedLine, other: ParsedLine) -> bool:
    """The studs of `3 long 2 short 1 stud` are counted apart; what is long or short is open."""
    counted = line.count is not None and other.count is not None and bool(other.kind)
    return counted and _sorted(line) and not _sorted(other) and not other.place


def _may_be_like(line: ParsedLine, other: ParsedLine) -> bool:
    """Whether a line that does not say what it is may be of the other's kind."""
    if not other.kind or other.thing_named or other.kind_with:
        return False
    if other.apart and line.start < other.start:
        return False
    if line.thread and other.kind not in THREADED_KINDS and not _goes_on(other, line):
        return False
    if line.thread and line.place and line.count is None and not other.surely_plural:
        return False
    sized = line.thread is not None and bool(line.figures)
    counted = other.count is not None and line.count is not None and other.thread is not None
    if sized and other.start > line.start and (counted or not other.surely_plural):
        return False  # five M5 x 16 + one M5 x 20 dowel bolt  # cable adjuster M7, nut M7
    metric = line.thread is not None and line.thread.thread is not None
    metric = metric and line.thread_text[:1] in "Mm"
    counted = metric and all(map(_counts, line.figures))
    if other.kind in NO_LENGTH and line.thread and line.figures and not counted:
        return False  # M8 nut, M6x20: the second has a length and is no nut
    if other.kind in NO_LENGTH and any(one.token.behind == "long" for one in line.figures):
        return False  # rod 7/16 dia 9 1/2 long and two dome nuts
    # 3 long 1 short, 2 washers: what is long or short is no washer
    never = other.kind in _NEVER_LONG and other.count and not _sorted(other)
    return not (never and _sorted(line))


def _counts(figure: Figure) -> bool:
    """The x2 of `M6 nut x3, M8 x2`, which no nut is long."""
    token = figure.token
    return token.cross == "spaced" and len(token.numbers) == 1 and 0 < token.numbers[0].whole < 9


def _take_after(line: ParsedLine, other: ParsedLine) -> None:
    line.kind, line.kind_words = other.kind, other.kind_words
    line.material = line.material or _metal_in_name(other)
    line.head, line.drive = line.head or other.head, line.drive or other.drive
    if line.thread is None:
        line.thread, line.thread_text = other.thread, other.thread_text


def _is_other_side(line: ParsedLine, like: ParsedLine) -> bool:
    """The rear ones of `bolts M6x20, 2 front, 2 rear`: as many on the other side, of that size."""
    said = [word for one in line.place for word in fold_words(one)]
    bare = line.count and not (line.figures or line.gauge or line.words or line.head)
    there = {word for one in like.place for word in fold_words(one)}
    across = {two for pair in OPPOSITES for one, two in (pair, pair[::-1]) if one in said}
    sized = like.count and (like.figures or like.gauge) and line.thread is like.thread
    said_before = like.start < line.start
    return bool(bare and sized and said_before and len(said) == 1 and across & there)


def _metal_in_name(line: ParsedLine) -> list[str]:
    """The copper of copper washers."""
    words = tuple(fold_words(line.kind_words))
    said = look_up(words) if words else None
    return [said[1].material] if said and said[0] == len(words) and said[1].material else []


def _goes_on(first: ParsedLine, line: ParsedLine) -> bool:
    """`washers 2 x M6, 2 x M8`: the second are washers too."""
    counted = first.count is not None and line.count is not None
    return bool(counted and first.kind in RINGS and first.thread and not line.figures)


def _sorted(line: ParsedLine) -> bool:
    """Whether it says which sort of several it is: long, short."""
    return any(fold(word) in bench_words("sort") for said in line.place for word in said.split())


def _names(part: ParsedLine, sized: bool) -> bool:
    """Whether it names a thing of its own; `sized`: its sizes are no sign of one."""
    named = part.kind or part.gauge or part.bearing or part.head or part.standard or part.drive
    return bool(named) or (part.thing and not sized)


def _tells(part: ParsedLine) -> bool:
    """Whether its words say something else than which sort it is: 3 bolts, 1 odd in the bag."""
    return bool(part.words) and not (_sorted(part) and not _names_unknown(part))


def _is_described(part: ParsedLine, whole: ParsedLine) -> bool:
    """The two slotted of `three screws, two slotted, one hexagon`: how they look, and no kind."""
    looks = part.head or part.drive or part.material
    other = part.thread is not None and part.thread is not whole.thread
    sized = other or part.figures or part.gauge or part.bearing
    return bool(looks) and not (part.kind or sized or part.standard or part.words)


def _counts_what_follows(whole: ParsedLine, parts: Sequence[ParsedLine]) -> bool:
    """`9 bolts, 5 M8x30, 4 M8x50` are nine: the sizes say of what."""
    sized = whole.thread or whole.figures or whole.gauge or whole.asked or _sorted(whole)
    if sized or not whole.count or not whole.surely_plural or len(parts) < 2:
        return False
    counted = sum(_said_count(part) or 1 for part in parts)
    threaded = all(part.thread for part in parts)
    sized = all(part.figures or part.head or part.bearing for part in parts)
    exact = whole.count == counted and (threaded or sized)
    return (exact or (whole.count > counted and threaded and not whole.place)) and all(
        part.kind in ("", whole.kind) and not part.thing_named for part in parts
    )


def _is_uncounted_heading(whole: ParsedLine, parts: Sequence[ParsedLine]) -> bool:
    """The screws of `cover screws, 2 M6x20 and 1 M6x30`: the parts are all there are."""
    bare = not (whole.thread or whole.figures or whole.gauge or whole.bearing or whole.asked)
    bare = bare and not (whole.locks or whole.standard)
    several = whole.surely_plural or fold(whole.kind_words) in _ALIKE
    if whole.count is not None or not several or not bare or not parts:
        return False
    if len(parts) == 1 and not _is_all_of(whole, parts[0]):
        return False
    return all(
        part.count and (part.thread or part.figures or part.gauge or _sorted(part))
        and part.kind in ("", whole.kind)
        and not part.thing_named and not part.sits_on
        for part in parts
    )  # fmt: skip


def _is_count_of(whole: ParsedLine, part: ParsedLine) -> bool:
    """The 2 of `bearings 6203, 2 off rear hub`: how many there are, and where."""
    sized = whole.bearing or whole.thread or whole.figures
    open_one = whole.count is None and whole.surely_plural and sized and not whole.asked
    words = [word for said in part.place for word in fold_words(said)]
    if words and all(word in bench_words("sort") for word in words):
        return False  # bolts M6x20, 2 long
    bare = not (part.thread or part.figures or part.gauge or part.bearing or part.words)
    return bool(open_one and bare and part.count and not (part.kind or part.head))


#: One of them and several are called the same.
_ALIKE = frozenset(("vis",))


def _is_all_of(whole: ParsedLine, part: ParsedLine) -> bool:
    """The only lot of `cover screws, 6 M5x10` or `screws from the clock, three small`."""
    if part.kind or part.words or part.count == 1:
        return False
    threaded = whole.kind in THREADED_KINDS or (whole.kind in RINGS and not part.figures)
    return threaded or not part.thread


def _is_another_thing(whole: ParsedLine, part: ParsedLine) -> bool:
    """The nuts of `2 brass studs: 4 nuts` are no part of the studs."""
    if (
        whole.kind in ("", "other")
        or not part.kind
        or whole.kind in part.kind
        or part.kind in whole.kind
    ):
        return False
    screws = ("bolt", "screw", "set screw")
    return not (whole.kind in screws and part.kind.endswith(screws))


def _names_nothing(whole: ParsedLine) -> bool:
    """The ten of `ten 10s, 8 long 2 short`, whatever they are."""
    return bool(whole.words) and not whole.thing


def _broken_down(lines: Sequence[ParsedLine]) -> Sequence[ParsedLine]:
    """`8 screws 5mm - 4 long 4 short` are eight in two lines, and not sixteen."""
    whole, *parts = lines
    if whole.material and any(part.material not in ([], whole.material) for part in parts):
        return lines  # copper rivets, 3 alu rivets
    if len(parts) == 1 and _is_count_of(whole, parts[0]):
        whole.count, whole.end = parts[0].count, parts[0].end
        whole.place += parts[0].place
        return [whole]
    if _is_uncounted_heading(whole, parts):
        whole.count = sum(part.count or 1 for part in parts)
        return _sum_of(whole, parts)
    total = whole.total and parts and not any(_is_another_thing(whole, part) for part in parts)
    if total or _counts_what_follows(whole, parts):
        return _sum_of(whole, parts)
    if _sorted(whole):
        return lines  # M6 bolts 4 long 3 short 1 medium
    bare = not (whole.figures or whole.thread)
    sorts = [
        part
        for part in parts
        if _is_described(part, whole) or (part.place and not (_names(part, bare) or _tells(part)))
    ]
    counted = sum(part.count or 1 for part in parts)
    if len(parts) < 2 or len(sorts) < len(parts) or whole.count != counted:
        return lines
    if not (whole.kind or _names_nothing(whole)):
        return lines
    for part in parts:
        part.kind, part.kind_words = whole.kind, whole.kind_words
        part.head, part.drive = part.head or whole.head, part.drive or whole.drive
        part.material = part.material or list(whole.material)
        if not bare:
            part.thread, part.thread_text = whole.thread, whole.thread_text
            part.figures, part.gauge = list(whole.figures), whole.gauge
        part.grade, part.words = whole.grade, [*whole.words, *part.words]
        part.tools = [*whole.tools, *part.tools]
    parts[0].start = whole.start
    parts[0].place = [*whole.place, *parts[0].place]
    return parts
