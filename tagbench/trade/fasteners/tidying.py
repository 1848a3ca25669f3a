"""The text of a note made plain before it is cut into tokens: signs, fractions, sets, labels."""

from __future__ import annotations

import re
from functools import lru_cache
from types import MappingProxyType

from tagbench.trade.fasteners.counts.in_short import counts_in_short
from tagbench.trade.fasteners.counts.moved import with_counts_of_each, with_moved_counts
from tagbench.trade.fasteners.counts.spoken import counted_things, plain_counts
from tagbench.trade.fasteners.counts.spoken_abroad import counts_abroad
from tagbench.trade.fasteners.length_lists import plain_lengths
from tagbench.trade.fasteners.patterns import patterns, replaced
from tagbench.trade.fasteners.piece_lists import plain_pieces
from tagbench.trade.fasteners.plain_signs import FIT_OF_PIN, PINS, plain_signs
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import tokens
from tagbench.trade.fasteners.vocabulary import (
    bench_words,
    fold,
    fold_words,
    look_up,
)

_VULGAR = MappingProxyType(
    {
        "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
        "⅓": "1/3", "⅔": "2/3",
    }
)  # fmt: skip

#: `2 pairs of M6x20` are four.
_PAIRS = re.compile(
    r"\b([0-9]{1,2}|two|three|four|five|six)\s(?:pairs|prs?|pair)\b(?:\sof\b)?", re.IGNORECASE
)
#: `pas de 125`: a pitch without its point.
_PITCH = re.compile(
    r"\b(pas|pitch|paso|passo|steigung)(\sde|\sda|\sdi)?\s(?:(1)(00|25|50|75|5)|(50|70|75|80))\b",
    re.I,
)


def _with_point(found: re.Match[str]) -> str:
    whole, part = (found[3], found[4]) if found[3] else ("0", found[5])
    return f"{found[1]}{found[2] or ''} {whole}.{part}"


#: `with flats & springs`, which are washers both.
_FLAT_AND_SPRING = re.compile(
    r"\b(?:flats?|plains?)\s?(?:&|\+|and)\s?springs?\b(?!\s(?:washers?|each))", re.IGNORECASE
)
#: The x2 of `bolts x2 3/8 BSW x 2`, behind which the size stands.
_COUNT_BEFORE_INCH = re.compile(
    r"(?<=[^\W\d_]\s)x\s?([1-9][0-9]?)\s(?=[0-9]+/[0-9]+\s?(?:-[0-9]{2}\b|BS[FWC]|UN[FC]|W\b|whit|CEI))",
    re.IGNORECASE,
)
#: The 2 of `light screws - 2 - 4BA`.
_COUNT_BETWEEN_DASHES = re.compile(
    r"(?<=[^\W\d_]{3}s)\s-\s([1-9][0-9]?)\s-\s(?=[0-9#]{1,2}\s?BA\b|[0-9]+/[0-9]|M[0-9]|#)",
    re.IGNORECASE,
)
#: Fractions of an inch in words, before what says that they are: quarter UNC, half inch.
_INCHES_IN_WORDS = {
    "quarter": "1/4", "half": "1/2", "three eighths": "3/8", "three eighth": "3/8",
    "five sixteenths": "5/16", "five sixteenth": "5/16", "seven sixteenths": "7/16",
    "three sixteenths": "3/16", "three quarter": "3/4", "three quarters": "3/4",
    "five eighths": "5/8", "seven eighths": "7/8",
}  # fmt: skip
_IN_WORDS = re.compile(
    rf"(?<![\w-])({'|'.join(sorted(_INCHES_IN_WORDS, key=len, reverse=True)).replace(' ', '[ -]')})"
    r"(?=\s(?:inch\b|BS[FWC]\b|UN[FC]\b|whit|W\b|CEI\b))",
    re.IGNORECASE,
)
#: The flat of `flat + spring washer`, which is a washer too.
_FLAT_PLUS = re.compile(
    r"\b(flat|plain)\s?\+\s?((?:spring|lock|star|shakeproof)\swashers?\b)", re.IGNORECASE
)
#: The flats of `nuts & flats`.
_FLATS = re.compile(r"(?<=[&+,]\s)((?:[1-9][0-9]?\s)?)flats\b(?=\s?(?:$|[,;&+]))", re.IGNORECASE)
#: `4 x (M6x20 + washer)`: the brackets hold all that there are four of.
_BRACKETED_LINE = re.compile(
    r"^([0-9]{1,3}\s?x?)\s?\((?=M\s?[0-9]|[0-9#])([^()]*)\)$", re.IGNORECASE
)
#: The x of `M6x20x4pcs`, behind which stands how many.
_TIGHT_PIECES = re.compile(
    r"(?<=[0-9])x(?=[0-9]{1,3}\s?(?:pcs?|pieces?|off(?=\s?(?:$|[,;:()+&]|-\s))|st(?:k|ü?ck)?|pz"
    r"|ea)\b)",
    re.IGNORECASE,
)
#: A count before a size, behind which nothing counts again: 6 x M6x20 off.
_COUNT_BEFORE = re.compile(r"(?<!\S)[1-9][0-9]?\s?(?:x|off|no\.?)?\s?M[0-9.x]*$", re.IGNORECASE)


def _tight_pieces(found: re.Match[str]) -> str:
    return found[0] if _COUNT_BEFORE.search(found.string[: found.start()]) else " "


#: `4 de 20`, `2 zu 35`, likewise.
_OF_LENGTH = re.compile(
    r"(?<![\w.,/x])([0-9]{1,2})\s(?:de|di|da|à|zu|von)\s([0-9]{2,3}(?:\s?mm)?)(?![\w.,:]*\w)",
    re.IGNORECASE,
)
#: `2 @ 35`, which are two of that length.
_AT_LENGTH = re.compile(
    r"(?<![\w.,/x])([0-9]{1,2})\s?@\s?([0-9]{2,3}(?:\s?mm)?)(?!\s?(?:N|lb|ft|kg|in|o)|[\w.:])",
    re.IGNORECASE,
)
_RING_WORDS = re.compile(
    r"shim|seal|bush|ring|washer|bearing|spacer|lager|joint|roulement|ret[ée]n|paraolio|spi\b", re.I
)

#: Sizes with slashes, `seal 20/35/7`, which look like a date.
_SLASHED = re.compile(r"(?<![\w/])([0-9.]+)/([0-9.]+)/([0-9.]+)(?![\w/])")


def _slashed(found: re.Match[str], text: str) -> str:
    date = patterns()["date"].fullmatch(found[0])
    sizes = _RING_WORDS.search(text) and float(found[1]) < float(found[2])
    if (date and not sizes) or not _RING_WORDS.search(text):
        return found[0]
    return f"{found[1]}x{found[2]}x{found[3]}"


#: `nut/washer/spring washer`, `clevis pin/split pin`, `bolt/2 washers`.
_NAME = r"[^\W\d_]+(?:-[^\W\d_]+)*(?: [^\W\d_]+(?:-[^\W\d_]+)*){0,2}"
_SLASHED_KINDS = re.compile(rf"(?P<first>{_NAME})/(?=(?:[0-9]+ )?(?P<second>{_NAME}))")


def _parted_kinds(found: re.Match[str]) -> str:
    first, second = found["first"].split(), found["second"].split()
    ends = any(_is_kind(first[at:]) for at in range(len(first)))
    begins = any(_is_kind(second[:end]) for end in range(1, len(second) + 1))
    return f"{found['first']} / " if ends and begins else found[0]


def _is_kind(words: list[str]) -> bool:
    """Whether the words together name one kind of fastener."""
    folded = tuple(fold_words(" ".join(words)))
    said = look_up(folded)
    return said is not None and said[0] == len(folded) and bool(said[1].kind)


#: The w of `incl 1 w earth tag`, which is no Whitworth thread.
_SMALL_WITH = re.compile(r"(?<=[\s,][0-9])\sw\s(?=[a-z]{3})")
#: `1/2 - 3/4`, the range of a hose clip.
_CLIP_RANGE = re.compile(r"(?<=[0-9/])\s-\s(?=[0-9]+/[0-9]+)")
_CLIPS = re.compile(r"\b(?:clips?|clamps?|schellen?|colliers?)\b", re.IGNORECASE)
#: The metres of `8m x 30 bolts`, which nobody has: M8.
_METRES = re.compile(r"(?<![\w.,/])([0-9]{1,2})[mM](?=\s?x\s?[0-9])")
#: `two and a half inch`, and the length of `three inch long`.
_INCHES = re.compile(
    r"\b(one|two|three|four|five|six|[1-6])"
    r"(?:\s(?:and|&)\s(?:a\s)?(half|quarter|three[- ]quarters?)\sinch(?:es)?\b"
    r"|\sinch(?:es)?\s(?=long\b))",
    re.IGNORECASE,
)
_OF_AN_INCH = MappingProxyType({"half": "1/2", "quarter": "1/4"})


def _in_inches(found: re.Match[str]) -> str:
    whole = bench_words("count").get(fold(found[1])) or int(found[1])
    if not found[2]:
        return f"{whole} in "
    return f"{whole}-{_OF_AN_INCH.get(found[2].lower(), '3/4')} in"


#: The w of `5/16-18 w 2 nuts`, which is no Whitworth thread.
_WITH = re.compile(
    r"(?<=[0-9]-[0-9]{2})\sw(?:/\s?(?=[A-Z])|(?:/\s?|\s)(?=[0-9]|[a-z]))"
    r"|(?:(?<=[0-9])|(?<=inch)|(?<=\smm))\sw(?:/\s?|\s)(?=(?:[1-9]\s|two\s|a\s)?(?:split|spring|lock|cotter|nylo|washer|plain"
    r"|flat|jam|star|circlip|tab\b|stiff|shake|wing|castle|pin\b|pins\b|clip))"
)
#: `3 nutsM8 + 3washers`: a thread typed without its blank.
_NO_BLANK = re.compile(r"(?<=[^\W\d_A-Z]{3})(?=M[0-9])")
#: `1. bolt M6x20 2. bolt M6x25`, which are numbered and not counted.
_NUMBERED = re.compile(r"(?:(?<=\s)|^)([0-9])[.)]\s")
#: `a: M6x20, b: M6x45`, which are labelled.
_LETTERED = re.compile(r"(?:(?<=[\s,])|^)([a-h]):\s", re.IGNORECASE)
#: `2 x (bolt + washer + nut) M6`: so many of each.
_SETS = re.compile(r"^([0-9]{1,2})\s?x?\s?\(([^()+]+(?:\+[^()+]+)+)\)\s?([^()]*)$")
#: `nuts 4 bolts 4 washers 8`, each counted behind its name.
_COUNTED_BEHIND = re.compile(
    r"((?:M[0-9]{1,2}\s)?[^\W\d_]{3,}(?:\s[^\W\d_]{3,})?)\s([0-9]{1,2})(?:\s?/\s?|\s|$)"
)


def _labels(text: str) -> str:
    """The text with what only numbers or names its items in quotes, which counts nothing."""
    for pattern, first, second in ((_NUMBERED, "1", "2"), (_LETTERED, "a", "b")):
        labels = [found[1].lower() for found in pattern.finditer(text)]
        if labels[:2] == [first, second]:
            sign = "." if first == "1" else ":"
            text = pattern.sub(rf", “\1{sign}” ", text).lstrip(", ")
    return text


def _all_counted_behind(text: str) -> str:
    """`nuts 4 bolts 4` as `nuts x4, bolts x4`; sizes such as `circlip 25` stay as they are."""
    items = list(_COUNTED_BEHIND.finditer(text))
    if len(items) < 2 or "".join(item[0] for item in items) != text:
        return text
    kinds = [look_up((fold(item[1].split()[-1]),)) for item in items]
    named = [kind[1].kind for kind in kinds if kind and kind[1].kind]
    sized = [item[1].startswith("M") and item[1][1:2].isdigit() for item in items]
    several = [fold(item[1]).endswith(("s", "n")) for item in items]
    if len(set(named)) < len(items) or not (all(sized) or all(several)):
        return text
    return ", ".join(f"{item[1]} x{item[2]}" for item in items)


#: `nuts bolts washers` without an and.
_PLURALS = re.compile(
    r"\b(nuts|bolts|screws|studs|washers|spacers)\s(?=(nuts|bolts|screws|studs|washers|spacers)\b)",
    re.IGNORECASE,
)


def _sets(found: re.Match[str]) -> str:
    parts = found[2].split("+")
    if not all(part.strip() and not any(map(str.isdigit, part)) for part in parts):
        return found[0]
    return ", ".join(f"{found[1]} {part.strip()} {found[3]}".strip() for part in parts)


_QTY_WORD = re.compile(r"\b(qty|quantity)[.:]?\s([a-z]{3,6})\b", re.IGNORECASE)
#: The A) of `A) 3 long B) 2 short`.
_LABEL = re.compile(r"\b([A-Za-z])\)\s")


def _qty(found: re.Match[str]) -> str:
    """`qty two` in figures."""
    many = bench_words("count").get(fold(found[2]))
    return f"{found[1]} {many}" if many else found[0]


#: The ~ of ~20 and the c. of c. 20.
_HEDGED = re.compile(r"(~|\b(?:ca?|circa|approx|env)\.)\s?(?=[0-9])", re.IGNORECASE)
_ISH_SIZE = re.compile(r"(?<!\w)(M?[0-9]+)-?ish\s?x\s?([0-9]+)(?![\w.,/])", re.IGNORECASE)
_ISH = re.compile(r"(?<=[0-9])-?ish\b", re.IGNORECASE)
#: The comma of `4xM6x25,2xM6x30`, which is no decimal one.
_TIGHT_LIST = re.compile(
    r"(?<=[0-9]),(?=[0-9]{1,3}\s?(?:x\s?(?:M\s?[0-9]|#)|M[0-9]|-?off\b|pcs?\b))"
    r"|(?<=x[0-9]{2}),(?=[0-46-9][0-9]?\s+[A-Za-z])",
    re.IGNORECASE,
)


#: `half inch`, `three eighths`, `5 sixteenths`.
_SPOKEN = re.compile(
    r"\b(?:(half|quarter)[ -](?=inch\b|in\b(?!\s[a-z]))"
    r"|(one|three|five|seven|[1357])[ -](quarter|eighth|sixteenth)s?\b)",
    re.IGNORECASE,
)
_PARTS = MappingProxyType({"half": 2, "quarter": 4, "eighth": 8, "sixteenth": 16})


def _in_figures(text: str) -> str:
    """The text with fractions that were spelled out in figures."""

    def figure(found: re.Match[str]) -> str:
        if found[1]:
            return f"1/{_PARTS[found[1].lower()]} "
        many = bench_words("count").get(fold(found[2])) or found[2]
        return f"{many}/{_PARTS[found[3].lower()]}"

    return _SPOKEN.sub(figure, text)


#: `x 12,16,20`, which are three lengths.
_LENGTHS = re.compile(r"\b([0-9]{2}),([0-9]{2}),([0-9]{2})\b")
#: The Italian 6MA, which is M6.
_METRIC_MA = re.compile(r"(?<![\w.,/])([0-9]{1,2})(?:\s?MA|ma)\b")


def _pairs(found: re.Match[str]) -> str:
    many = bench_words("count").get(fold(found[1])) or int(found[1])
    return f"{2 * many} off"


#: Several counts with their lengths: `2 @ 1-1/2, 4 @ 2`.
_AT = re.compile(
    r"(?<![\w.,/])([0-9]{1,2})\s?@\s?(?=[0-9.]+(?:[-\s]?[0-9]+/[0-9]+)?"
    r"(?:\"|\s?(?:in|mm)\b)?(?:\s?[,;&+)]|$|\s[a-z]))",
    re.IGNORECASE,
)
_AT_THREAD = re.compile(r"(?<=[0-9])\s?@\s?(?=M\s?[0-9]|#|[0-9]+/[0-9])")
#: The 4 of `4 @ 8x30` and `4@1"` counts pieces of that size.
_AT_SIZE = re.compile(
    r"(?<![\w.,/])([0-9]{1,2})\s?@\s?(?=[0-9.]+(?:[0-9/-]*\"|\s?in\b|x[0-9])|[0-9]+/[0-9]+)", re.I
)
#: `5 bolts M6 (3 x 25, 2 x 40)`: the brackets say of what the five are.
_PART = r"[0-9]{1,2}\s?(?:x|@|off\b)\s?[0-9M#][^(),;]*"
_DASHED = re.compile(rf"(?<=[\w)\"])\s?-\s(?={_PART}(?:[,;&+]\s?{_PART})+)", re.I)
_BREAKDOWN = re.compile(
    rf"^([^()]*[^\W\d_][^()]*?)\s?\(({_PART}(?:\s?[,;&+]\s?{_PART})+)\)(\sM[0-9.,x]+)?$", re.I
)


_SORT = (
    r"[1-9][0-9]?\s(?:long|short|thick|thin|big|small|large|wide|narrow|plain|top|bottom)(?:er)?"
    r"(?:\sones)?"
)
#: The same of two sorts: 6 allens (M6, 3 long 3 short).
_SORTS_IN_BRACKETS = re.compile(
    r"(?<![\w.,/x])(?P<n>[1-9][0-9]?)(?P<what>x?\s[^,;:()]{3,40}?)\s?\((?:(?P<thread>M[0-9.]+),?\s)?"
    rf"(?P<list>{_SORT}(?:\s?(?:,|&|\+|\band\b)?\s?{_SORT})+)\)",
    re.IGNORECASE,
)


def _of_sorts(found: re.Match[str]) -> str:
    """`6 allens M6: 3 long, 3 short`, where the sorts are as many together."""
    sorts = re.findall(_SORT, found["list"], re.IGNORECASE)
    long = re.search(r"[0-9]x?\s?x\s?[0-9]", found["what"])  # M6x25 is how long all of them are
    if long or sum(int(sort.split()[0]) for sort in sorts) != int(found["n"]):
        return found[0]
    thread = f" {found['thread']}" if found["thread"] else ""
    return f"{found['n']}{found['what']}{thread}: {', '.join(sorts)}"


#: What stands before so many of each length.
_NAME_OF_LOTS = re.compile(r"^(?P<name>[^0-9,:;]*[^\W\d_])\s(?=[0-9]{1,2}\soff\s)")
#: A thread, or a heading: then a length stands behind a cross.
_THREAD = re.compile(r"\bM\s?[0-9]|[0-9]/[0-9]|[0-9]-[0-9]{2}|BA\b|:", re.IGNORECASE)
_QUOTED_O = re.compile(r"['\"]O['\"](?=\s?ring)", re.IGNORECASE)
_NOUGHT_BA = re.compile(r"\bOBA\b", re.IGNORECASE)
#: Letters with points, B.S.F.; in quotes they stay as they were typed.
_POINTED = re.compile(r"“[^”]*”|\b(?:[A-Za-z]\.){2,}(?![0-9])")


def _without_points(found: re.Match[str]) -> str:
    return found[0] if found[0][0] == "“" else found[0].replace(".", "")


def _counts_at(text: str) -> str:
    """The text with what @ says in plain signs: `2 @ 35` is two of that length."""
    if len(_AT.findall(text)) > 1 and not (_THREAD.search(text) or _RING_WORDS.search(text)):
        text = replaced(_AT_LENGTH, r"\1 off \2 long", text)  # clutch cover 5 @ 30mm, 3 @ 45mm
        text = replaced(_NAME_OF_LOTS, r"\g<name>: ", text)
    if len(_AT.findall(text)) > 1:
        inches = re.search(r"@\s?[0-9][0-9./ -]*in\b", text, re.IGNORECASE)
        text = replaced(_AT, r"\1 off " if inches or _RING_WORDS.search(text) else r"\1 x ", text)
    text = _DASHED.sub(": ", text)
    text = replaced(_BREAKDOWN, r"\1\3: \2", replaced(_AT_SIZE, r"\1 off ", text))
    return _AT_THREAD.sub(" x ", replaced(_AT_LENGTH, r"\1 x \2", text))


#: The three sizes of a seal or bearing, as its face has them: seal 25-42-7.
_DASHED_RING = re.compile(
    r"(?P<named>(?:seals?|rings?|bearings?|brgs?|ret[eé]n|paraoli?o?|cuscinetto|lager|roulement|spi|simmerrings?|wellendichtringe?)"
    r"\W{1,2}(?:(?:old|new|viejo|nuevo|vecchio|nuovo|alt|neu|vieux|neuf)\s)?)(?P<inside>[0-9]{1,3})[-/](?P<outside>[0-9]{1,3})[-/](?P<thick>[0-9]{1,2})(?![\w/.-])",
    re.IGNORECASE,
)


def _ring_sizes(found: re.Match[str]) -> str:
    inside, outside, thick = (int(found[name]) for name in ("inside", "outside", "thick"))
    if not inside < outside > thick:
        return found[0]
    return f"{found['named']}{inside}x{outside}x{thick}"


_STACKED = r"(?:nut|washer|bolt|screw|stud|spacer|bush|circlip|spring)"
_WHICH = r"(?:(?:flat|plain|spring|rubber|fibre|lock|star|thick|thin|big|small|castle)\s)?"
#: Things in the order in which they sit: nut washer washer rubber washer nut.
_STACK = re.compile(rf"\b{_WHICH}{_STACKED}(?:\s{_WHICH}{_STACKED}){{2,}}\b", re.IGNORECASE)
_IN_STACK = re.compile(
    rf"(?<!flat\s)(?<!plain\s)\b((?!spring\swasher){_STACKED})\s(?=\w)", re.IGNORECASE
)

#: The hand of a thread, also in brackets and shouted: (LEFT HAND THREAD!!)
_HAND_IN_BRACKETS = re.compile(
    r"\((?P<said>(?:LH|L\.H\.|L/H|left[ -]?hand(?:ed)?)\s?(?:thread(?:ed)?|thd)|Linksgewinde)!*\)",
    re.IGNORECASE,
)
#: A thread, then so many of each sort: `M6: 3 long 1 short` are screws.
_THREAD_OF_SORTS = re.compile(
    r"^(?P<thread>M[0-9]{1,2}(?:\.[0-9])?|[0-9]{1,2}BA):?\s(?=[1-9]\s(?:long|short|lange?|kurze?"
    r"|longues?|courtes?|larg[ao]s?|cort[aoei]s?|lungh?[aoei])(?!\w),?\s(?:(?:and|&|\+)\s)?[1-9]\s)",
    re.IGNORECASE,
)
_BY_OR_HELD = re.compile(r"\sby\s|held", re.IGNORECASE)
#: `pulley held by 2 grub screws`, `cable retained by small circlip`.
_HELD_BY = re.compile(
    r"\s(?:held|retained|secured|fixed|fastened|located|kept)(?:\s(?:on|in|down|together))?\s(?:by|with)\s"
    r"(?=(?:a\s|an\s|one\s|two\s|[1-9]\s)?(?:[^\W\d_]+\s){0,2}"
    r"(?:screw|bolt|nut|circlip|clip|pin|grub|key|rivet|stud|split)s?\b)",
    re.IGNORECASE,
)
#: `1 dozen M5 nuts` are a dozen of them.
_ONE_DOZEN = re.compile(r"(?<![\w.,/-])(?:1|one)\s(?=(?:dozen|doz)\b)", re.IGNORECASE)
#: The 75 of `longest (75)` is a length: so many are not counted on a bag.
_LONG_IN_BRACKETS = re.compile(
    r"\b(?P<sort>longest|shortest|longer|shorter)\s\((?P<long>[2-9][0-9]|1[3-9]|[1-9][0-9]{2})(?:\s?mm)?\)",
    re.IGNORECASE,
)
#: The same as `all with washers`: lockwashers on all.
_ON_ALL = re.compile(
    r",\s(?P<what>(?!all\b|no\b)(?:[^\W\d_]+\s){0,2}[^\W\d_]*(?:washers|nuts|nylocs))\s(?:on|under|for)\s"
    r"(?:all|the\slot|every\sone)(?:\sof\sthem)?(?=\s?(?:$|[,;.(]))",
    re.IGNORECASE,
)
#: On all but one of them: that is said of all, and the one is a remark.
_ON_ALL_BUT = re.compile(
    r",\s(?P<what>(?:[^\W\d_]+\s){0,2}[^\W\d_]*(?:washers?|nuts?|nylocs?))\s(?:on|under)\sall\s(?:but|bar)\s"
    r"(?P<one>(?:the\s)?[^,;.]{3,30})",
    re.IGNORECASE,
)
#: The other one of two: `thick shim gearbox side, thin one points side`.
_ANOTHER = re.compile(
    r"(?P<joint>,\s|\sand\s|\s&\s)(?P<sort>[^\W\d_]+)(?P<more>\s[^\W\d_]+)?\sone\b(?!\sof\b)",
    re.IGNORECASE,
)
#: Two things one after the other: `nut bolt and 2 washers`.
_NUT_BOLT = re.compile(
    r"\b(?:nut\s(?=(?:bolt|screw)\b)|(?<!feed\s)(?<!lead\s)(?:bolt|screw)\s(?=nut\b))",
    re.IGNORECASE,
)
#: A part of an engine that begins with a con, which is a with in Italian and Spanish.
_CON_ROD = re.compile(r"\bcon\s(?=rods?\b)", re.IGNORECASE)


def _another(found: re.Match[str], note: str) -> str:
    """`, 1 thin shim` where one thing was named before it, and not counted."""
    before = tokens(note[: found.start()])
    kinds = [token for token in before if token.entry is not None and token.entry.kind]
    counted = any(token.count or token.kind == "count" for token in before)
    named = len(kinds) == 1 and not counted and not is_plural(kinds[0].text)
    told = any(fold(token.text) in bench_words("sort") for token in before)
    if not named or not told or fold(found["sort"]) not in bench_words("sort"):
        return found[0]
    return f"{found['joint']}1 {found['sort']}{found['more'] or ''} {kinds[0].text}"


#: A kind that goes by a letter nobody knows: J-nuts.
_LETTERED = re.compile(
    r"(?<![\w-])(?P<letter>[A-Z])-(?P<kind>(?:nut|bolt|clip|screw|pin|washer)s?)\b", re.IGNORECASE
)


def _lettered(found: re.Match[str]) -> str:
    """`J-nuts` are nuts, and the letter stays a word; `U-bolt` is one kind."""
    letter, kind = fold(found["letter"]), fold(found["kind"])
    known = look_up((f"{letter}-{kind}",)) or look_up((letter, kind))
    whole = known is not None and known[1].kind and (known[0] > 1 or "-" in found[0])
    return found[0] if whole else f"{found['letter']} {found['kind']}"


def _fitted(found: re.Match[str]) -> str:
    """`6x20 “m6”` for the `6m6x20` of a dowel pin."""
    return f"{found[1]}x{found[3]} “{found[2].strip()}”"


@lru_cache(maxsize=1024)
def tidy(text: str) -> str:
    """The text in plain signs, with 3/8 for one-sign fractions, and lists, sets and labels as the
    parser takes them."""
    clean = plain_signs(text)
    if not clean.isascii():
        for sign, plain in _VULGAR.items():
            clean = re.sub(rf"(?<=[0-9])\s?{sign}", f"-{plain}", clean).replace(sign, plain)
        clean = re.sub(r"(?<![“\w])([^“]*)”", r'\1"', clean) if "“" not in clean else clean
    clean = FIT_OF_PIN.sub(_fitted, clean) if PINS.search(clean) else clean
    clean = plain_counts(counts_in_short(counts_abroad(clean)))
    clean = replaced(
        _COUNT_BETWEEN_DASHES, r" \1 off ", replaced(_COUNT_BEFORE_INCH, r"\1 off ", clean)
    )
    clean = replaced(_FLAT_PLUS, r"\1 & \2", clean)
    clean = replaced(_FLATS, r"\1flat washers", clean)
    clean = _FLAT_AND_SPRING.sub("flat & spring washers", _PITCH.sub(_with_point, clean))
    clean = _DASHED_RING.sub(_ring_sizes, clean)
    clean = _INCHES.sub(_in_inches, clean)
    clean = _IN_WORDS.sub(lambda found: _INCHES_IN_WORDS[fold(found[1]).replace("-", " ")], clean)
    clean = replaced(_METRIC_MA, r"M\1", _in_figures(clean))
    clean = plain_pieces(plain_lengths(clean))
    clean = with_moved_counts(clean)
    if "@" in clean:
        clean = _counts_at(clean)
    elif "-" in clean or "(" in clean:
        clean = replaced(_BREAKDOWN, r"\1\3: \2", _DASHED.sub(": ", clean))
        clean = _SORTS_IN_BRACKETS.sub(_of_sorts, clean)
    clean = _ANOTHER.sub(lambda found: _another(found, clean), clean)
    clean = _STACK.sub(lambda found: replaced(_IN_STACK, r"\1, ", found[0]), clean)
    clean = with_counts_of_each(clean)
    clean = _NUT_BOLT.sub(lambda found: f"{found[0].strip()}, ", _CON_ROD.sub("con", clean))
    clean = _LETTERED.sub(_lettered, replaced(_OF_LENGTH, r"\1 x \2", clean))
    clean = _SLASHED_KINDS.sub(_parted_kinds, clean) if "/" in clean else clean
    clean = replaced(_THREAD_OF_SORTS, r"\g<thread> screws: ", clean)
    if "(" in clean:
        clean = replaced(_HAND_IN_BRACKETS, r"\g<said>", clean)
        clean = replaced(_LONG_IN_BRACKETS, r"\g<sort> \g<long> mm long", clean)
    clean = _ONE_DOZEN.sub("a ", clean) if "doz" in clean.lower() else clean
    clean = _HELD_BY.sub(", ", clean) if _BY_OR_HELD.search(clean) else clean
    clean = replaced(_ON_ALL, r", all with \g<what>", clean)
    clean = replaced(_ON_ALL_BUT, r", all with \g<what>, except \g<one>", clean)
    clean = replaced(_METRES, r"M\1", _SMALL_WITH.sub(" with ", clean))
    clean = counted_things(clean)
    clean = _CLIP_RANGE.sub("-", clean) if _CLIPS.search(clean) else clean
    clean = replaced(_PLURALS, r"\1 & ", _QTY_WORD.sub(_qty, clean))
    clean = _NO_BLANK.sub(" ", _WITH.sub(" with ", clean))
    if "“" not in clean:
        clean = _SETS.sub(_sets, _all_counted_behind(_labels(clean)))
    if "(" not in clean and "“" not in clean and ")" in clean:
        clean = _LABEL.sub(", “\\1)” ", clean).lstrip(", ")
    clean = replaced(_ISH_SIZE, r"\1 x \2 ish", clean)
    clean = _ISH.sub(" ish", replaced(_HEDGED, r"\1 ", clean))
    if "," in clean:
        clean = replaced(_LENGTHS, r"\1, \2, \3", _TIGHT_LIST.sub(", ", clean))
    clean = replaced(_BRACKETED_LINE, r"\1 \2", clean.strip())
    clean = _NOUGHT_BA.sub("0BA", _QUOTED_O.sub("O", clean))
    clean = _TIGHT_PIECES.sub(_tight_pieces, _PAIRS.sub(_pairs, clean))
    clean = _SLASHED.sub(lambda found: _slashed(found, clean), clean) if "/" in clean else clean
    clean = _POINTED.sub(_without_points, clean)
    return " ".join(clean.split())
