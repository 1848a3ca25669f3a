"""A typed fastener cut into tokens: numbers, threads, tools, phrases, unknown words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from functools import cache, lru_cache
from types import MappingProxyType

import msgspec

from tagbench.errors import BadInput
from tagbench.records import Torque
from tagbench.trade.fasteners.patterns import NUMBER, STUCK, UNIT, patterns
from tagbench.trade.fasteners.thread_words import ThreadFound, thread_at
from tagbench.trade.fasteners.vocabulary import (
    PhraseMeaning,
    bench_words,
    fold,
    look_up,
    words_with_figures,
)
from tagbench.trade.published import read_table
from tagbench.trade.quantities.typed import parse_number, parse_torque


class Number(msgspec.Struct, frozen=True):
    """A number as it was typed."""

    value: Fraction
    text: str
    unit: str
    """mm, in, or empty; cm and thou are turned into these."""

    @property
    def whole(self) -> int:
        """The number as a count; 0 when it cannot be one."""
        plain = self.text.isdecimal() and not self.unit
        return int(self.value) if plain else 0


class Token(msgspec.Struct, frozen=True):
    """One piece of the text with what it is; exactly one of the fields below `end` is set."""

    kind: str
    """count, numbers, gauge, thread, tool, grade, standard, bearing, tpi, torque, phrase, join,
    quoted, place, note, once, or word for what is not known."""
    text: str
    start: int
    end: int
    count: int = 0
    numbers: tuple[Number, ...] = ()
    cross: str = ""
    """The x before it: `tight` in M6x20, `spaced` in M6 x 20 and M6 x4; empty without one."""
    behind: str = ""
    """What the word behind a size says of it: long, thick, across or outside."""
    name: str = ""
    """Grade, standard, tool, bearing number, quoted words, place, note."""
    thread: ThreadFound | None = None
    torque: Torque | None = None
    entry: PhraseMeaning | None = None

    @property
    def many(self) -> int:
        """The 18 of `18 x 184mm`, which may be how many; 0 where a unit or nothing follows."""
        found = re.match(r"([0-9]{1,3})\s?x", self.text) if len(self.numbers) > 1 else None
        return int(found[1]) if found else 0


@cache
def standards() -> dict[str, dict[str, str]]:
    """`DIN 912` → its kind, head and drive."""
    return {row["standard"]: row for row in read_table("part_standards")}


@lru_cache(maxsize=1024)
def number_of(text: str, unit: str | None) -> Number:
    """A number with its unit; cm and thousandths of an inch turned into mm and in."""
    value, kind = (
        parse_number(text.replace(" ", "-") if "/" in text else text),
        (unit or "").lower(),
    )
    if kind == "cm":
        return Number(value * 10, text, "mm")
    if kind.startswith("tho") and value < 1:
        return Number(value, text, "in")  # .010 thou says its decimals already
    if kind.startswith("tho"):
        return Number(value / 1000, text, "in")
    return Number(value, text, "mm" if kind == "mm" else "in" if kind else "")


def tokens(text: str) -> list[Token]:
    """All tokens of a tidy text in order; together they hold everything but blanks."""
    return list(_cut(text))


@lru_cache(maxsize=64)
def _cut(text: str) -> tuple[Token, ...]:
    """A clause is looked at more than once: whether it is a remark, then what it says."""
    return tuple(_tokens(text))


def _tokens(text: str) -> Iterator[Token]:
    at = 0
    while at < len(text):
        if text[at] == " ":
            at += 1
            continue
        token = _token(text, at)
        yield token
        at = max(token.end, at + 1)


def _token(text: str, at: int) -> Token:
    sign = text[at]
    if sign in "([“":
        return _bracketed(text, at)
    try:
        found = (_with_figure(text, at) if _may_be_figure(text, at) else None) or _wordy(text, at)
    except BadInput:
        found = None
    return found or _odd(text, at)


def _odd(text: str, at: int) -> Token:
    found = patterns()["odd"].match(text, at)
    end = found.end() if found else at + 1
    return Token("word", text[at:end], at, end)


def _may_be_figure(text: str, at: int) -> bool:
    return _DIGIT.search(text, at, at + _FIGURE_WITHIN) is not None


_DIGIT = re.compile(r"\d")
#: A token with a figure has it within so many signs.
_FIGURE_WITHIN = 26


def _bracketed(text: str, at: int) -> Token:
    if text[at] == "“":
        end = text.find("”", at)
        end = len(text) if end < 0 else end + 1
        return Token("quoted", text[at:end], at, end, name=text[at:end].strip("“” "))
    opens, closes = ("(", ")") if text[at] == "(" else ("[", "]")
    depth, end = 0, at
    while end < len(text):
        depth += (text[end] == opens) - (text[end] == closes)
        end += 1
        if not depth:
            break
    inner = text[at + 1 : end - (depth == 0)].strip()
    return Token("place" if opens == "(" else "quoted", text[at:end], at, end, name=inner)


def _with_figure(text: str, at: int) -> Token | None:
    """A token that holds figures: the first reading that fits, most telling first."""
    return (
        _phrase_with_figure(text, at)
        or _aside(text, at)
        or _torque_at(text, at)
        or _named_figure(text, at)
        or _count_or_thread(text, at)
        or _plain_figure(text, at)
    )


def _aside(text: str, at: int) -> Token | None:
    """What has a figure and tells no fastener: page 41, no 4417-23, gap 0.4 mm, 12/3/67, A38."""
    if at and text[at - 1].isalnum():
        return None
    pattern = patterns()
    for name in _ASIDES[_begins_figure(text, at)]:
        found = pattern[name].match(text, at)
        if found and not (name == "mark" and patterns()["standard"].search(text, 0, at)):
            return Token("word", found[0], at, found.end())
    return None


def _begins_figure(text: str, at: int) -> bool:
    """Whether a figure begins there, so that what begins with a word need not be tried."""
    return text[at] in "0123456789.,"


#: What may begin with a figure, and what with a word or a sign.
_ASIDES = MappingProxyType(
    {
        True: ("date", "order", "share", "measure"),
        False: ("reference", "order", "share", "measure", "mark"),
    }
)


def _torque_at(text: str, at: int) -> Token | None:
    if not (text[at].isdigit() or text[at] in ".@tTØøcCsSdDpPaAmM"):
        return None
    found = patterns()["torque"].match(text, at)
    return _torque(found) if found else None


_NAMED = MappingProxyType(
    {
        True: ("hexkey", "whit_spanner", "across", "tpi"),
        False: (
            "qty", "setof", "hexkey_first", "whit_spanner_first", "across_first", "standard", "bit",
        ),
    }
)  # fmt: skip


def _named_figure(text: str, at: int) -> Token | None:
    """A figure with a word that says what it is."""
    pattern = patterns()
    for name in _NAMED[_begins_figure(text, at)]:
        found = pattern[name].match(text, at)
        if found and name.startswith("across") and _counts_heads(text, at, found.end()):
            continue
        if found and (token := _simple(name, found)):
            return token
    return None


def _counts_heads(text: str, at: int, end: int) -> bool:
    """The 6 of `6 hex head 1/4 BSW x 5/8` begins the note and counts what has the thread."""
    opens = not text[:at].strip(" ,;:(") or text[:at].rstrip()[-1:] in ",;:("
    bare = re.match(r"[1-9][0-9]?\s[^\W\d_]", text[at:]) is not None
    return opens and bare and end + 1 < len(text) and thread_at(text, end + 1) is not None


def _count_or_thread(text: str, at: int) -> Token | None:
    pattern = patterns()
    if text[at] in "xX" and (not at or text[at - 1] == " "):
        behind = pattern["count_x"].match(text, at)
        if behind and int(behind["count"]):
            number = int(behind["count"])
            return Token("count", behind[0], at, behind.end(), count=number, cross="spaced")
    figure = _begins_figure(text, at)
    if not figure and (tapping := pattern["tapping"].match(text, at)):
        name = tapping[1].replace(" ", "").replace(",", ".")
        return Token("gauge", tapping[0], at, tapping.end(), name=name)
    if thread := thread_at(text, at):
        return Token("thread", text[at : thread.end], at, thread.end, thread=thread)
    counted = _counted(text, at) if figure else None
    if counted and 0 < int(counted["count"]) < _TOO_MANY:
        return Token("count", counted[0], at, counted.end(), count=int(counted["count"]))
    return None


#: Nobody counts so many of anything; `6003 each end` is the number of a bearing.
_TOO_MANY = 2000


def _counted(text: str, at: int) -> re.Match[str] | None:
    """The 4 of `4 off`, `4x `, and of `4 x 10-32` where a thread follows."""
    pattern = patterns()
    tight = ("count", "count_tight", "count_metric", "count_slash")
    counted = next(filter(None, (pattern[name].match(text, at) for name in tight)), None)
    if counted:
        return counted
    before = pattern["count_before"].match(text, at)
    if before is None or pattern["chain_end"].match(text, before.end()):
        return None
    then = thread_at(text, before.end(), inside=True)
    return before if then and then.thread and not then.count else None


_GRADES = MappingProxyType({True: ("class",), False: ("class", "grade", "nutclass", "stainless")})
_GAUGES = MappingProxyType({True: ("gauge_zero", "gauge_g"), False: ("gauge",)})


def _plain_figure(text: str, at: int) -> Token | None:
    """A grade, a bearing, a gauge number or a size."""
    pattern = patterns()
    figure = _begins_figure(text, at)
    for name in _GRADES[figure]:
        if found := pattern[name].match(text, at):
            return Token("grade", found[0], at, found.end(), name=_grade(name, found[1]))
    if found := pattern["bearing"].match(text, at):
        return Token("bearing", found[0], at, found.end(), name=found[1])
    for name in _GAUGES[figure]:
        if found := pattern[name].match(text, at):
            return Token("gauge", found[0], at, found.end(), name=found["number"])
    long = None if figure else pattern["long"].match(text, at)
    if long and not (long[0].startswith("long ") and _SHORT_OF.search(text[:at])):
        number = number_of(long[1], long[2])
        return Token("numbers", long[0], at, long.end(), numbers=(number,), behind="long")
    found = pattern["numbers"].match(text, at)
    return _numbers(text, found) if found else None


def _phrase_with_figure(text: str, at: int) -> Token | None:
    """A phrase that begins with a figure: 12 point, 6kt Schraube, V2A."""
    first = patterns()["figure_word"].match(text, at)
    if first is None or fold(first[0]) not in words_with_figures():
        return None
    pieces = list(patterns()["figure_word"].finditer(text, at, at + 60))[:5]
    said = look_up(tuple(fold(piece[0]) for piece in pieces))
    if said is None:
        return None
    end = pieces[said[0] - 1].end()
    return Token("phrase", text[at:end], at, end, entry=said[1])


def _torque(found: re.Match[str]) -> Token | None:
    try:
        figures = parse_torque(found["figures"])
    except BadInput:
        return Token("word", found[0], found.start(), found.end())
    torque = Torque(
        low=float(figures.low),
        high=float(figures.high),
        unit=figures.unit,
        source=(found["source"] or "").strip(),
        estimate=bool(found["estimate"]),
        typed=found["figures"].strip(),
    )
    return Token("torque", found[0], found.start(), found.end(), torque=torque)


def _grade(name: str, said: str) -> str:
    if name == "grade":
        return f"grade {said.upper()}"
    return f"class {said}" if name == "nutclass" else said.upper()


def _simple(name: str, found: re.Match[str]) -> Token | None:
    start, end, text = found.start(), found.end(), found[0]
    if name in ("qty", "setof"):
        return (
            Token("count", text, start, end, count=int(found["count"]))
            if int(found["count"])
            else None
        )
    if name == "standard":
        label = re.sub(r"EN|[ -]", "", found[1].upper())
        family = "ISO" if "ISO" in label else "DIN"
        return Token("standard", text, start, end, name=f"{family} {int(found[2])}")
    if name == "tpi":
        return Token("tpi", text, start, end, name=found[1])
    if name == "bit":
        return Token(
            "tool", text, start, end, name=re.sub(r"\s", "", found[1]).upper().replace("TX", "T")
        )
    unit = found[2]
    if name.startswith("whit"):
        return Token("tool", text, start, end, name=f"spanner {found[1]} W")
    if (
        name == "across"
        and unit is None
        and "/" not in found[1]
        and float(found[1].replace(",", ".")) < (_LEAST_HEAD if _HEAD.search(text) else 3)
    ):
        return None
    if number_of(found[1], unit).value > _LARGEST_KEY:
        return None  # the 6202 of `bearing 6202 head side`
    label = shown_size(number_of(found[1], unit))
    if name.startswith("hexkey"):
        return Token("tool", text, start, end, name=f"hex key {label}")
    key = name == "across_first" and _KEY.match(text)
    return Token("tool", text, start, end, name=f"{KEY if key else 'spanner'} {label}")


#: No spanner or key of a garage is larger, in mm; what is larger is no tool.
_LARGEST_KEY = 100
#: No hexagon head is narrower, in mm; the 4 of `M7 nut 4 head` counts.
_LEAST_HEAD = 5
_HEAD = re.compile(r"\b(?:heads?|hd)$", re.IGNORECASE)
#: What is a hex key on a socket head and a spanner on a hexagon: clé, chiave, SW.
_KEY = re.compile(r"sw|schl|cl[ée]|llave|chiave|brugola|key", re.IGNORECASE)
KEY = "key"


def shown_size(size: Number) -> str:
    """`13 mm`, `7/16 in`; below one without a unit it is inches."""
    unit = size.unit or ("in" if "/" in size.text or size.value < 1 else "mm")
    return f"{size.text.replace(',', '.')} {unit}"


def tool_name(size: Number) -> str:
    """`spanner 13 mm` for a size across flats."""
    return f"spanner {shown_size(size)}"


#: Below it a figure before “long 110” is how thick a pin is, and from it on how long.
_LONG = 13
_LONG_BEHIND = re.compile(r"\s(?:1[3-9]|[2-9][0-9]|[1-9][0-9]{2})\b")
_SHORT_OF = re.compile(r"(?:1[3-9]|[2-9][0-9]|[1-9][0-9]{2})\s?(?:mm\s)?$")


_MORE = re.compile(rf"({NUMBER})(?:\s?({UNIT}))?", re.IGNORECASE)
#: What the first letter of a word behind a figure says of it; o/d as well as ø is across.
_SAID_BY = MappingProxyType(
    {"o": "outside", "l": "long", "u": "long", "t": "thick", "w": "thick", "s": "thick"}
)


def _numbers(text: str, found: re.Match[str]) -> Token:
    """A size or a chain of sizes; the same unit is understood for those without one."""
    pattern = patterns()
    numbers = [number_of(found["first"], found["unit"])]
    chain, end = found["more"], found.end()
    if _cross(text, found) == "tight" and chain.startswith(" ") and not found["unit"]:
        chain, end = "", found.end("first")  # the x 8 of M6x30 x 8 is no second size
    numbers += [number_of(one[1], one[2]) for one in _MORE.finditer(chain)]
    units = {number.unit for number in numbers if number.unit}
    if len(units) == 1:
        unit = units.pop()
        numbers = [Number(number.value, number.text, unit) for number in numbers]
    if len(numbers) == 1 and (span := _span(text, found)):
        return Token(
            "numbers",
            span[0],
            found.start(),
            span.end(),
            behind="span",
            numbers=(number_of(span[1], span[3]), number_of(span[2], span[3])),
        )
    word = (found["behind"] or "").lower() if end == found.end() else ""
    if word == "wire" and numbers[0].whole:
        word, end = "", found.end("first")  # 1 wire tag: no wire is given in whole numbers
    if (
        word[:2] in ("lo", "la", "lu")
        and numbers[0].value < _LONG
        and _LONG_BEHIND.match(text, end)
    ):
        word, end = "", found.end("unit" if found["unit"] else "first")  # axe 12 long 110
    behind = (
        "thick" if word.startswith("dick") else _SAID_BY.get(word[:1], "across" if word else "")
    )
    # A figure that runs on into letters or a slash is no size of its own.
    tail = text[end : end + 1]
    if tail and (tail.isalnum() or (tail in "/-" and text[end + 1 : end + 2].isalnum())):
        odd = pattern["odd"].match(text, found.start())
        letters = pattern["one_word"].match(text, end)
        known = letters and len(letters[0]) > 2 and look_up((fold(letters[0]),))
        if odd and odd.end() > end and not (known and not known[1].noise):
            return Token("word", odd[0], found.start(), odd.end())
    return Token(
        "numbers",
        text[found.start() : end],
        found.start(),
        end,
        numbers=tuple(numbers),
        cross=_cross(text, found),
        behind="across" if found["dia"] else behind,
    )


def _span(text: str, found: re.Match[str]) -> re.Match[str] | None:
    """A range such as 12-20, which 1-1/4 is not."""
    span = patterns()["span"].match(text, found.start("first"))
    return span if span and span.end() > found.end("unit" if found["unit"] else "first") else None


def _cross(text: str, found: re.Match[str]) -> str:
    if not found["x"]:
        return ""
    start = found.start()
    tight = start > 0 and text[start - 1] != " " and not found["x"].endswith(" ")
    return "tight" if tight else "spaced"


#: What may begin with a letter, but for a word that joins.
_WORDY = MappingProxyType(
    {
        "n": ("note",),
        "t": ("unknown_thread",),
        "s": ("unknown_thread", "once"),
        "r": ("once", "handed"),
        **dict.fromkeys("lbfp", ("handed",)),
    }
)


def _wordy(text: str, at: int) -> Token | None:
    pattern = patterns()
    first = text[at].lower()
    if first in "ie" and (idiom := pattern["in_two"].match(text, at)):
        return Token("word", idiom[0], at, idiom.end())
    for name in (*_WORDY.get(first, ()), "join"):
        found = pattern[name].match(text, at)
        if found is None:
            continue
        if name in ("note", "once", "handed") and at and text[at - 1].isalnum():
            continue
        end = found.end()
        kind = {"unknown_thread": "phrase"}.get(name, name)
        entry = PhraseMeaning(noise=True) if kind == "phrase" else None
        said = found[1] if name in ("note", "once") else found[0]
        return Token(kind, found[0], at, end, name=said, entry=entry)
    return _phrase(text, at)


def _phrase(text: str, at: int) -> Token | None:
    """The longest phrase of the bench that begins there, a number word, or one unknown word."""
    found = patterns()["words"].match(text, at)
    if found is None:
        return None
    pieces = list(patterns()["one_word"].finditer(text, at, found.end()))
    if len(pieces) > 1 and text[pieces[-1].end() : pieces[-1].end() + 1].isdigit():
        pieces.pop()  # the M of rondelles M8
    words = tuple(fold(piece[0]) for piece in pieces)
    said = look_up(words)
    if (said is None or said[0] < 2) and (number := _count_word(text, at, pieces, words)):
        return number
    if pieces[0][0] == "VA":
        said = look_up(("v2a",))  # va contro il cuscinetto: a verb, and no steel
    if said is None:
        end = pieces[0].end()
        if text[end : end + 1] not in ("", " ", ",", ";", "(", ")", "-", "/", ".", ":", "+", "&"):
            return _odd(text, at)
        return Token("word", text[at:end], at, end)
    end = pieces[said[0] - 1].end()
    end += text[end : end + 1] == "." and text[end + 1 : end + 2] in ("", " ", ",")
    return Token("phrase", text[at:end], at, end, entry=said[1])


#: What may stand before a number word: a pair, all four, half a dozen, un par.
_BEFORE_COUNT = frozenset(("a", "one", "all", "half", "ein", "un", "una", "une"))
_PAIR, _DOZEN = 2, 12
#: What may stand behind one: three off, vier Stück, due pezzi.
_COUNTING = frozenset(
    ("of", "off", "x", "de", "di", "stuck", "stueck", "stk", "pcs", "pieces", "piezas",
     "pezzi", "pz", "unidades", "uds", "no")
)  # fmt: skip
_STUCK = re.compile(STUCK, re.IGNORECASE)
#: The no. of `two no. 3 taper pins` numbers their size.
_NUMBER = re.compile(r"no\.?\s?[0-9]", re.IGNORECASE)


def _count_word(
    text: str, at: int, pieces: list[re.Match[str]], words: tuple[str, ...]
) -> Token | None:
    counts, first = bench_words("count"), 0
    while first < len(words) - 1 and words[first] in _BEFORE_COUNT and words[first + 1] in counts:
        if words[first] in counts and counts[words[first + 1]] not in (_PAIR, _DOZEN):
            break  # "uno corto" is one, "un par" is two
        if words[first] == "half" and counts[words[first + 1]] != _DOZEN:
            break  # LH crankcase half four bolts
        first += 1
        if first > 1:
            break
    if words[first] in ("half", "a") and words[first + 1 : first + 3] == ("a", "dozen"):
        first += 2
    if words[first] not in counts or (words[first] == "neuf" and not _opens_item(text, at)):
        return None
    count = counts[words[first]]
    count = count // 2 if "half" in words[:first] else count
    last = first
    if (
        last + 1 < len(words)
        and words[last + 1] in _COUNTING
        and not _STUCK.match(text, pieces[last + 1].start())
        and not _NUMBER.match(text, pieces[last + 1].start())
    ):
        last += 1
    end = pieces[last].end()
    return Token("count", text[at:end], at, end, count=count, name="word")


def _opens_item(text: str, at: int) -> bool:
    """The neuf of `neuf vis` is nine, that of `joint neuf` is new."""
    return not at or bool(re.search(r"(?:[,;:+&]|\bet|\bles)\s?$", text[:at]))


_COUNT_ALONE = re.compile(
    r"(?:qty[.:]?\s?)?(?:x\s?)?(?P<count>[0-9]{1,3})(?:\s?(?:x|-?off?|pcs?\.?|pieces?|st[üu]?c?k?|pz))?",
    re.IGNORECASE,
)


def count_alone(place: str) -> int:
    """How many a text in brackets says, `x4` or `4 off`, when that is all it says; else 0."""
    place = place.rstrip(".")
    found = _COUNT_ALONE.fullmatch(place)
    word = "" if fold(place) == "neuf" else fold(place)
    return int(found["count"]) if found else bench_words("count").get(word, 0)
