"""The last look at the lines of a bag note: what is doubtful is asked or kept, never claimed.

The parser takes a word for what it most likely is. These few rules hold whatever it took: no word
is lost, a size has nothing unread before it, a part of a sum is not added to it, and where the
words that were kept say another number of pieces than the line, how many is asked.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

import msgspec

from tagbench.trade.fasteners.parsed_line import Figure, ParsedLine
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.parser.whole_places import keep_places_whole
from tagbench.trade.fasteners.patterns import patterns
from tagbench.trade.fasteners.thread_words import ThreadFound, ThreadOption
from tagbench.trade.fasteners.tokens import Token, tokens
from tagbench.trade.fasteners.vocabulary import NO_LENGTH, bench_words, fold, look_up

#: A bare figure up to here is a count as well as a length.
_LIKELY_COUNT = 12
#: No more than so many are offered as how many there are.
_MOST = 60
#: Words that count what stands before them: vier Stück, 2 pzas.
_PIECES = frozenset(
    ("ct", "stuck", "stk", "st", "pcs", "pieces", "pzas", "pz", "pezzi", "of", "off")
)
#: The sum of all that was said: 6 altogether, 5 in all.
_TOTALS = frozenset(("total", "altogether", "totale", "insgesamt", "gesamt", "zusammen"))
_TOTAL_PHRASES = (("in", "all"), ("in", "total"), ("en", "total"), ("en", "tout"), ("in", "tutto"))
#: What was there, used or found.
_HAVE = frozenset(
    ("found", "counted", "used", "need", "needs", "have", "had", "got", "were", "are", "there's",
     "theres", "qty", "qnty", "quantity", "only", "be", "says", "the")
)  # fmt: skip
#: So many at each of several: `drain screws, 1 each leg`, `2 under each bolt`.
_EACH = re.compile(
    r"(?P<said>(?P<many>[1-9][0-9]?)\s|(?:under|on|at|for|in)\s)(?:each|per)\s"
    r"(?!of\b|side\b|one\b|with\b|has\b|does\b)[^\W\d_]{3,}",
    re.IGNORECASE,
)
_SIDES = re.compile(
    r"\b(?:left|links|gauche|izquierda|sinistra|lh)\s?(?:&|and|und|et|y|e|\+|/)\s?"
    r"(?:right|rechts|droite|derecha|destra|rh)\b|\beither (?:side|end)\b",
    re.IGNORECASE,
)
#: Words behind which a number is how many there are, and no part of them.
_SURE = re.compile(
    r"\b(?:there(?:'s| is| are| were)|theres|all)\s\w+(?:\sof\b|$|\s?[,.!])"
    r"|\b\w+\s(?:total|altogether|insgesamt|in\s(?:all|total|tutto)|en\s(?:total|tout))\b"
    r"|^\w+\sof\s(?:them|'?em|these|those)\b|\s\w+\sof\s(?:them|'?em|these|those)$",
    re.IGNORECASE,
)
#: A count for certain: x4, 4x, 3 @.
_COUNTS = re.compile(r"^(?:x[0-9]+|[0-9]+x|[0-9]+ ?@)$", re.IGNORECASE)
#: What a sum comes to.
_IS_EQUAL = re.compile(r"=\s?([1-9][0-9]?)(?![\w.,/])")
#: The other count of `3 or 4 shims`.
_EITHER = re.compile(r"(?:or|to|oder|ou|o)\s([1-9][0-9]?)", re.IGNORECASE)
#: Roles of words that say nothing when they stand in no run of kept words.
_SMALL = ("weak", "hedge", "all", "ditto", "sizes", "set", "per")
#: They say nothing of their own beside a thread or a kind of head, but something beside a word
#: that was not understood: cyl head, course thread; and `testa` alone is a cylinder head.
_HEADS = frozenset(("head", "heads", "kopf", "testa", "cabeza", "tete"))
_NOUNS = _HEADS | {
    "thread",
    "threads",
    "threaded",
    "type",
    "gewinde",
    "filetage",
    "filet",
    "rosca",
    "filetto",
    "size",
}
_OR = frozenset(("or", "oder", "ou", "o"))
_OR_SERIES = re.compile(
    r"\s?(?:or|oder|ou|o)\s(?P<series>UN[CF]|UNEF|BS[FW]|Whit(?:worth)?|CEI|cycle)\b\??",
    re.IGNORECASE,
)
#: The same again.
_DITTO = frozenset(("ditto", "dto", "do", "idem", "ebenso", "dito"))
#: What is counted and is no piece: took 2 hours, 3 coats, 1 turn.
_NO_PIECES = frozenset(
    ("hour", "hours", "hr", "hrs", "h", "min", "mins", "minutes", "day", "days", "week", "weeks",
     "year", "years", "coat", "coats", "turn", "turns", "click", "clicks", "notch", "notches",
     "drop", "drops", "time", "times", "thou", "mm", "cm", "deg", "degrees", "nm", "speed", "teeth",
     "stunde", "stunden", "heure", "heures", "hora", "horas", "ora", "ore", "volt", "v", "watt")
)  # fmt: skip
_WORD = re.compile(r"[^\s,;:()\"“”]+")
#: How far behind a number the thing may stand that it counts: 10 new M5 nuts.
_REACH = 3


def doubted(found: Sequence[Token], lines: list[ParsedLine]) -> list[ParsedLine]:
    """The lines with each doubt written into them."""
    for line in lines:
        _one_or_the_other(line)
        _unread_before_size(found, line)
        _several_lengths(line)
    _one_of_each_thread(lines)
    lines = _some_of_unknown(lines)
    lines = _totals(_subsets(_broken_by_words(_counted_again(_late_counts(lines)))))
    for line in lines:
        _ask_either(line)
        _ask_sum(line)
        _ask_by_words(line)
        _ask_by_sides(line)
        _ask_by_singular(found, line)
    _keep_unknown_thread(found, lines)
    keep_places_whole(found, lines)
    _keep_lost(found, lines)
    return lines


def _one_or_the_other(line: ParsedLine) -> None:
    """`bolt M10 or 3/8`: the figure is no length, but what the thread may be instead."""
    thread = line.thread
    if thread is None or thread.thread is None or thread.options:
        return
    end = line.text.find(line.thread_text, line.start) + len(line.thread_text)
    if series := _OR_SERIES.match(line.text, end):
        _ask_series(line, thread, series)
        return
    begin = end - len(line.thread_text)
    for figure in line.figures:
        if fold(line.text[figure.token.end : begin].strip()) in _OR:  # 1/4 or M6
            line.words = [word for word in line.words if fold(word) not in _OR]
            line.figures = [one for one in line.figures if one is not figure]
            line.thread_text = line.text[figure.token.start : end]
            options = (ThreadOption(thread.thread.designation),)
            line.thread = ThreadFound(end, line.thread_text, options=options)
            return
        between = line.text[end : figure.token.start].strip()
        if fold(between) in _OR:
            said = f"{line.thread_text} {between} {figure.token.text}"
            line.figures = [one for one in line.figures if one is not figure]
            line.words = [word for word in line.words if fold(word) not in _OR]
            options = (ThreadOption(thread.thread.designation),)
            line.thread = ThreadFound(figure.token.end, said, options=options)
            line.thread_text = said
            return


def _ask_series(line: ParsedLine, thread: ThreadFound, series: re.Match[str]) -> None:
    """`5/16 BSF or UNF?`: two threads of one size."""
    other = next(iter(tokens(f"{thread.size.split()[0]} {series['series']}")), None)
    second = other.thread.thread if other is not None and other.thread else None
    if thread.thread is None or second is None:
        return
    said = f"{line.thread_text} {series[0].strip()}"
    gone = {fold(word) for word in series[0].split()}
    line.words = [word for word in line.words if fold(word) not in gone]
    options = tuple(ThreadOption(one.designation) for one in (thread.thread, second))
    line.thread = ThreadFound(thread.end, said, options=options)
    line.thread_text = said


def _unread_before_size(found: Sequence[Token], line: ParsedLine) -> None:
    """The 22mm of `stuck out 22mm` is no length: a word that nobody understood claims it."""
    kept = []
    for figure in line.figures:
        token = figure.token
        at = next((at for at, one in enumerate(found) if one.start == token.start), 0)
        before = found[at - 1] if at else None
        follower = found[at + 1] if at + 1 < len(found) else None
        named = follower is not None and (
            follower.thread or bool(follower.entry and follower.entry.kind)
        )
        sure = named or token.cross or token.behind or len(token.numbers) > 1
        if not sure and token.numbers and token.numbers[0].unit and is_unread(before):
            line.words.append(token.text)
        else:
            unsure = not sure and is_unread(follower)
            kept.append(msgspec.structs.replace(figure, unsure=unsure) if unsure else figure)
    line.figures = kept


def _several_lengths(line: ParsedLine) -> None:
    """`3 bolts 5/16 BSF 1 1/2, 1 3/4, 2"`: none of the lengths is that of all three."""
    lengths = [figure for figure in line.figures if _is_length(figure)]
    if line.thread is None or line.kind in NO_LENGTH or len(lengths) < 2:
        return
    between = [
        line.text[one.token.end : other.token.start].strip() for one, other in pairwise(lengths)
    ]
    listed = all(gap in (",", "and", "&", "und", "et", "y", "e") for gap in between)
    if listed or (len(lengths) > 2 and not any(between)):
        line.words += [figure.token.text for figure in lengths]
        line.figures = [figure for figure in line.figures if figure not in lengths]


def _is_length(figure: Figure) -> bool:
    token = figure.token
    if not token.numbers:
        return False  # the number of a bearing
    number = token.numbers[0]
    sized = number.unit or "/" in number.text or number.value > _LIKELY_COUNT
    alone = len(token.numbers) == 1 and not token.cross
    return alone and bool(sized) and token.behind in ("", "long")


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
    for line in lines:
        first = made[-1] if made else None
        if (
            first is not None
            and first.thing
            and first.asked is None
            and first.count is not None
            and line.count is not None
            and line.count < first.count
            and _is_plain(line)
            and not line.words
            and ((_sorts(line) and not _sorts(first)) or _is_one_elsewhere(line, first))
            and not line.per_side
        ):
            said = line.text[line.start : line.end].strip(" ,;+&")
            first.words.append(said)
            first.asked = said, (first.count, first.count + line.count)
            first.end = line.end
        else:
            made.append(line)
    return made


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


def line_text(line: ParsedLine) -> str:
    """The line as it was typed."""
    return line.text[line.start : line.end].strip(" ,;+&.")


def _says_total(said: str) -> bool:
    words = [fold(word) for word in _WORD.findall(said)]
    if _TOTALS & set(words):
        return True
    return any(pair in _TOTAL_PHRASES for pair in pairwise(words))


def _ask_sum(line: ParsedLine) -> None:
    """`3 M6x20 less one = 2`: the kept words say how many are left."""
    for said in line.words:
        told = _IS_EQUAL.search(said)
        if line.count and told and line.asked is None and int(told[1]) != line.count:
            line.asked = said, (int(told[1]), line.count)


def _ask_either(line: ParsedLine) -> None:
    """`3 or 4 shims`."""
    for said in line.words:
        if line.count and (other := _EITHER.fullmatch(said.strip("“”"))) and line.asked is None:
            line.asked = said, (line.count, int(other[1]))


def _ask_by_words(line: ParsedLine) -> None:
    """`I think there were 5 screws but only found 4`: the kept words say how many."""
    if line.asked is not None or line.per_side or line.listed:
        return
    kept = [one for one in (*line.words, *line.place) if one and one in line.text]
    mentions = [mention for one in kept for mention in _mentions(one, line.kind)]
    many = list(dict.fromkeys(number for _, number in mentions))
    if line.count is not None:
        more = [(said, number) for said, number in mentions if _COUNTS.search(said)]
        if more:  # 5 bolts of which the kept words say that 3 more are of another length
            total = line.count + sum(number for _, number in more)
            line.asked = more[0][0], (total, line.count)
        elif further := _further_lot(line):
            said, number = further
            line.asked = said, (line.count + number, line.count)
        return
    if not many:
        if further := _further_lot(line):
            line.asked = further[0], (1 + further[1], 1)
        return
    if len(many) == 1 and any(_SURE.search(said) for said in kept):
        line.count = many[0]
        return
    if len(many) == 1 and not line.thing:
        many.append(1)
    line.asked = mentions[0][0], tuple(dict.fromkeys((*many, 1)))


def _further_lot(line: ParsedLine) -> tuple[str, int] | None:
    """Kept words that may be some more of it: `2 dome nuts M6, 1 normal`, `and 25mm ditto`."""
    if not line.thing:
        return None
    states = {*bench_words("condition"), *bench_words("absent"), *_NO_PIECES}
    if any(fold(word) in _DITTO for said in line.words for word in _WORD.findall(said)):
        return " ".join(line.words), line.count or 1
    for said in line.words:
        words = [fold(word) for word in _WORD.findall(said)]
        at = line.text.find(said)
        before = line.text[:at].rstrip() if at > 0 else ""
        if before and not before.endswith((",", ";", "+", "&", " and", " und", " et", " y", " e")):
            continue
        number = int(words[0]) if words and words[0].isdecimal() else 0
        lot = len(words) == 2 and words[1].isalpha() and words[1] not in states
        if before and lot and 0 < number <= _LIKELY_COUNT:
            return said, number
    return None


def _mentions(said: str, kind: str) -> Iterator[tuple[str, int]]:
    """Each number that counts pieces in words that were kept, with the words that say so."""
    spans = list(_WORD.finditer(said))
    words = [fold(span[0]) for span in spans]
    for at, word in enumerate(words):
        times = re.fullmatch(r"x([0-9]{1,2})|([0-9]{1,2})x|n=([0-9]{1,2})", word)
        bare = int(word) if word.isdecimal() and len(word) < 3 else 0
        number = bare or bench_words("count").get(word, 0)
        if times:
            number = int(times[1] or times[2] or times[3])
        if not 1 < number <= _MOST:
            continue
        behind = words[at + 1 : at + 1 + _REACH]
        named = next((i for i, one in enumerate(behind) if _kind(one)), None)
        before = words[at - 1] if at else ""
        if times:
            end = at
        elif named is not None and not any(one.isdecimal() for one in behind[:named]):
            if kind and kind not in (_kind(behind[named]), "screw"):
                continue  # a bolt, came with 2 washers
            end = at + 1 + named
        elif behind[:1] == ["@"] or (behind[:1] and (behind[0] in _PIECES or behind[0] in _TOTALS)):
            end = at + 1
        elif tuple(behind[:2]) in _TOTAL_PHRASES:
            end = at + 2
        elif before in _HAVE:
            end = at
        else:
            continue
        yield said[spans[at].start() : spans[end].end()], number


def _kind(word: str) -> str:
    """The kind of fastener that it names: screws, Schrauben."""
    said = look_up((word,)) if len(word) > 2 else None
    return said[1].kind if said is not None else ""


def _ask_by_sides(line: ParsedLine) -> None:
    """`bearing left & right`, `1 screw either side` may be two."""
    if line.asked is not None or line.per_side is not None:
        return
    sides = _SIDES.search(line.text, line.start, line.end)
    many = line.count or 1
    each = _EACH.search(line.text, line.start, line.end)
    same = each is not None and each["many"] in (None, str(line.count))
    if each and same and not sides and line.surely_plural and line.count is not None:
        line.asked = each[0].strip(), tuple(times * many for times in (2, 3, 4, 1))
        return
    if sides and (many == 1 or many % 2 or re.search(r"\bje\b", line.text, re.IGNORECASE)):
        line.asked = sides[0], (2 * many, many)


def _ask_by_singular(found: Sequence[Token], line: ParsedLine) -> None:
    """`12 pt bolt` may be a bolt of twelve something: an unread word and no plural follow."""
    many = line.count or 0
    if many < 2 or line.asked is not None or line.per_side or not line.kind:
        return
    own = [one for one in found if line.start <= one.start < line.end]
    foreign = any(one.entry and one.entry.kind and one.entry.foreign for one in own)
    if foreign or line.surely_plural:
        return
    for token, follower in pairwise(own):
        unknown = follower.kind == "word" and follower.text.isalpha()
        if token.numbers and token.numbers[0].whole == many and unknown:
            line.asked = f"{token.text} {follower.text}", (many, 1)


def _is_noun(token: Token, beside: Sequence[Token]) -> bool:
    said = fold(token.text)
    if said not in _NOUNS:
        return said == "plate"
    described = any(one.entry and (one.entry.head or one.entry.drive) for one in beside)
    described = described or any(one.kind == "tool" for one in beside)
    unread = any(is_unread(one) or fold(one.text) in bench_words("condition") for one in beside)
    return unread or (said in _HEADS and not described)


def _keep_unknown_thread(found: Sequence[Token], lines: Sequence[ParsedLine]) -> None:
    """`5/16 - thread unknown, 22 tpi?`: what is told all the same is not said for certain."""
    for token in found:
        if token.kind != "phrase" or not patterns()["unknown_thread"].fullmatch(token.text):
            continue
        owner = next((line for line in reversed(lines) if line.start <= token.start), lines[0])
        if owner.thread is not None or owner.tpi is not None:
            owner.words.append(token.text)


def _is_form_letter(found: Sequence[Token], at: int) -> bool:
    """The A of `DIN 6885 A 5x5x20` and of A8.4, which is the form by the standard."""
    token = found[at]
    if len(token.text) != 1 or not token.text.isupper():
        return False
    before = found[at - 1] if at else None
    follower = found[at + 1] if at + 1 < len(found) else None
    tight = follower is not None and bool(follower.numbers) and follower.start == token.end
    standard = any(one.kind == "standard" or (one.thread and one.text[:1] in "Gg") for one in found)
    return standard and (
        tight or (before is not None and before.kind in ("standard", "numbers", "thread"))
    )


def _keep_lost(found: Sequence[Token], lines: Sequence[ParsedLine]) -> None:
    """No word that was typed is lost, whatever it was taken for."""
    kept = " ".join(
        " ".join(
            (
                *line.words,
                *line.place,
                *line.notes,
                *line.tools,
                line.kind_words,
                line.thread_text if line.thread and line.thread.options else "",
                *(word for lock in line.locks for word in (lock.place, lock.tool, *lock.words)),
            )
        )
        for line in lines
    )
    for at, token in enumerate(found):
        placed = token.entry is not None and token.entry.place
        before = found[at - 1].entry if at else None
        metal = before is not None and bool(before.material) and fold(token.text) not in _HEADS
        beside = (*found[max(0, at - 1) : at], *found[at + 1 : at + 2])
        noun = _is_noun(token, beside) and not metal  # zinc plate is a finish
        form = _is_form_letter(found, at)
        if token.kind not in ("word", "quoted") and not placed and not noun and not form:
            continue
        if not form and any(fold(token.text) in bench_words(role) for role in _SMALL):
            continue
        said = token.name or token.text
        if form and f" {said} " in f" {kept} ":
            continue
        if (
            not said.strip('“”"., ')
            or (said in kept and not form)
            or not any(map(str.isalpha, said))
        ):
            continue
        if token.kind == "phrase" and tells_sort(token) and fold(said) in fold(kept):
            continue
        owner = next((line for line in reversed(lines) if line.start <= token.start), lines[0])
        owner.words.append(said)
        kept = f"{kept} {said}"
