"""What a note says of all its pieces together, taken out before the fasteners are parsed.

The total (`6 in all`), so many on each hand (`l=4 r=4`), the lengths one by one (`70, 70, 45`), the
odd one out (`all M6x12 but one, that's 16`) and a number that should be another one. None of these
is a fastener, and each holds for the lines of the note and not for the one it stands in.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

import msgspec

from tagbench.trade.fasteners.counts.here import HEAD_COUNT, HERE, OnlyHere, with_missing_behind
from tagbench.trade.fasteners.patterns import FRACTION, SIZE, SMALL_COUNT, patterns, replaced
from tagbench.trade.fasteners.sides import OPPOSITES
from tagbench.trade.fasteners.vocabulary import (
    bench_words,
    count_said,
    fold,
)


class TotalCount(msgspec.Struct, frozen=True):
    """How many there are in all."""

    many: int
    typed: str


class Hands(msgspec.Struct, frozen=True):
    """So many on one hand and so many on the other: `l=4 r=4`."""

    first: int
    second: int
    typed: str


class Lengths(msgspec.Struct, frozen=True):
    """The length of each piece, as typed: 70, 70, 45."""

    each: tuple[str, ...]
    unit: str
    typed: str
    last_place: str = ""
    """Where those of the last length were, when it was said right behind it."""


class Thicknesses(msgspec.Struct, frozen=True):
    """How thick each shim is, as typed: 0.1, 0.1, 0.25."""

    each: tuple[str, ...]
    unit: str
    typed: str


class OddOne(msgspec.Struct, frozen=True):
    """One or two of those that were counted are of another size."""

    many: int
    size: str
    """A length, or thread and length."""
    place: str
    typed: str


class OnBoth(msgspec.Struct, frozen=True):
    """So many on each of two sides that are named: `upper and lower, 1 each`."""

    many: int
    """On each of them."""
    sides: str
    typed: str


class ShouldBe(msgspec.Struct, frozen=True):
    """So many, where another number belongs: `7 should be 8`."""

    many: int
    """0 where the number stands elsewhere: `6 nuts (should be 8)`."""
    other: int
    typed: str


WholeCount = TotalCount | Hands | Lengths | Thicknesses | OddOne | OnlyHere | OnBoth | ShouldBe

_LENGTH = rf"(?:{FRACTION}(?:\"|\s?in\b)?|[0-9](?:\"|\s?in\b)|[0-9]{{2,3}}(?:\s?mm\b)?)"

_IN_ALL = (
    r"(?:in all|in total|totals?|tot\b|all told|all together|altogether|insgesamt|gesamt|zusammen"
    r"|im ganzen|au total|en tout|en total|in tutto|in totale|totale)(?![\w-])"
)
_MEASURED = r"(?!\s?(?:mm|cm|in\b|\"|length|long|thick|height|width|travel|depth|weight))"
_TOTALS = (
    re.compile(
        rf"(?<![\w.,/x-])(?<!x\s)(?:(?:that's|makes|so)\s|=\s?)?(?P<n>{SMALL_COUNT})\s"
        rf"(?:of them\s)?{_IN_ALL}{_MEASURED}",
        re.IGNORECASE,
    ),
    re.compile(
        rf"(?<=,\s)(?:(?:les|die|los|las|le|gli|i)\s)?(?P<n>{SMALL_COUNT})\s(?:all\s)?(?:the\s)?(?:same|alike|identical|pareil(?:le)?s|identiques"
        r"|iguales|uguali|gleiche?)(?=\s?(?:$|[,;()]|-\s))",
        re.IGNORECASE,
    ),
    re.compile(
        rf"(?<=[,.]\s)(?:son|hay|(?:es\s)?sind|(?:ce\sne\s)?sono|il\sy\sen\sa)\s(?P<n>{SMALL_COUNT})"
        r"(?=\s?(?:$|[,;()]|-\s))",
        re.IGNORECASE,
    ),
    re.compile(
        rf"(?<=,\s)there(?:'s|s|\sis|\sare)\s(?P<n>{SMALL_COUNT})(?:\sof\sthem)?(?=\s?(?:$|[,;()]|-\s))",
        re.IGNORECASE,
    ),
    re.compile(
        r"(?<![\w-])(?:total|tot\.?|insgesamt|gesamt|totale)\s?(?:of|is|=|:|von|de|di)?\s?"
        rf"(?P<n>{SMALL_COUNT})(?=\s?(?:$|[,;:)]|\.(?![0-9])))",
        re.IGNORECASE,
    ),
)
#: The count stands with what it counts: 5 nuts in total, total 6 bolts.
_COUNTED_IN_ALL = re.compile(
    rf"(?<![\w.,/x-])(?P<n>{SMALL_COUNT})\s(?P<what>[^\W\d_]{{3,}}(?:\s[^\W\d_]{{2,}}){{0,4}}?)\s"
    r"(?:total(?=,|$)|in all|in total|all told|altogether|insgesamt|au total|en tout|en total"
    r"|in tutto)"
    r"(?=\s|$|[,;.)])",
    re.IGNORECASE,
)
#: The same before a list: 8 bolts in all: 6 M6x20, 2 M6x40.
_LISTED_IN_ALL = re.compile(
    rf"(?<![\w.,/x-])(?P<n>{SMALL_COUNT})\s(?P<what>[^\W\d_]{{3,}}(?:\s[^\W\d_]{{3,}})?)\s"
    r"(?:in all|in total|all told|altogether|insgesamt|au total|en tout|en total|in tutto)(?=\s?:)",
    re.IGNORECASE,
)
_TOTAL_OF = re.compile(
    r"(?:^|(?<=:\s)|(?<=-\s))(?:in\s)?(?:total|totale|gesamt|insgesamt)\s"
    rf"(?P<n>{SMALL_COUNT})(?=\s[^\W\d_]{{3}}){_MEASURED}",
    re.IGNORECASE,
)
_HAND = r"l|r|lh|rh|lhs|rhs|left|right|n/?s|o/?s|near\s?side|off\s?side|links|rechts|gauche|droite"
#: Sides with their counts behind them: balls top 18, bottom 19.
_END = (
    r"front|rear|back|top|bottom|bott|btm|bttm|upper|lower|inner|outer|vorne?|hinten|oben|unten"
    r"|avant|arri[eè]re|arriba|abajo|sopra|sotto|davanti|dietro|delante|detr[aá]s"
)
_OF_HANDS = (("l", "r"), ("lh", "rh"), ("lhs", "rhs"), ("left", "right"), ("ns", "os"),
             ("nearside", "offside"), ("links", "rechts"), ("gauche", "droite"),
             ("front", "rear"), ("front", "back"), ("top", "bottom"), ("top", "btm"),
             ("top", "bttm"), ("top", "bott"), ("upper", "lower"), ("inner", "outer"),
             ("vorn", "hinten"), ("vorne", "hinten"), ("oben", "unten"),
             ("avant", "arriere"), ("arriba", "abajo"), ("sopra", "sotto"),
             ("davanti", "dietro"), ("delante", "detras"))  # fmt: skip
_JOINED = r"\s?(?:,|&|\+|;|/|\band\b|\bund\b|\bet\b)?\s?"
_ON = r"(?:(?:on|at)\s)?(?:the\s)?"
_HANDS = (
    re.compile(
        rf"(?<![\w/])(?P<a>{_HAND})\s?[=:]?\s?x?(?P<n>[1-9][0-9]?){_JOINED}"
        rf"(?P<b>{_HAND})\s?[=:]?\s?x?(?P<m>[1-9][0-9]?)(?![\w/\"]|[.,][0-9]|\s?mm)",
        re.IGNORECASE,
    ),
    re.compile(
        rf"(?<![\w.,/x])(?P<n>[1-9][0-9]?)\s?x?\s?{_ON}(?P<a>{_HAND})(?:\sside)?{_JOINED}"
        rf"(?P<m>[1-9][0-9]?)\s?x?\s?{_ON}(?P<b>{_HAND})(?:\sside)?(?![\w/])"
        r"(?!\s(?:thread|thd|hand|gewinde))",
        re.IGNORECASE,
    ),
    re.compile(
        rf"(?<![\w/])(?P<a>{_END})\s?[=:]?\s?x?(?P<n>[1-9][0-9]?){_JOINED}"
        rf"(?P<b>{_END})\s?[=:]?\s?x?(?P<m>[1-9][0-9]?)(?![\w/\"]|[.,][0-9]|\s?mm|\s?x\s?[0-9])",
        re.IGNORECASE,
    ),
)
#: Of these there may be more on a side than of any other thing.
_MANY = re.compile(
    r"ball|kugel|bille|bola|sfer|roll|spoke|speiche|rayon|raggi|radio|rivet|niet|remache|nail", re.I
)
_FEW = 12
_SIDE = r"(?:[^\W\d_]{1,9}|[no]/s)"
_ON_BOTH = (
    re.compile(
        rf"(?<!\w)(?P<a>{_SIDE})(?:\s(?:and|&|\+|und|et|y|e)\s|\s?/\s?)(?P<b>{_SIDE}),?\s"
        rf"(?P<n>{SMALL_COUNT})\s(?:off\s)?each(?=\s?(?:$|[,;.(]|-\s))",
        re.IGNORECASE,
    ),
)
_EACH = rf"(?:{FRACTION}(?:\")?|[1-9][0-9]{{0,2}}(?:\s?mm|\")?)"
_LENGTHS = (
    re.compile(rf"\((?P<list>{_EACH}(?:(?:\s?[,/+;]\s?|\s){_EACH})+)\)", re.IGNORECASE),
    re.compile(
        r"(?<![\w-])(?:lengths?|longueurs?|längen|laengen|lunghezze|longitudes)\b\s?[:=]?\s?"
        rf"(?P<list>{_EACH}(?:(?:\s?[,/+]\s?|\s|\s?and\s){_EACH})+)(?![\w./])",
        re.IGNORECASE,
    ),
)
_LONG_WORD = r"long|lang|longues?|largos?|lung[ho]i?"
_LOT = (
    r"(?:[1-9][0-9]?|one|two|three|four|five|six|seven|eight)"
    rf"(?:\s?(?:at|@)\s?{_EACH}|\s?x\s?[1-9][0-9]{{1,2}}(?:\s?mm|(?=\s(?:{_LONG_WORD}))))"
    rf"(?:\s(?:{_LONG_WORD}))?"
)
#: So many of each length of those that were counted: 6 screws M6, five at 30 and one at 45.
_LOTS = re.compile(
    rf"(?:[,:]\s|\s-\s|\()(?P<list>{_LOT}(?:\s?(?:,|and|und|et|y|e|&|\+)\s?{_LOT})+)"
    r"(?P<place>\s(?:at|by|on|near|under|behind|in)\s[^,;()]+)?(?![\w./])",
    re.IGNORECASE,
)
_IS = r"(?:that's|that\sis|those\sare|these\sare|which\s(?:is|are)|it's|is|are|they're|at|=)"
_ALL_BUT = re.compile(
    rf"(?<!\w)all\s(?:the\ssame\s)?(?P<size>{SIZE})(?P<kind>(?:\s[^\W\d_]{{3,}})??)\s(?:but|except|bar|save)\s"
    rf"(?:for\s)?(?:the\s)?(?P<where>(?:(?!one\b)[^\W\d_]+\s){{0,2}})(?P<k>ones?|two|three|[1-3])"
    rf"(?:\s?[,:;(-]+)?\s?(?:{_IS}\s)?\(?"
    rf"(?P<other>{SIZE}|{_LENGTH})(?:\slong)?\)?(?![\w/]|[.,][0-9])",
    re.IGNORECASE,
)
#: All of a size but what sat at one place: alle 5 M6x25, außer unten hinten: M6x55.
_ALL_EXCEPT = re.compile(
    r"(?<!\w)(?:all|alle|tous|toutes|todos|todas|tutti|tutte)\s(?:the\s|die\s|les\s|los\s|las\s|i\s|le\s)?"
    rf"(?P<n>{SMALL_COUNT})\s(?P<kind>(?:[^\W\d_]{{3,}}\s){{1,3}})?(?P<size>{SIZE}),?\s"
    r"(?:except|but|bar|außer|ausser|sauf|excepto|salvo|menos|tranne|eccetto|meno)\s(?:for\s)?"
    rf"(?:the\sone\s|one\s)?(?P<where>(?:[^\W\d_]+\s?){{1,4}}?)[,:]?\s(?:{_IS}\s)?"
    rf"(?P<other>{SIZE}|{_LENGTH})(?![\w/]|[.,][0-9])",
    re.IGNORECASE,
)
#: The same without a count: all M6x20 except bottom rear which is M6x28.
_ALL_BUT_THERE = re.compile(
    rf"(?<!\w)all\s(?:the\ssame\s)?(?P<size>{SIZE})(?P<kind>(?:\s[^\W\d_]{{3,}})??),?\s"
    rf"(?:but|except|bar|save)\s(?:for\s)?(?:the\s)?(?P<where>(?:(?!one\b|two\b|ones\b)[^\W\d_]+\s?){{1,3}}?)"
    rf"[,:]?\s(?:{_IS}\s)(?P<other>{SIZE})(?![\w/]|[.,][0-9])",
    re.IGNORECASE,
)
_ODD_ONE = re.compile(
    r"(?:(?<=[,;.])\s|\s-\s)(?:the\s)?(?P<place>(?:[^\W\d_]+\s){0,3})"
    rf"(?P<k>one)(?:'s|\sis)\s(?:only\s)?(?P<other>{SIZE}|{_LENGTH})(?:\slong)?"
    r"(?=\s?(?:$|[,;(]|-\s|\.(?![0-9])))",
    re.IGNORECASE,
)
_K = r"(?P<k>one|two|three|[1-3]|une?|deux|einer?|zwei|uno|una|dos|due)"
_OF = r"\s(?:of\s(?:them|these|those|which|'em)|davon|d'elles|d'eux|de ellos|de ellas|di loro)"
_REST = r"(?P<rest>(?:\s[^\W\d_][^\s,;:()]*)*)"
#: Some of them are of another size, said with a verb or with "of them".
_ODD_SOME = (
    re.compile(
        rf"(?:(?<=[,;.(])\s?|\s-\s|\s(?=\S+{_OF}\s))(?:and\s|but\s)?{_K}"
        rf"(?:{_OF}(?:\s(?:is|are|ist|sind|est|es|è|at))?|'s|\s(?:is|are|ist|sind|est|è))\s"
        rf"(?:only\s|a\s|an\s)?(?P<other>{SIZE}|{_LENGTH})(?:\slong)?{_REST}(?=\s?(?:$|[,;)]))",
        re.IGNORECASE,
    ),
    re.compile(
        r"(?:,\s|\s-\s|\s)(?:(?:alle|tutt[ei]|tou(?:te)?s|tod[oa]s|all)\s)?(?:the\s)?"
        r"(?:same|uguali|pareil(?:le)?s|identiques|iguales|gleich)\s"
        r"(?:but|except|bar|meno|tranne|sauf|menos|salvo|nur|bis\sauf|außer)\s"
        rf"{_K}(?P<rest>(?:\sa|\sà|\sde|\sda|\sdi|\smit|\sof)?)\s(?P<other>{SIZE}|{_LENGTH})"
        r"(?:\slong|\slang)?(?P<tail>(?:\s[^\W\d_]+){0,3})(?=\s?(?:$|[,;(]|-\s))",
        re.IGNORECASE,
    ),
    re.compile(
        rf"(?:,\s|\s-\s|\s){_K}{_OF}(?P<rest>(?:\s[^\W\d_]+){{1,3}}?),?\s\(?x?\s?"
        rf"(?P<other>{SIZE}|{_LENGTH})\)?(?:\slong)?(?P<tail>(?:\s[^\W\d_]+){{0,3}})(?=\s?(?:$|[,;]))",
        re.IGNORECASE,
    ),
    re.compile(
        r"(?:,\s|\s-\s|\s)(?:davon|dont|di cui|de los cuales|of which)\s"
        rf"{_K}{_REST}\s?\(?(?P<other>{SIZE}|{_LENGTH})\)?(?:\slong)?(?=\s?(?:$|[,;]))",
        re.IGNORECASE,
    ),
)
#: Where two of them sat: two bushes in the pedal shaft, one at each end.
_ONE_EACH = re.compile(
    r",\s(?P<where>one\s(?:(?:at|on|in|for|to)\s)?(?:each|either)\s(?:end|side|hand|leg))"
    r"(?=\s?(?:$|[,;.()]|-\s))",
    re.IGNORECASE,
)
_SHOULD_BE = re.compile(
    r"(?:(?<![\w.,/x])(?<!x\s)(?P<n>[1-9][0-9]?)\s)?(?<!\w)(?:should|shd|ought\sto|must|sollten?|müssten?)\s"
    r"(?:be\s|have\sbeen\s)?(?P<x>x\s?)?(?P<m>[1-9][0-9]?)(?:\ssein)?(?![\w./])\??",
    re.IGNORECASE,
)
_THICK = r"(?:[0-2]?[.,][0-9]{1,3}(?:\s?mm|\")?)"
#: How thick shims are, one by one: 3 shims: 0.1, 0.1, 0.25.
_THICKNESSES = (
    re.compile(
        r"(?:shims?|thrust\swashers?|cales?|spessori|suplementos|passscheiben|ausgleichsscheiben)"
        r"(?:\s(?:under|from|behind|at|on|in|of|for)\s[^,;:0-9]+)?(?:\s?:|\s-|\s?\(|,)?\s"
        rf"(?P<list>{_THICK}(?:(?:\s?(?:[,+/&]|and\b|und\b|et\b|e\b|y\b)\s?|\s){_THICK})+)\)?"
        r"(?![\w.,]*[0-9])",
        re.IGNORECASE,
    ),
)
#: No screw is shorter, in mm.
_SHORTEST = 5


def take_apart(note: str) -> tuple[str, tuple[WholeCount, ...]]:
    """The note without what it says of all its pieces, and what that was; one of each at most.

    What is all but one of a size stands in the note as `rest M6x12, 1 x M6x16`.
    """
    said: list[WholeCount] = []
    if "“" in note or "note:" in note:
        return note, ()
    note = with_missing_behind(note)
    for ways, meaning in _KINDS:
        for pattern in ways:
            found = pattern.search(note)
            told = None
            if found is not None and not _is_part_of_place(note, found):
                told = meaning(found)
            if found is not None and told is not None:
                said.append(told)
                only = "list" if isinstance(told, Thicknesses) else 0
                note = _without(note, found, only)
                break
    note = replaced(_COUNTED_IN_ALL, r"\g<n> \g<what>", replaced(_TOTAL_OF, r"\g<n>", note))
    note = replaced(_LISTED_IN_ALL, r"\g<n> \g<what>", note)
    if (found := _ALL_EXCEPT.search(note)) is not None:
        left = count_said(found["n"]) - 1
        other = _with_thread(found["size"], found["other"])
        lots = f"{left} {found['kind'] or ''}{found['size']}, 1 x {other} {found['where']}"
        note = f"{note[: found.start()]}{lots.rstrip()}{note[found.end() :]}"
    found = _ONE_EACH.search(note)
    heads = HEAD_COUNT.findall(note[: found.start()]) if found is not None else []
    if (
        found is not None
        and [*map(count_said, heads)] == [2]
        and not _is_part_of_place(note, found)
    ):
        note = f"{note[: found.start()]} ({found['where']}){note[found.end() :]}"
    note = replaced(
        _ALL_BUT_THERE, r"rest \g<size>\g<kind>, 1 x \g<other> \g<where>", note, count=1
    )
    if (found := _ALL_BUT.search(note)) is not None:
        note = f"{note[: found.start()]}rest {_in_lots(found)}{note[found.end() :]}"
    return note, tuple(said)


def says_both(said: Iterable[WholeCount]) -> bool:
    """Whether it says of two things how both of them are."""
    return any(isinstance(one, OnlyHere) and one.several for one in said)


def _is_part_of_place(note: str, found: re.Match[str]) -> bool:
    """Whether it stands in brackets with other words: (drum, 4 left 4 right) is a place."""
    before, behind = note[: found.start()].rstrip(), note[found.end() :].lstrip()
    inside = before.count("(") > before.count(")")
    return inside and not (before.endswith("(") and behind.startswith(")"))


def says_total(piece: str) -> bool:
    """Whether a piece of a note says nothing but how many there are in all."""
    return any(pattern.fullmatch(piece.strip(" .")) for pattern in _TOTALS)


def _in_lots(found: re.Match[str]) -> str:
    """`M6x12, 1 x M6x16` for all but one of them."""
    size, other = found["size"], _with_thread(found["size"], found["other"])
    where = f" {found['where'].strip()}".rstrip()
    return f"{size}{found['kind']}, {count_said(found['k'].removesuffix('s'), 1)} x {other}{where}"


def _with_thread(size: str, other: str) -> str:
    """M6 x 22 for the 22 of `M6x16 bar one, that's 22`."""
    if not re.fullmatch(_LENGTH, other, re.IGNORECASE):
        return other
    thread = re.sub(r"\s?x\s?[^x]*$", "", size)
    return f"{thread} x {other}"


def _total(found: re.Match[str]) -> TotalCount:
    return TotalCount(count_said(found["n"]), found[0])


#: A thing that is named in the singular has a size behind it, and no such count: spacer 22 LH.
_ONE_THING = re.compile(r"\b(?:spacer|bush|shim|collar|sleeve|tube)\s$", re.IGNORECASE)


def _hands(found: re.Match[str]) -> Hands | None:
    if _ONE_THING.search(found.string[: found.start()]):
        return None
    sides = tuple(fold(found[name]).replace("/", "").replace(" ", "") for name in ("a", "b"))
    across = any(set(sides) == set(pair) for pair in _OF_HANDS)
    most = max(int(found["n"]), int(found["m"]))
    if most > _FEW and not _MANY.search(found.string[: found.start()]):
        return None  # seals top 20, bottom 25
    return Hands(int(found["n"]), int(found["m"]), found[0]) if across else None


def _lengths(found: re.Match[str]) -> Lengths | None:
    each = tuple(re.findall(rf"{FRACTION}|[0-9]+", found["list"]))
    if patterns()["date"].fullmatch(found["list"]) or re.fullmatch(FRACTION, found["list"]):
        return None
    if re.fullmatch(r"[0-9]+(?:/[0-9]+){2,}", found["list"]):
        each = tuple(found["list"].split("/"))
    elif "/" in found["list"] or '"' in found["list"]:
        return Lengths(each, "in", found[0])
    if min(map(int, each)) < _SHORTEST:
        return None
    return Lengths(each, "mm" if "mm" in found["list"] else "", found[0])


def _lots(found: re.Match[str]) -> Lengths | None:
    """30 five times and 45 once, for five at 30 and one at 45."""
    lots = re.findall(rf"(\w+)\s?(?:at|@|x)\s?({FRACTION}|[0-9]+)", found["list"], re.IGNORECASE)
    inches = "/" in found["list"] or '"' in found["list"]
    heads = HEAD_COUNT.findall(found.string[: found.start()])
    if sum(count_said(many) for many, _ in lots) not in map(count_said, heads):
        return None
    each = tuple(length for many, length in lots for _ in range(count_said(many)))
    if not inches and min(map(int, each)) < _SHORTEST:
        return None
    unit = "in" if inches else "mm" if "mm" in found["list"] else ""
    return Lengths(each, unit, found[0], (found["place"] or "").strip())


def _odd_one(found: re.Match[str]) -> OddOne | None:
    place = found["place"].strip()
    roles = ("sort", "place", "opens", "pair of sides", "noise")
    if not all(any(fold(word) in bench_words(role) for role in roles) for word in place.split()):
        return None
    return OddOne(1, found["other"], place, found[0].strip(" ,;-"))


def _odd_some(found: re.Match[str]) -> OddOne | None:
    tail = found.groupdict().get("tail") or ""
    rest = f"{found['rest']}{tail}".strip()
    return OddOne(count_said(found["k"], 1), found["other"], rest, found[0].strip(" ,;-"))


def _on_both(found: re.Match[str]) -> OnBoth | None:
    sides = (fold(found["a"]), fold(found["b"]))
    across = any(set(sides) == set(pair) for pair in (*_OF_HANDS, *OPPOSITES))
    both = f"{found['a']}, {found['b']}"
    return OnBoth(count_said(found["n"]), both, found[0]) if across else None


#: A length, which is what may be another one.
_LENGTH_BEFORE = re.compile(r"x\s?[0-9./ -]+(?:mm|\")?\s?$", re.IGNORECASE)


def _thicknesses(found: re.Match[str]) -> Thicknesses:
    each = tuple(
        one.replace(",", ".") for one in re.findall(r"[0-2]?[.,][0-9]{1,3}", found["list"])
    )
    inches = '"' in found["list"] or all(re.fullmatch(r"0?\.0[0-9]{2}", one) for one in each)
    return Thicknesses(each, "in" if inches else "mm", found["list"])


def _should_be(found: re.Match[str]) -> ShouldBe | None:
    if not (found["n"] or found["x"]) and _LENGTH_BEFORE.search(found.string[: found.start()]):
        return None  # M6x20 should be 25
    return ShouldBe(int(found["n"] or 0), int(found["m"]), found[0])


_KINDS: tuple[
    tuple[tuple[re.Pattern[str], ...], Callable[[re.Match[str]], WholeCount | None]], ...
] = (
    (_TOTALS, _total),
    (_HANDS, _hands),
    (_ON_BOTH, _on_both),
    (_LENGTHS, _lengths),
    (_THICKNESSES, _thicknesses),
    ((_LOTS,), _lots),
    ((_ODD_ONE,), _odd_one),
    (_ODD_SOME, _odd_some),
    *HERE,
    ((_SHOULD_BE,), _should_be),
)


def _without(note: str, found: re.Match[str], part: str | int = 0) -> str:
    """The note without that phrase, or a part of it, its brackets and the comma that parted it."""
    before, behind = note[: found.start(part)].rstrip(), note[found.end(part) :].lstrip()
    if before.endswith("(") and behind.startswith(")"):
        before, behind = before[:-1].rstrip(), behind[1:].lstrip()
    if not before:
        return behind.lstrip(" ,;:.-")
    behind = behind.removeprefix(".").lstrip()
    if not behind:
        return before.rstrip(" .,;:-")
    if behind[0] in ",;:":
        before = before.rstrip(" ,;:")
        return f"{before}{behind}"
    return f"{before} {behind}"
