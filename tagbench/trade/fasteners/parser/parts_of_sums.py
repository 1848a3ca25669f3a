"""Lines that count again what another line has counted: totals, parts of a sum, some of them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from tagbench.trade.fasteners.parsed_line import ParsedLine, line_text
from tagbench.trade.fasteners.vocabulary import bench_words, fold

WORD = re.compile(r"[^\s,;:()\"“”]+")


def counted_once(lines: list[ParsedLine]) -> list[ParsedLine]:
    """The lines with each piece in one of them only; where that is open, how many is asked."""
    _one_of_each_thread(lines)
    lines = _some_of_unknown(_gone_first(lines))
    return _totals(_subsets(_broken_by_words(_counted_again(_late_counts(lines)))))


#: The sum of all that was said: 6 altogether, 5 in all.
TOTALS = frozenset(("total", "altogether", "totale", "insgesamt", "gesamt", "zusammen"))
TOTAL_PHRASES = (("in", "all"), ("in", "total"), ("en", "total"), ("en", "tout"), ("in", "tutto"))
#: A count and nothing else, behind what was counted already.
_TIMES_ALONE = re.compile(r"x\s?([1-9][0-9]?)")


def _is_plain(line: ParsedLine) -> bool:
    """Whether it names neither a thing nor a size of its own."""
    return not (line.thing or line.notes or line.tools or line.locks or line.thing_named)


def _counted_again(lines: list[ParsedLine]) -> list[ParsedLine]:
    """`2 screws x 4`: twice four, four, or two; nobody but the person knows."""
    made: list[ParsedLine] = []
    for line in lines:
        first = made[-1] if made else None
        said = line.text[line.start : line.end].strip()
        times = _TIMES_ALONE.fullmatch(said)
        twice = first is not None and first.text[first.start : first.start + 1].isdigit()
        if times and first and twice and first.count and first.thing and first.asked is None:
            first.words.append(said)
            many = int(times[1])
            options = (many * first.count, many, first.count)
            same = (many, many * many) if many == first.count else options
            first.asked = said, tuple(dict.fromkeys(same))
            first.end = line.end
        else:
            made.append(line)
    return made


def _subsets(lines: list[ParsedLine]) -> list[ParsedLine]:
    """`3 bolts, one short one`: three, or four; nobody but the person knows."""
    made: list[ParsedLine] = []
    if any(line.total for line in lines) or len([line for line in lines if _sorts(line)]) > 1:
        return lines  # 8 screws: 4 long, 4 short
    few_lengths = sum(map(_is_of_other_length, lines)) == 1
    for line in lines:
        first = made[-1] if made else None
        if (
            first is not None
            and first.thing
            and first.asked is None
            and first.count is not None
            and line.count is not None
            and line.count < first.count
            and (_is_some(line, first) or (few_lengths and _is_of_other_length(line)))
            and not line.per_side
        ):
            said = line.text[line.start : line.end].strip(" ,;+&")
            first.words.append(said)
            first.asked = said, (first.count, first.count + line.count)
            first.end = line.end
        else:
            made.append(line)
    return made


def _is_some(line: ParsedLine, first: ParsedLine) -> bool:
    """Whether it says which of those before it are meant: one short one, one behind the coil."""
    if not _is_plain(line) or line.words:
        return False
    return (_sorts(line) and not _sorts(first)) or _is_one_elsewhere(line, first)


def _is_of_other_length(line: ParsedLine) -> bool:
    """The one 30 long of `4 M8x25, one 30 long`: one of the four, or one more."""
    if len(line.figures) != 1 or line.count is None or line.words or line.place:
        return False
    named = line.kind or line.thread or line.head or line.gauge or line.bearing or line.locks
    return line.figures[0].token.behind == "long" and not named


def _is_one_elsewhere(line: ParsedLine, first: ParsedLine) -> bool:
    """The one of `3 screws M8, one behind the coil`, where nobody said where the others are."""
    first_words = [word for place in line.place for word in fold(place).split()[:1]]
    elsewhere = len(line.place) == 1 and all(word in bench_words("opens") for word in first_words)
    return line.count == 1 and elsewhere and not first.place


def _broken_by_words(lines: list[ParsedLine]) -> list[ParsedLine]:
    """`4 bolts, 3 originals + 1 wrong` are four; what the parts are called says of which."""
    first, *parts = lines
    words = [part for part in parts if part.count and (part.words or part.place)]
    plain = len(words) > 1 and len(words) == len(parts) and not any(map(_is_named, parts))
    if not plain or not first.kind or first.count != sum(part.count or 0 for part in parts):
        return lines
    if any(map(_sorts, parts)):
        return lines  # 8 screws, 4 long, 4 short: two sorts
    first.words += [line_text(part) for part in parts]
    first.end = parts[-1].end
    return [first]


def _is_named(line: ParsedLine) -> bool:
    return bool(line.kind or line.thread or line.figures or line.gauge or line.bearing or line.head)


def _gone_first(lines: list[ParsedLine]) -> list[ParsedLine]:
    """`1 lost in grass, 3 blade bolts left`: the lost one is said of the bolts, and is gone."""
    first, *rest = lines
    words = [fold(word) for said in first.words for word in WORD.findall(said)]
    few = bool(words) and (words[0].isdecimal() or words[0] in bench_words("count"))
    gone = few and words[1:2] != [] and words[1] in bench_words("absent")
    if not (gone and rest and rest[0].kind) or first.thing or first.count is not None:
        return lines
    rest[0].words[:0] = first.words
    rest[0].start = first.start
    return rest


def _some_of_unknown(lines: list[ParsedLine]) -> list[ParsedLine]:
    """`1 of 2 cable nipples`: two, or the one of them; nobody but the person knows."""
    first, *rest = lines
    some = _SOME_OF.fullmatch(line_text(first))
    if some is None or not rest or not rest[0].count or first.thing:
        return lines
    said = line_text(first)
    rest[0].words.insert(0, said)
    rest[0].start = first.start
    rest[0].asked = said, (int(some[1]), rest[0].count)
    rest[0].count = int(some[1])
    return rest


_SOME_OF = re.compile(r"([1-9][0-9]?)\sof")


def _one_of_each_thread(lines: Sequence[ParsedLine]) -> None:
    """`2 nuts M6 and M8` are one of each; `asked`, as there may be two of both."""
    first, *rest = lines
    same = [line for line in rest if line.thread and not (line.kind or line.count or line.figures)]
    listed = len(same) == len(rest) > 0 and first.kind and first.thread and not first.figures
    if listed and first.count == len(lines):
        many = first.count
        for line in lines:
            line.count, line.asked = 1, (line.thread_text, (1, many))


def _late_counts(lines: list[ParsedLine]) -> list[ParsedLine]:
    """The 16 of `rivets, brass, 16 plus 2 spare` counts the rivets."""
    made: list[ParsedLine] = []
    for line in lines:
        first = made[-1] if made else None
        headed = first is not None and first.header and bool(line.words)
        named = line.kind or line.thread or line.figures or line.head or line.gauge
        bare = line.count is not None and not (line.thing or line.place or line.locks)
        bare = bare or (headed and line.count is not None and not named)
        if (
            first is not None
            and bare
            and first.count is None
            and first.surely_plural
            and not (line.thing_named and not headed)
            and not (line.per_side or line.notes or line.tools or line.ditto)
        ):
            first.count = line.count
            first.words += line.words
            first.end = max(first.end, line.end)
        else:
            made.append(line)
    return made


def _sorts(line: ParsedLine) -> bool:
    return any(map(_is_sort, line.place))


def _is_sort(place: str) -> bool:
    first, *_ = fold(place).split() or [""]
    return first in bench_words("sort") or first in bench_words("comparative")


def _totals(lines: list[ParsedLine]) -> list[ParsedLine]:
    """`2 long, 3 short, 5 in all` are five; `third screw is bent, 5 screws total` too."""
    if len(lines) < 2:
        return lines
    for total in lines:
        said = line_text(total)
        if not _says_total(said) or (total.count is None and total is not lines[-1]):
            continue
        if total.count is None:
            total.count, total.figures, total.thread = _first_number(said), [], None
        if total.count is None:
            continue
        rest = [line for line in lines if line is not total]
        if all(line.count is None and not line.thread for line in rest):
            total.words += [line_text(line) for line in rest]
            total.start = min(line.start for line in lines)
            return [total]
        counts = sum(line.count or 1 for line in rest)
        if total.thread or total.figures:
            return lines
        first = rest[-1]
        first.words.append(said)
        first.end = max(first.end, total.end)
        missing = total.count - counts
        if missing:
            have = first.count or 1
            first.asked = said, tuple(n for n in (have + missing, have) if n > 0)
        return rest
    return lines


def _first_number(said: str) -> int | None:
    found = re.match(r"\W*([0-9]{1,2})\b", said)
    return int(found[1]) if found else None


def _says_total(said: str) -> bool:
    words = [fold(word) for word in WORD.findall(said)]
    if TOTALS & set(words):
        return True
    return any(pair in TOTAL_PHRASES for pair in pairwise(words))
