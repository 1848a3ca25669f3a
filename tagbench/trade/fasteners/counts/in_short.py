"""Counts in the short ways of a bench: `5 off. renew`, `screws 5 with nuts`, `3x4 = 12`."""

from __future__ import annotations

import re

from tagbench.trade.fasteners.counts.here import HEAD_COUNT
from tagbench.trade.fasteners.patterns import SMALL_COUNT, replaced
from tagbench.trade.fasteners.vocabulary import (
    THREADED_KINDS,
    bench_words,
    count_said,
    fold,
    look_up,
)

_MANY = r"[1-9][0-9]?"
#: The point behind a count ends no sentence: 5 off. renew.
_OFF_POINT = re.compile(rf"(?<![\w.,/])({_MANY}\s(?:off|pcs))\.\s(?=[a-z]{{3}})")
#: A product and what it comes to: 3x4 = 12.
_PRODUCT = re.compile(rf"(?<![\w.,/])(?P<a>{_MANY})\s?x\s?(?P<b>{_MANY})\s?=\s?(?P<sum>{_MANY})\b")
#: A plural with its count behind it, before what it has with it: screws 5 with locknuts.
_BEFORE_WITH = re.compile(rf"(?<=[^\W\d_]{{2}}s)\s({_MANY})\s(?=(?:with|w/|c/w)\s)", re.IGNORECASE)
#: One on the left, one on the right: kingpin bush L+R.
_LEFT_AND_RIGHT = re.compile(
    r"(?:(?<=[^\W\d_]{3}\s)|(?<=[^\W\d_]{3},\s))(L\s?[+&]\s?R)\b(?!\s?:)", re.IGNORECASE
)
#: The dash behind a size is none of its thread: balls 1/4 - 18 upper, 18 lower.
_BEHIND_SIZE = re.compile(
    rf"(?P<size>[0-9]/[0-9]{{1,2}}\"?)\s-\s(?={_MANY}\s(?:top|upper|lower|bott?(?:om)?|btm|left"
    r"|right|front|rear|off|of|counted|good|bad|ok|long|short)\b)",
    re.IGNORECASE,
)
#: The count behind a plural and a colon: feed dog screws: 2, one chewed.
_BEHIND_COLON = re.compile(rf"(?<=[^\W\d_]{{3}}s):\s({_MANY})(?=,\s[^\W\d_]{{3}}|$)", re.IGNORECASE)
#: The count of all behind their place and a colon: vis M4x12, repose-pieds: huit.
_BEHIND_PLACE = re.compile(
    rf"(?P<before>.+,\s[^\W\d_][^,;:()0-9]{{2,24}}):\s(?P<n>{SMALL_COUNT})$", re.IGNORECASE
)
#: So many in all, of which each place has its share: four total, two per jaw.
_TOTAL_AND_SHARE = re.compile(
    rf"\b((?:{_MANY}|two|three|four|five|six|seven|eight|nine|ten|twelve)\stotal),\s"
    r"((?:[1-9]|one|two|three|four|five|six)\s(?:per|each|on each)\s[^\W\d_]+)",
    re.IGNORECASE,
)
#: Of how many that is said: flats worn on 4.
_WORN_ON = re.compile(rf"(?<=\s)([^\W\d_]+\son\s{_MANY})(?=\s?(?:$|[,;.)]))", re.IGNORECASE)
#: A part named by how many it has of something: a 3-lug washer.
_SO_MANY_LUGS = re.compile(
    r"(?<![\w.,/-])([1-9][0-9]?-(?:lug|tooth|start|jaw|way|ring|hole|leg|prong|pole|pronged|toothed|legged))\b",
    re.IGNORECASE,
)
#: One thing under two names: 3 clips/clamps.
_EITHER_NAME = re.compile(r"(?<=[0-9]\s)(?P<a>[^\W\d_]{3,}s)/(?P<b>[^\W\d_]{3,}s)\b", re.I)
_SAME_THINGS = (
    frozenset(("clip", "clamp", "hose clip")),
    frozenset(("bolt", "screw", "set screw")),
)
#: With a count behind it, no size of Whitworth: reed block w 1 petal.
_WITH_ONE = re.compile(rf"(?<=[a-z]{{3}}\s)w\s(?={_MANY}\s[a-z]{{3}})")

#: A size with its count behind the name of another thing: 2 petals, M5x16 x4.
_OF_ANOTHER = re.compile(
    rf"(?P<before>(?:^|[,;:]\s){_MANY}x?\s(?P<name>[^,;:()0-9]+)),\s"
    rf"(?P<size>M[0-9]{{1,2}}\s?x\s?[0-9]{{1,3}})\s?(?:x\s?(?P<n>{_MANY})|\((?P<k>{_MANY})\))(?=\s?(?:$|[,;.]))",
    re.IGNORECASE,
)
#: What a screw of a list has with it: M6: 4 x 45, 1 x 60 with clip.
_LENGTH_WITH = re.compile(
    rf"(?P<before>\bM[0-9]{{1,2}}:?\s.*(?:[,+:]\s))(?P<size>{_MANY}\s?x\s?[0-9]{{2,3}})"
    r"\s(?:with\s|w/\s?|c/w\s)(?=[^\W\d_])",
    re.IGNORECASE,
)

#: Not quite so many: 20 circa, 20 approx.
_ABOUT = re.compile(
    rf"(?P<joint>,\s|\s-\s|\s\()(?P<n>{_MANY})\s(?:circa|ca|approx|or so|environ|ungefähr"
    r"|aprox)\b\.?(?=\s?(?:$|[,;.)]))",
    re.IGNORECASE,
)
#: One of a sort and one of the other, named once: outer circlip 25mm, inner 47mm.
_RING = r"(?:circlip|snap ring|seal|bearing|spring|washer|o-ring|bush|shim)s?"
_SORTED_FIRST = re.compile(
    rf"\b(?P<one>inner|outer|int|ext|internal|external)\s(?P<kind>{_RING})\s(?P<size>[^,;]*[0-9][^,;]*),\s"
    r"(?P<other>inner|outer|int|ext|internal|external)\s(?=[0-9])",
    re.IGNORECASE,
)
_SORTED_BEHIND = re.compile(
    rf"\b(?P<kind>{_RING})\s(?P<one>inner|outer|int|ext|internal|external)\s(?P<size>[^,;]*[0-9][^,;]*),\s"
    r"(?P<other>inner|outer|int|ext|internal|external)\s(?=[0-9])",
    re.IGNORECASE,
)

#: A sort of the washers before it, in the singular: 8 washers 8 mm plain, 4 spring.
_SPRING_WASHERS = re.compile(
    r"(?P<before>\b(?:washers?|wshrs?)\b[^;]*,\s(?:[2-9]|1[0-2]|two|three|four|five|six|eight)\s"
    r"spring)(?=\s?(?:$|[,;.)]))",
    re.IGNORECASE,
)


def counts_in_short(text: str) -> str:
    """The text with counts as others write them; what only looks like a count in quotes.

    >>> counts_in_short("screws 5 with locknuts")
    'screws x5 with locknuts'
    """
    plain = replaced(_OFF_POINT, r"\1, ", text) if ". " in text else text
    plain = _WITH_ONE.sub("with ", plain) if " w " in plain else plain
    plain = replaced(_BEFORE_WITH, r" x\1 ", plain) if "w" in plain.lower() else plain
    if plain.count(":") == 1:
        plain = _BEHIND_PLACE.sub(_behind_place, replaced(_BEHIND_COLON, r" x\1", plain))
    plain = replaced(_BEHIND_SIZE, r"\g<size>, ", plain) if " - " in plain else plain
    if "," in plain:
        plain = _OF_ANOTHER.sub(_of_another, plain)
        plain = replaced(_LENGTH_WITH, r"\g<before>\g<size> + ", plain)
        plain = replaced(_ABOUT, r"\g<joint>about \g<n>", plain)
        plain = replaced(_SPRING_WASHERS, r"\g<before> washers", plain)
        plain = replaced(
            _SORTED_FIRST,
            r"\g<one> \g<kind> \g<size>, \g<other> \g<kind> ",
            replaced(_SORTED_BEHIND, r"\g<kind> \g<one> \g<size>, \g<kind> \g<other> ", plain),
        )
    plain = _PRODUCT.sub(_product, plain) if "=" in plain else plain
    return plain if "“" in plain else _with_quotes(plain)


def _with_quotes(text: str) -> str:
    """The text with what only looks like a count in quotes."""
    plain = _EITHER_NAME.sub(_either_name, text) if "/" in text else text
    plain = _WORN_ON.sub(_worn_on, plain) if " on " in plain.lower() else plain
    if "," in plain:
        plain = replaced(_TOTAL_AND_SHARE, r"\1, “\2”", plain)
    if "+" in plain or "&" in plain:
        plain = _LEFT_AND_RIGHT.sub("left and right", plain)
    return replaced(_SO_MANY_LUGS, r"“\1”", plain) if "-" in plain else plain


def _of_another(found: re.Match[str]) -> str:
    words = tuple(map(fold, found["name"].split()))
    said = next(filter(None, (look_up(words[at:]) for at in range(len(words)))), None)
    if said is not None and said[1].kind in THREADED_KINDS:
        return found[0]
    return f"{found['before']}, {found['n'] or found['k']} {found['size']}"


def _behind_place(found: re.Match[str]) -> str:
    counted = HEAD_COUNT.search(found["before"]) is not None
    return found[0] if counted else f"{found['before']}, {count_said(found['n'])} off"


def _product(found: re.Match[str]) -> str:
    whole = int(found["a"]) * int(found["b"]) == int(found["sum"])
    return f"{found['sum']} off" if whole else found[0]


def _worn_on(found: re.Match[str]) -> str:
    said = fold(found[1].partition(" ")[0])
    told = said in bench_words("condition") and said not in _HOLDING_ON
    return f"“{found[1]}”" if told else found[0]


def _either_name(found: re.Match[str]) -> str:
    kinds = [
        said[1].kind if (said := look_up((fold(found[name]),))) is not None else ""
        for name in ("a", "b")
    ]
    same = kinds[0] != kinds[1] and any(set(kinds) <= things for things in _SAME_THINGS)
    return f"{found['a']} “/{found['b']}”" if same else found[0]


#: A nut that is rusted on 2 is on them.
_HOLDING_ON = frozenset(("rusted", "seized", "stuck", "welded", "jammed", "rust"))
