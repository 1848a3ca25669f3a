"""Counts as people say them on bags: pairs, dozens, dittos, and things counted one by one."""

from __future__ import annotations

import re
from types import MappingProxyType

from tagbench.trade.fasteners.patterns import replaced
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.vocabulary import bench_words, count_said, fold, look_up

#: `30 42 10 pair`: two of that size.
_PAIR_OF_SIZE = re.compile(
    r"(?<![\w.])([0-9]{1,3}(?:x|\s)[0-9]{1,3}(?:x|\s)[0-9]{1,2})\s(?:pair|prs?)\b", re.IGNORECASE
)
#: `2 x ditto x 60`, `4 x ditto washers`.
_DITTO_TIMES = re.compile(r"(?<![\w.,])([0-9]{1,2})\s?x\s(?=(?:ditto|dito)\b)", re.IGNORECASE)
#: A 5th counts and measures nothing; half a washer is one that is broken.
_ORDINAL = re.compile(r"\b([0-9]{1,2}(?:st|nd|rd|th))\b(?!\s?(?:thick|x))", re.IGNORECASE)
_HALF_A = re.compile(r"\b(half an?)\s(?!doz)", re.IGNORECASE)
#: `3 or 4 shims`: how many is open.
_EITHER_COUNT = re.compile(
    r"(?:^|(?<=,\s)|(?<=:\s)|(?<=/\s))([1-9][0-9]?)\s(or|to|oder|od\.?|ou|o)\s([1-9][0-9]?)\s"
    r"(?=[^\W\d_]{3}|M[0-9]|#[0-9]|[0-9]+/[0-9])",
    re.IGNORECASE,
)
#: `38 overall`: a length that is none under the head.
_OVERALL = re.compile(
    r"\b((?:[0-9]+[\s-])?(?:[0-9]+/[0-9]+|[0-9.]+)\s?(?:mm|in|\")?"
    r"\s(?:over\s?all|o/a|tip to tip|total length))\b",
    re.IGNORECASE,
)
#: `M6x20 or M6x25`: how long is open.
_EITHER_LENGTH = re.compile(
    r"\b(M[0-9]{1,2})\s?x\s?([0-9]{1,3})\s(or|oder|ou|o)\s(?:\1\s?)?x?\s?([0-9]{1,3})"
    r"(?:\s?mm)?(?:\s(?:long|lang|longues?|largos?|lung[ho]i?))?(?!\w|[./][0-9])",
    re.IGNORECASE,
)
#: How a cap or plug is held, which names no screw.
_SCREWED_IN = re.compile(r"\b((?:screw|bolt|clip|push|press|weld)-(?:in|on|fit))\b", re.IGNORECASE)
#: The form of a nut's face, which is no seat that it came from.
_SEAT_FORM = re.compile(
    r"\b((?:taper(?:ed)?|conical|coned?|radius(?:ed)?|spherical)\sseat(?:s|ed|ing)?)\b",
    re.IGNORECASE,
)
#: `1 doz`, and `4 - 6-32`: how many, before a thread.
_DOZEN = re.compile(
    r"\b(?:(1|one|a|2|two|3|three|half a|half|1/2|½)\s)?doz\b\.?(?=\s|$)", re.IGNORECASE
)
_DOZENS = MappingProxyType(
    {
        "1": 12,
        "one": 12,
        "a": 12,
        "2": 24,
        "two": 24,
        "3": 36,
        "three": 36,
        "half a": 6,
        "half": 6,
        "1/2": 6,
    }
)
_COUNT_DASH = re.compile(r"^([1-9][0-9]?)\s-\s(?=#?[0-9]{1,2}-[0-9]{2}\b|[0-9]+/[0-9]+|M[0-9])")
#: `roll pins 2 - 4mm x 24`: a plural counted behind its name, before its size.
_COUNTED_PLURAL = re.compile(r"(?<=[^\W\d_]s)\s([1-9][0-9]?)\s-\s(?=M?[0-9])")
#: `4 bullets 2 spades 1 eyelet`: each thing with its count before it.
_COUNTED = re.compile(
    r"[1-9][0-9]?x?(?:\s[^\W\d_]{3,}){1,2}(?:\s[1-9][0-9]?x?(?:\s[^\W\d_]{3,}){1,2})+"
)
_NEXT_COUNT = re.compile(r"(?<=[^\W\d_\"])\s(?=[1-9][0-9]?x?\s[^\W\d_]{3})")
#: The size of one of them: 2 piston rings 47mm 1 pin 12mm.
_SIZE_OF_ITEM = re.compile(r"\s[0-9][0-9./]*\s?(?:mm|in|\")(?=\s|$)", re.IGNORECASE)


#: `tank rubber, cup washer, bolt. x2`: so many of each of them.
_ALL_TIMES = re.compile(r"(?<=[^\W\d_])[.;]\s?x\s?([1-9][0-9]?)$")
_LISTED = re.compile(r",\s|\s\+\s|\s/\s")
#: A clause that is nothing but a number, and what names several things.
_NUMBER_CLAUSE = re.compile(r",\s([1-9][0-9]?)(?=\s?(?:,|$|\splus\b))")
_THREAD_OR_COUNT = re.compile(r"\bM[0-9]|^[0-9]|\b[x×]\s?[0-9]|\b(?:qty|off|pcs)\b", re.IGNORECASE)
_NAMED_SIZES = re.compile(r"shim|thick|\blong\b|spring\b|ball|circlip [0-9]", re.IGNORECASE)
#: What is never so small that a lone figure below it could be its size in mm.
_NEVER_SMALL = frozenset(("hose clip", "circlip"))
_LEAST_MM = 3


def _number_alone(text: str) -> str:
    """`gudgeon pin circlips, 2, new` as two of them, where nothing else is counted or sized."""
    found = _NUMBER_CLAUSE.findall(text)
    if len(found) != 1 or _THREAD_OR_COUNT.search(text) or _NAMED_SIZES.search(text):
        return text
    first = text.partition(",")[0]
    words = [fold(word) for word in first.split()]
    kinds = [said[1].kind for at in range(len(words)) if (said := look_up(tuple(words[at:])))]
    named = any(kinds)
    several = found[0] == "1" or text[0] == "#" or is_plural(first) or first.lower().endswith("s")
    several = several or (int(found[0]) < _LEAST_MM and not _NEVER_SMALL.isdisjoint(kinds))
    return replaced(_NUMBER_CLAUSE, r", \1 off", text) if named and several else text


def _each_counted(text: str) -> str:
    """`4 bullets 2 spades` with commas, where its words name things and tell no sort of them."""
    if not _COUNTED.fullmatch(_SIZE_OF_ITEM.sub("", text)):
        return text
    words = [fold(word) for word in text.split() if word.isalpha()]
    roles = ("sort", "condition", "place", "opens", "comparative", "each", "per", "others")
    if any(word in bench_words(role) for word in words for role in roles):
        return text
    plain = _SIZE_OF_ITEM.sub("", text)
    items = [item.split() for item in _NEXT_COUNT.sub(",", plain).split(",")]
    if not all(item[0].rstrip("x") == "1" or item[-1].lower().endswith("s") for item in items):
        return text  # 2 rondelle rame 14 tappo
    return _NEXT_COUNT.sub(", ", text)


def _pair_of_size(found: re.Match[str]) -> str:
    return f"{'x'.join(re.split('[x ]', found[1]))} 2 off"


_N = r"([1-9][0-9]?|one|two|three|four|five|six|seven|eight|nine|ten)"
_SORT = (
    r"(long(?:er|est)?|short(?:er|est)?|thick|thin|big|small|large|little|wide|narrow|front|rear"
    r"|left|right|top|bottom|lang|kurz|lange|kurze|longues?|courte?s?|largos?|cortos?|lunghe|corte)"
)
_JOINED = r"\s?(?:,|&|\+|\band\b|\bund\b|\bet\b|\by\b|\be\b)?\s?"
#: `spacers 2 one long one short`, `screws 9 - seven long two short`: the sum and its parts.
_SUM_OF_SORTS = re.compile(
    rf"(?<=[^\W\d_]s)\s{_N}\s?[,:-]?\s{_N}\s{_SORT}{_JOINED}{_N}\s{_SORT}$", re.IGNORECASE
)
#: `spring 2 long 1 short`: two sorts behind what they are.
_TWO_SORTS = re.compile(
    rf"(?<=[^\W\d_])\s([1-9][0-9]?)\s{_SORT}{_JOINED}([1-9][0-9]?)\s{_SORT}$", re.IGNORECASE
)
#: `10 screws M6 2 longest at front`: some of them are of another sort.
_SOME_LONGER = re.compile(
    r"(?<=[\w])\s(?=[1-9]\s(?:longest|longer|shortest|shorter|länger|kürzer)\b)", re.IGNORECASE
)
#: `2 do. x 20` and `ditto x 20 x 2`.
_DO = re.compile(
    r"(?:,?\s(?:and|&|\+)\s|,\s)?(?<=[\s,])([1-9][0-9]?)\sdo\.?\s(?=x\s?[0-9]|[0-9])", re.I
)
_DITTO_LENGTH = re.compile(r"\b(ditto|dito)\sx\s?([0-9]{1,3})\sx\s?([1-9][0-9]?)(?![\w.,/])", re.I)
#: `six M6, four at 25 and two at 40`.
_LENGTHS_AT = re.compile(
    rf"^{_N}\s(M[0-9]{{1,2}})(\s[^\W\d_]+)?\s?[,:;-]?\s{_N}\sat\s([0-9]{{2,3}}){_JOINED}"
    rf"{_N}\sat\s([0-9]{{2,3}})$",
    re.IGNORECASE,
)
#: `1/2 dozen`, `2 x 5 thou`, `6 no. 12 x 1 1/4`.
_HALF_DOZEN = re.compile(r"(?<![\w.,/])(?:1/2|½)\s?doz(?:en)?\b\.?\s?", re.IGNORECASE)
_COUNTED_THOU = re.compile(r"(?<![\w.,/])([1-9][0-9]?)\s?x\s?([0-9]{1,3}\s?thou\b)", re.IGNORECASE)
_NUMBERED_GAUGE = re.compile(
    r"(?<![\w.,/])([1-9][0-9]?)\sno\.?\s([1-9][0-9]?)\s(?=x\s[0-9]+(?:[\s-]?[0-9]*/[0-9]+|\")"
    r"|(?:wood|self|drive|csk|brass|steel|screws?)\b)",
    re.IGNORECASE,
)
#: `twenty-four`, `2 dozen`, `one and a half dozen`.
_TENS = re.compile(
    r"\b(twenty|thirty|forty)[ -](one|two|three|four|five|six|seven|eight|nine)\b", re.IGNORECASE
)
_TENS_OF = MappingProxyType({"twenty": 20, "thirty": 30, "forty": 40})
_DOZENS_OF = re.compile(
    rf"(?<![\w.,/-])(?!1\s|one\s){_N}\sdoz(?:en)?\b\.?\s?(?:of\s)?", re.IGNORECASE
)
#: `M? x 25`: a metric thread of no known size, and its length.
_UNKNOWN_METRIC = re.compile(r"\bM\s?\?\s?x\s?([0-9]{1,3})(?:\s?mm)?(?![\w.,/])", re.IGNORECASE)
#: `6 nuts 5 on 1 in tin`: where the parts of a sum are.
_AT = r"(?:on|in|at|with|from|under|here|there|fitted|left)\b"
_PLACES_OF_SUM = re.compile(
    rf"^{_N}\s([^\W\d_]{{3,}}(?:\s\S+)?)\s({_N}\s{_AT}[^,;]*?\s{_N}\s{_AT}[^,;]*)$", re.IGNORECASE
)
#: `screws into the side`, where it is what is done.
_SCREWS_INTO = re.compile(r"\b((?:screws|bolts|clips|pins)\s(?:in|on)\s?to)\b", re.IGNORECASE)
#: `torque 45` without a unit; `10+`, or more; `x 3 section` of an O-ring; the F of M10F.
_TORQUE_ALONE = re.compile(
    r"\b(torqued?(?:\sto)?\s[0-9]{1,3})(?![\w.,/]|\s?(?:N|lb|ft|in\b|kg|m\b|-))", re.IGNORECASE
)
_OR_MORE = re.compile(r"^([1-9][0-9]?)\+(?=\s[^\W\d_])")
_SECTION = re.compile(r"\b(x\s?[0-9][0-9.]*(?:\s?mm)?)\s(?:cross[ -]?)?section\b", re.IGNORECASE)
_FINE_LETTER = re.compile(r"\b(M(?:8|10|12|14|16|18|20))F\b(?!\w)")
#: `BS 210`, a British standard or the size of an O-ring by one.
_BRITISH = re.compile(r"\b(BS\s?[0-9]{3,4})\b(?![/.-])", re.IGNORECASE)
#: `4 pairs nut and bolt`, `o-rings 2: 12x2 and 15x2`, `4-5 M6 washers`, `x 6 qty`.
_PAIRS_OF = re.compile(
    rf"(?<![\w.,/]){_N}\spairs?\s(?:of\s)?(nut|bolt|screw|stud)s?\s(?:and|&|\+)\s"
    r"(nut|bolt|washer)s?\b",
    re.IGNORECASE,
)
_HEADED_COUNT = re.compile(r"^([^:,;]*[^\W\d_]s)\s([1-9][0-9]?):\s(?=[0-9])", re.IGNORECASE)
_RANGE_COUNT = re.compile(
    r"^([1-9][0-9]?)\s?-\s?([1-9][0-9]?)\s(?=M[0-9]|[^\W\d_]{3})", re.IGNORECASE
)
_COUNT_QTY = re.compile(r"\bx?\s?([1-9][0-9]?)\s(?:qty|quantity)\b\.?(?!\s?[0-9])", re.IGNORECASE)
#: `dozen and a half`.
_DOZEN_AND_HALF = re.compile(
    r"\b(?:a\s|1\s)?doz(?:en)?\s(?:and|&)\s(?:a\s)?half\b"
    r"|\b(?:one|1)\s(?:and|&)\sa\shalf\sdoz(?:en)?\b",
    re.IGNORECASE,
)


def _sum_of_sorts(found: re.Match[str]) -> str:
    whole, first, second = (count_said(found[at]) for at in (1, 2, 4))
    if whole != first + second:
        return found[0]
    return f": {first}x {found[3]}, {second}x {found[5]}"


def _range_count(found: re.Match[str]) -> str:
    few = 0 < int(found[2]) - int(found[1]) <= _WIDEST_RANGE
    return f"{found[1]} “or {found[2]}” " if few else found[0]


#: 4-5 of them; a 4-40 is a thread.
_WIDEST_RANGE = 3


def _tens(found: re.Match[str]) -> str:
    return str(_TENS_OF[found[1].lower()] + count_said(found[2]))


def _places_of_sum(found: re.Match[str]) -> str:
    whole, first, second = (count_said(found[at]) for at in (1, 4, 5))
    if whole != first + second:
        return found[0]
    return f"{found[1]} {found[2]} “{found[3]}”"


def _lengths_at(found: re.Match[str]) -> str:
    whole, first, second = (count_said(found[at]) for at in (1, 4, 6))
    if whole != first + second:
        return found[0]
    return f"{found[2]}{found[3] or ''}: {first} x {found[5]}, {second} x {found[7]}"


def plain_counts(text: str) -> str:
    """The text with pairs, dozens and dittos in figures; what only looks like a count in quotes."""
    text = _LENGTHS_AT.sub(_lengths_at, replaced(_DO, r", \1 ditto ", text))
    text = replaced(_DITTO_LENGTH, r"\3 \1 x \2", text)
    text = replaced(_PAIRS_OF, r"\1 \2s & \3s", replaced(_COUNT_QTY, r"x\1", text))
    text = replaced(_SECTION, r"\1 thick", replaced(_FINE_LETTER, r"\1 fine", text))
    if "“" not in text:
        text = replaced(_OR_MORE, r"\1 “+”", replaced(_TORQUE_ALONE, r"“\1”", text))
        text = _RANGE_COUNT.sub(_range_count, replaced(_BRITISH, r"“\1”", text))
    text = replaced(_HEADED_COUNT, r"\2 \1: ", text)
    text = _TENS.sub(_tens, text)
    if "doz" in text.lower():
        text = _DOZEN_AND_HALF.sub("18 off", _HALF_DOZEN.sub("6 off ", text))
        text = _DOZENS_OF.sub(lambda found: f"{12 * count_said(found[1])} off ", text)
    text = replaced(_UNKNOWN_METRIC, r"“M?” \1 mm long", _PLACES_OF_SUM.sub(_places_of_sum, text))
    text = replaced(_NUMBERED_GAUGE, r"\1 off #\2 ", replaced(_COUNTED_THOU, r"\1 off \2", text))
    text = _SUM_OF_SORTS.sub(_sum_of_sorts, text)
    text = replaced(_TWO_SORTS, r": \1x \2, \3x \4", text)
    if len(_SOME_LONGER.findall(text)) == 1 and "," not in text:
        text = _SOME_LONGER.sub(", ", text)
    plain = _PAIR_OF_SIZE.sub(_pair_of_size, replaced(_COUNT_DASH, r"\1 x ", text))
    plain = _DOZEN.sub(lambda found: f"{_DOZENS[(found[1] or '1').lower()]} off", plain)
    if "“" not in plain:
        for pattern in (_ORDINAL, _HALF_A, _OVERALL, _SCREWED_IN, _SCREWS_INTO, _SEAT_FORM):
            plain = pattern.sub(lambda found: f"“{found[1]}” ", plain)
        plain = replaced(_EITHER_LENGTH, r"\1x\2/\4", plain)
        plain = replaced(_EITHER_COUNT, r"\1 “\2 \3” ", plain)
    if _LISTED.search(plain):
        plain = replaced(_ALL_TIMES, r", \1 each", plain)
    return replaced(_DITTO_TIMES, r"\1 ", plain)


def counted_things(text: str) -> str:
    """The text with commas between things of which each has its count."""
    plain = _number_alone(text) if "," in text else text
    return replaced(_COUNTED_PLURAL, r" x\1, ", _each_counted(plain))
