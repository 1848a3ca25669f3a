"""How many there are is asked where what was kept of a line says another number than the line."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import pairwise

from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.parser.parts_of_sums import TOTAL_PHRASES, TOTALS, WORD
from tagbench.trade.fasteners.patterns import SMALL_COUNT
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import bench_words, count_said, fold, look_up


def ask_how_many(found: Sequence[Token], line: ParsedLine) -> None:
    """Writes the first question of how many there are into a line that has none yet."""
    _ask_either(line)
    _ask_one_and_others(line)
    _ask_sum(line)
    _ask_by_other_thread(line)
    _ask_by_words(line)
    _ask_by_sides(line)
    _ask_by_singular(found, line)


#: A bare figure up to here is a count as well as a length.
LIKELY_COUNT = 12
#: No more than so many are offered as how many there are.
_MOST = 60
#: Words that count what stands before them: vier Stück, 2 pzas.
_PIECES = frozenset(
    ("ct", "only", "nur", "stuck", "stk", "st", "pcs", "pieces", "pzas", "pz", "pezzi", "of", "off")
)
#: What was there, used or found.
_HAVE = frozenset(
    ("found", "counted", "used", "need", "needs", "have", "had", "got", "were", "are", "there's",
     "theres", "qty", "qnty", "quantity", "only", "be", "says", "the")
)  # fmt: skip
#: So many at each of several: `drain screws, 1 each leg`, `2 under each bolt`.
_EACH = re.compile(
    r"(?P<said>(?P<many>[1-9][0-9]?)\s|(?<!one\s)(?:under|on|at|for|in)\s)(?:each|per)\s"
    r"(?!of\b|side\b|one\b|with\b|has\b|does\b)[^\W\d_]{3,}",
    re.IGNORECASE,
)
_SIDES = re.compile(
    r"\b(?:left|links|gauche|izquierda|sinistra|lh)\s?(?:&|and|und|et|y|e|\+|/)\s?"
    r"(?:right|rechts|droite|derecha|destra|rh)\b|\beither (?:side|end)\b"
    r"|\bsame\s(?:again\s)?(?:on|for)\s(?:the\s)?(?:left|right|other|l|r|lh|rh)\b(?:\sside\b)?",
    re.IGNORECASE,
)
#: Words behind which a number is how many there are, and no part of them.
_SURE = re.compile(
    r"\b(?:there(?:'s| is| are| were)|theres|all)\s\w+(?:\sof\b|$|\s?[,.!])"
    r"|\b\w+\s(?:total|altogether|insgesamt|in\s(?:all|total|tutto)|en\s(?:total|tout))\b"
    r"|^\w+\s(?:only|nur)$"
    r"|^\w+\sof\s(?:them|'?em|these|those)\b|\s\w+\sof\s(?:them|'?em|these|those)$",
    re.IGNORECASE,
)
#: A count for certain: x4, 4x, 3 @.
_COUNTS = re.compile(r"^(?:x[0-9]+|[0-9]+x|[0-9]+ ?@)$", re.IGNORECASE)
#: What a sum comes to.
_IS_EQUAL = re.compile(r"=\s?([1-9][0-9]?)(?![\w.,/])")
#: The other count of `3 or 4 shims`.
_EITHER = re.compile(
    r"(?:^|\s)(?:or|to|oder|ou|o|maybe|perhaps|possibly|vielleicht|forse|quizas?)\s([1-9][0-9]?)$",
    re.IGNORECASE,
)
#: So many on each of some others: 2 washers per bolt.
_PER = re.compile(r"\b(?:per|pro|par|por)\s[^\W\d_]{3,}", re.IGNORECASE)
#: The same again.
_DITTO = frozenset(("ditto", "dto", "do", "idem", "ebenso", "dito"))
#: What is counted and is no piece: took 2 hours, 3 coats, 1 turn.
NO_PIECES = frozenset(
    ("hour", "hours", "hr", "hrs", "h", "min", "mins", "minutes", "day", "days", "week", "weeks",
     "year", "years", "coat", "coats", "turn", "turns", "click", "clicks", "notch", "notches",
     "drop", "drops", "time", "times", "thou", "mm", "cm", "deg", "degrees", "nm", "speed", "teeth",
     "key", "stunde", "stunden", "heure", "heures", "hora", "horas", "ora", "ore", "volt", "v",
     "watt")
)  # fmt: skip
#: So many words name a thing that nobody knows: 2 bullet conn.
_MOST_OF_NAME = 2
#: How far behind a number the thing may stand that it counts: 10 new M5 nuts.
_REACH = 3


def _ask_sum(line: ParsedLine) -> None:
    """`3 M6x20 less one = 2`: the kept words say how many are left."""
    for said in line.words:
        told = _IS_EQUAL.search(said)
        if line.count and told and line.asked is None and int(told[1]) != line.count:
            line.asked = said, (int(told[1]), line.count)


#: Some of them are said to be of another thread.
_OF_OTHER_THREAD = re.compile(
    r"\b(?P<many>one|two|three|[1-9])\s(?:is|are|was|were)\s(?:actually\s)?(?:M[0-9]|#?[0-9/]{1,5}-[0-9]{2})",
    re.IGNORECASE,
)


def _ask_by_other_thread(line: ParsedLine) -> None:
    """`4 nuts M7, 1 is M8`: three M7, or four."""
    for said in line.words:
        found = _OF_OTHER_THREAD.search(said)
        if found and line.count and line.asked is None and line.thread is not None:
            many = found["many"]
            few = count_said(many)
            if 0 < few < line.count:
                line.asked = found[0], (line.count - few, line.count)


#: One of them, and then how many the others are.
_ONE_AND_OTHERS = re.compile(
    r"\bone\b.*\b(?P<said>(?:the\s)?(?:others?|rest|remaining)\s(?P<many>[1-9][0-9]?|\w+))\b",
    re.IGNORECASE,
)


#: That one is not here, and no second one.
_FLEW = re.compile(
    r"\b(?:lost|missing|gone|binned|went\s(?:ping|missing)|pinged|flew|still\s(?:in|on))\b",
    re.IGNORECASE,
)
_OTHERS = re.compile(r"(?:the\s)?(?:others?|rest|remaining)\s([1-9][0-9]?|[a-z]+)\b", re.IGNORECASE)


def _ask_one_and_others(line: ParsedLine) -> None:
    """`long one at front, other 3 same`: the three, or four with the long one."""
    for said in line.words:
        others = _OTHERS.match(said)
        many = count_said(others[1]) if others and not _FLEW.search(said) else 0
        if many and line.asked is None and line.kind and (line.count or 1) == 1:
            line.asked = said, (many + 1, 1)  # long bolt top left, other three short
    found = _ONE_AND_OTHERS.search(line.text, line.start)
    if found is None or line.asked is not None or not line.count:
        return
    many = count_said(found["many"])
    if many == line.count and any("one" in fold(place).split() for place in line.place):
        line.asked = found["said"], (many + 1, many)


def _ask_either(line: ParsedLine) -> None:
    """`3 or 4 shims`."""
    for said in line.words:
        other = _EITHER.search(said.strip("“”"))
        if line.count and other is not None and line.asked is None:
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
        further = _further_lot(line)
        if further and not line.surely_plural:  # else how many is asked anyway
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
    if further := _further_sort(line):
        return further
    if not line.thing:
        return None
    states = _states()
    if any(fold(word) in _DITTO for said in line.words for word in WORD.findall(said)):
        return " ".join(line.words), line.count or 1
    for said in line.words:
        words = [fold(word) for word in WORD.findall(said)]
        at = line.text.find(said)
        before = line.text[:at].rstrip() if at > 0 else ""
        if before and not before.endswith((",", ";", "+", "&", " and", " und", " et", " y", " e")):
            continue
        number = int(words[0]) if words and words[0].isdecimal() else 0
        named = _MOST_OF_NAME if line.kind == "other" else 1
        lot = 1 < len(words) <= 1 + named and all(one.isalpha() for one in words[1:])
        lot = lot and states.isdisjoint(words)
        if before and lot and 0 < number <= max(LIKELY_COUNT, line.count or 0):
            return said, number
    return None


@cache
def _states() -> frozenset[str]:
    """Words that say how some are, and name no further ones."""
    roles = ("condition", "absent", "hedge")
    return NO_PIECES.union(*(bench_words(role) for role in roles))


#: So many of one sort and so many of another: clutch plates 4 plain 3 lined.
_SORTS = re.compile(r"[^\W\d_]{3,},?\s(?P<said>(?P<many>[1-9])\s(?P<sort>[^\W\d_]{3,}))$")


def _further_sort(line: ParsedLine) -> tuple[str, int] | None:
    """The 3 lined of `clutch plates 4 plain 3 lined`, where nothing else says what they are."""
    bare = line.count and len(line.figures) == 1 and not (line.kind or line.thread or line.head)
    found = _SORTS.search(line.text[line.start : line.end].strip(" ,")) if bare else None
    if found is None or fold(found["sort"]) in {*bench_words("condition"), *NO_PIECES, *_PIECES}:
        return None
    return found["said"], int(found["many"])


def _mentions(said: str, kind: str) -> Iterator[tuple[str, int]]:
    """Each number that counts pieces in words that were kept, with the words that say so."""
    spans = list(WORD.finditer(said))
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
        elif behind[:1] == ["@"] or (behind[:1] and (behind[0] in _PIECES or behind[0] in TOTALS)):
            end = at + 1
        elif tuple(behind[:2]) in TOTAL_PHRASES:
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


#: The share of each: two per jaw.
_SHARE = re.compile(rf"\b({SMALL_COUNT})\s(?:per|pro|par|por)\s", re.IGNORECASE)


def _ask_by_sides(line: ParsedLine) -> None:
    """`bearing left & right`, `1 screw either side` may be two."""
    if line.asked is not None or line.per_side is not None:
        return
    said_of_it = (*line.place, " ".join(line.words))
    per = [found for said in said_of_it if (found := _PER.search(said))]
    own = _SHARE.search(" ".join(said_of_it)) if per else None
    share = count_said(own[1]) if own is not None else 0
    if share and line.count and line.count > share and not line.count % share:
        return  # four total, two per jaw
    if per and line.count is not None and line.plural:
        line.asked = per[0][0], tuple(times * line.count for times in (2, 3, 4, 1))
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
    if many < 2 or line.asked is not None or line.per_side:
        return
    own = [one for one in found if line.start <= one.start < line.end]
    if not line.kind:
        _ask_by_number(own, line)
        return
    foreign = any(one.entry and one.entry.kind and one.entry.foreign for one in own)
    if foreign or line.surely_plural:
        return
    for token, follower in pairwise(own):
        unknown = follower.kind == "word" and follower.text.isalpha()
        if token.numbers and token.numbers[0].whole == many and unknown:
            line.asked = f"{token.text} {follower.text}", (many, 1)


def _ask_by_number(own: Sequence[Token], line: ParsedLine) -> None:
    """The 22 of `PJ 22 MJ 95` numbers a thing that nobody knows as often as it counts it."""
    for before, token in pairwise(own):
        number = token.numbers[0].whole if len(token.numbers) == 1 else 0
        part = before.entry is not None and before.entry.place and not is_plural(before.text)
        if (before.kind == "word" or part) and number == line.count and number > LIKELY_COUNT:
            line.count, line.asked = 1, (f"{before.text} {token.text}", (1, number))
