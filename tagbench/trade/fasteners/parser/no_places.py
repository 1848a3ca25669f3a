"""What stands where a place would and is none: how a thing looks or is, and where it was put by.

`6 clips (plastic, black)`, `grub screws, cup point`, `nut to suit` and `keeper (in the pill box)`
name no part of a machine. Such words are kept as they were typed.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from tagbench.trade.fasteners.clauses import says_way_round
from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.remark_clauses import is_way_round
from tagbench.trade.fasteners.sides import OPPOSITES, SIDES
from tagbench.trade.fasteners.tokens import Token, tokens
from tagbench.trade.fasteners.vocabulary import bench_words, fold, fold_words

#: Small words beside a describing one: the plain ones, very bendy.
_BESIDE = ("noise", "weak", "hedge", "condition")


def keep_described(lines: Sequence[ParsedLine]) -> None:
    """Takes what names no place from the places of its line; it is kept word for word."""
    told = [[said for said in line.place if names_none(said, line, lines)] for line in lines]
    for line, none in zip(lines, told, strict=True):
        if none:
            line.place = [said for said in line.place if said not in none]
            line.described += [said for said in none if not _is_kept(said, line)]


def _is_kept(said: str, line: ParsedLine) -> bool:
    return f" {said} " in f" {' '.join(line.words)} "


def names_none(said: str, line: ParsedLine, lines: Sequence[ParsedLine]) -> bool:
    """Whether words that were taken for a place of the line say no place."""
    words = fold_words(said)
    if not words:
        return False
    if _describes(words):
        return not _tells_apart(line, lines)
    return (
        _is_remark_in_brackets(said, line.text)
        or _says_purpose(said)
        or _is_put_by(words)
        or _is_small(words)
        or _is_said_of(said, line.text)
    )


def _describes(words: Sequence[str]) -> bool:
    """The black of `6 clips (black)`, the cup point of `grub screws, cup point`."""
    if " ".join(words) in bench_words("describing"):
        return True
    told = [word for word in words if word in bench_words("describing")]
    return bool(told) and all(
        word in told or any(word in bench_words(role) for role in _BESIDE) for word in words
    )


def _tells_apart(line: ParsedLine, lines: Sequence[ParsedLine]) -> bool:
    """Whether another line is of another sort: 3 grub screws cup point, 2 dog point."""
    return any(
        one is not line
        and (one.kind == line.kind or not (one.kind and line.kind))
        and any(_tells_sort(said) for said in one.place)
        for one in lines
    )


def _tells_sort(said: str) -> bool:
    words = fold_words(said)
    sort = bool(words) and words[0] in bench_words("sort") and words[0] not in SIDES
    return sort or _describes(words)


def _is_remark_in_brackets(said: str, text: str) -> bool:
    """The `new ones reqd` of `2 split pins (new ones reqd)`: no part, side or sort is named."""
    if f"({said})" not in text or said[-1:].isdigit() or fold(said) in _PITCHES:
        return False
    found = tokens(said)
    if says_way_round(said) or is_way_round(found):
        return True  # (ears outward)
    return not any(_may_say_where(one) for one in found)


#: They are said of a thread, and are looked for in brackets: M10 (fine).
_PITCHES = frozenset(("fine", "coarse", "fein", "fin", "fino", "passo fine", "pas fin"))
#: Places on a small part: 2nd groove, third hole.
_SPOTS = frozenset(("groove", "hole", "slot", "notch", "row", "step", "tooth", "loch", "trou"))


def _may_say_where(token: Token) -> bool:
    entry = token.entry
    placed = entry is not None and (entry.place or entry.opens or bool(entry.kind))
    return placed or tells_sort(token) or fold(token.text) in {*bench_words("place"), *_SPOTS}


#: What they are for, what became of them, who said so and where they were bought.
_PURPOSE = re.compile(
    r"(?:to (?:be|suit|fit|match|order|replace|renew|check|clean|buy|book|em|them|spec|size)\b"
    r"|(?:as )?per (?:the )?(?:label|book|manual|drawing|print|sketch|photo|pic|pack|spec|tipo)\b"
    r"|for (?:(?:a|the) )?(?:new|pattern|spares?|now|later|ref|reference|scrap|something|all|good"
    r"|lengths?|soaking|cleaning|testing|checking|measuring|painting|plating|grinding|welding)\b"
    r"|for (?:them|it)\b"
    r"|from (?:here|dealers?|shop|store|stock|memory|scrap|new|floor)\b"
    r"|from (?:[^\W\d_]+ )?(?:cornflake|cereal|cardboard|shoe) "
    r"|in (?:bits|pieces|half|halves|two|three|pairs|order|use|every|here|there|the|a|greece"
    r"|grease|that order)\b(?! \w+$)|in (?:bits|pieces|half|halves|two|pairs) "
    r"|on (?:refit|refitting|order|phone|ebay|hand|reassembly|assembly|wire|string)\b"
    r"|off (?:at last|now|mon|tues?|wed|thurs?|fri|sat|sun)(?:day)?\b"
    r"|by (?:an inch|themselves|itself|hand|mistake)\b|an (?:inch|eye)\b"
    r"|(?:unknown|[lr]/?h|left|right) (?:thd|thread)\b|thread \?)",
    re.IGNORECASE,
)


def _says_purpose(said: str) -> bool:
    return _PURPOSE.match(said) is not None


#: What things are kept or soaked in on the bench, and no part of a machine.
_KEPT_IN = frozenset(
    ("bag", "bags", "tin", "jar", "tray", "tub", "bottle", "drawer", "envelope", "bench", "shelf",
     "vinegar", "diesel", "paraffin", "kerosene", "thinners", "evaporust", "bucket", "tüte",
     "tute", "beutel", "sachet", "bolsa", "busta", "sac", "werkbank", "regal", "etabli", "banco")
)  # fmt: skip
_IN = frozenset(("in", "on", "im", "auf", "dans", "sur", "en"))
#: They stand between, and name nothing.
_THE = frozenset(
    (
        "the",
        "a",
        "this",
        "same",
        "that",
        "my",
        "le",
        "la",
        "der",
        "dem",
        "el",
        "il",
        "here",
        "there",
        "every",
        "em",
        "them",
    )
)


def _is_put_by(words: Sequence[str]) -> bool:
    """The `in the little film tub` that says where it is now, and not where it was."""
    if words[0] not in _IN or len(words) < 2:
        return False
    return words[-1] in _KEPT_IN or next((w for w in words[1:] if w not in _THE), "") in _KEPT_IN


def _is_small(words: Sequence[str]) -> bool:
    """The `holds the` of `this bag holds the five screws`: it opens a place, and none follows."""
    small = all(word in bench_words("opens") or word in _THE for word in words)
    return small and not any(word in bench_words("place") for word in words)


#: How big or how it is, and none of several sorts: this long, too short, 9 mm left.
_HOW = re.compile(r"\b(?:this|that|too|so|how|as|very|abou?t)\s$", re.IGNORECASE)
_LEFT_OVER = re.compile(
    r"\d\s?(?:mm|cm|in|inch(?:es)?|thou|%|\"|turns?|links?|teeth)\s$", re.IGNORECASE
)
#: What a side or a sort means is told behind it; a figure there counts or sizes it.
_MEANS = re.compile(r"\s?=\s?[^\W\d_]")
#: Behind what it was turned into, or is made of: swap to, made from.
_MADE = re.compile(
    r"\b(?:made|cut|turned|bent|bought|got|get|ordered|swap|swapped|change|changed|convert|converted"
    r"|machined|borrowed|nicked|filed|cobbled|fashioned)\s(?:up\s)?$",
    re.IGNORECASE,
)
_MADE_BY = re.compile(r"(?:from|for|to|of|out of|off)\b", re.IGNORECASE)


def _is_said_of(said: str, text: str) -> bool:
    """Whether what stands before it makes it a remark: `this long`, `made from a cornflake box`."""
    at = text.find(said)
    if at < 0:
        return False
    before, behind = text[:at], text[at + len(said) :]
    if _MEANS.match(behind):
        return all(word in bench_words("sort") for word in fold_words(said))  # left = LH thread
    if _MADE_BY.match(said):
        return _MADE.search(before) is not None
    words = fold_words(said)
    if len(words) != 1:
        return False
    if words[0] in bench_words("sort") and words[0] not in SIDES:
        return _HOW.search(before) is not None
    if words[0] == "bout":
        return behind.lstrip().startswith(("this", "that", "so "))
    if words[0] == "left":
        return _LEFT_OVER.search(before) is not None and not _names_other_side(text)
    return False


def _names_other_side(text: str) -> bool:
    other = next(pair for pair in OPPOSITES if "left" in pair)[1]
    return other in fold_words(text)
