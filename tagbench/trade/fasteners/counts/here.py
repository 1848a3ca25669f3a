"""How many of the counted ones are really in the bag: `8 screws, only 7 found`.

What is missing, what is one more, and of how many it says that one is unlike the others.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import msgspec

from tagbench.trade.fasteners.patterns import SMALL_COUNT, replaced
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.vocabulary import (
    bench_roles,
    bench_words,
    count_said,
    fold,
    fold_words,
    look_up,
)


class OnlyHere(msgspec.Struct, frozen=True):
    """So many are here of those that were counted: `8 screws, only 7 in bag`."""

    many: int
    typed: str
    several: bool = False
    """It says that there are several of them: both broken."""


#: How many there are of a thing: the six of `six cheese heads M6`.
HEAD_COUNT = re.compile(
    r"(?<![\w.,/])([1-9][0-9]?|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve"
    r"|half\s(?:a\s)?dozen|dozen)(?=\s?x?\s[^\W\d_]{3}|\sM[0-9]|\s[0-9]+/[0-9]+\s[^\W\d_]{3})",
    re.IGNORECASE,
)
#: So many of those that were counted are here; behind a unit it is no count.
_ONLY = r"(?:only|just|nur|seulement|s[oó]lo|soltanto)"
_IN_BAG = (
    r"(?:here|found|left|there|(?:in|im|dans|en|nel)\s(?:the\s|this\s)?[^\W\d_]+"
    r"|da|hier|ici|aqu[ií]|qui)"
)
_SO_MANY_HERE = (
    re.compile(
        rf"(?:^|[,;.(-])\s?(?:so\s|but\s|and\s)?{_ONLY}\s(?P<n>{SMALL_COUNT})(?:\s{_IN_BAG})?"
        r"(?=\s?(?:$|[,;.)]))",
        re.IGNORECASE,
    ),
    re.compile(
        rf"\s(?:so\s|but\s|and\s)?{_ONLY}\s(?P<n>{SMALL_COUNT})\s{_IN_BAG}(?=\s?(?:$|[,;.)]))",
        re.IGNORECASE,
    ),
    re.compile(
        rf"(?:^|[\s,;.(])(?:(?:so|but|and)\s)?(?:I\s)?(?:(?:can|could)\s)?only\s(?:find|found|got|have|had)"
        rf"\s(?P<n>{SMALL_COUNT})(?:\sof\s(?:them|those|'em))?(?=\s?(?:$|[,;.()]|-\s))",
        re.IGNORECASE,
    ),
    re.compile(
        rf"[\s,;](?:so|that leaves|makes it)\s(?:(?:only|just|now)\s)?(?P<n>{SMALL_COUNT})"
        rf"(?:\s{_IN_BAG})?(?=\s?(?:$|[,;.)]))",
        re.IGNORECASE,
    ),
    re.compile(
        rf"(?:^|[\s,;.(])(?:(?:so|but|and)\s)?there'?(?:s|\sis|\sare)?\s(?:only|just)"
        rf"\s(?P<n>{SMALL_COUNT})(?=\s?(?:$|[,;.)]))",
        re.IGNORECASE,
    ),
    re.compile(
        r"(?:[,;.(\[]\s?|\s-\s)(?:but\s|so\s)?(?:I\s)?(?:counted|got|have|had|found|make\sit)\s"
        rf"(?P<n>{SMALL_COUNT})(?=\s?(?:$|[,;.()\]]|-\s))",
        re.IGNORECASE,
    ),
    re.compile(
        rf"(?:[,;.(\[]\s?|\s-\s)(?:(?:really|actually)\s(?P<n>{SMALL_COUNT})|(?P<m>{SMALL_COUNT})\s"
        r"(?:really|actually|in\sfact))(?=\s?(?:$|[,;.()\]]|-\s))",
        re.IGNORECASE,
    ),
    re.compile(
        rf"(?:^|[,;.(]|\s-)\s?(?P<n>{SMALL_COUNT})\s(?:(?:good|ok|usable)\s(?:ones?\s)?)?(?:here|counted|ici|hier|aqu[ií]|qui|found|present|in\s(?:the\s|this\s)?(?:bag|tin|box))"
        r"(?=\s?(?:$|[,;.()]|-\s))",
        re.IGNORECASE,
    ),
)
#: So many here and so many there, at the end: 0BA dome nuts, 1 + 1.
_HERE_AND_THERE = re.compile(
    r"(?:[,:]\s|(?<=s)\s)(?P<n>[1-9][0-9]?)\s?\+\s?(?P<m>[1-9][0-9]?)(?=\s?(?:$|[,;(]|-\s))",
    re.IGNORECASE,
)
#: So many of those that were counted are not here: 10 screws less the one that fell.
_LESS = re.compile(
    r"(?<=[\s,;(])(?:less|minus|bar|weniger|moins|meno|menos),?\s(?:the\s)?"
    r"(?P<k>one|two|three|[1-9]|einer?|une?|un[oa]?"
    r"|(?<=the\s)(?:broken|snapped|missing|stuck|lost|bent|sheared|seized|stripped|odd|bad)\sone)"
    r"(?=\s(?:that|which|lost|broken|snapped|missing|stuck|gone|still|die|der|qui|que|che|perdue?"
    r"|pers[oa]|verloren|perdid[oa])\b|\s?(?:$|[,;.)]))(?:[^\W\d_]|[\s'])*",
    re.IGNORECASE,
)
_LESS_OF = (
    re.compile(
        rf"(?<=[\s,;(])(?:missing|lost|short)\s(?P<k>{SMALL_COUNT})\s(?:out\s)?of\s(?:the\s)?"
        rf"(?P<n>{SMALL_COUNT})(?=\s?(?:$|[,;.()]|-\s))",
        re.IGNORECASE,
    ),
    re.compile(
        rf"(?<=[\s,;(])(?P<k>{SMALL_COUNT})\s(?:out\s)?of\s(?:the\s)?(?P<n>{SMALL_COUNT})\s"
        r"(?:(?:is|are)\s)?(?:missing|lost|gone)(?=\s?(?:$|[,;.()]|-\s))",
        re.IGNORECASE,
    ),
)
#: One more than were counted: 5 bolts and one longer.
_ONE_MORE = re.compile(
    r"(?:\sand|\s&|\s\+|\splus)\s(?:one|1|a)\s(?:slightly\s|much\s|a bit\s)?"
    r"(?:longer|shorter|thicker|thinner|bigger|smaller|larger)(?:\sone)?(?=\s?(?:$|[,;.(]|-\s))",
    re.IGNORECASE,
)
#: All of two: springs, both broken; zapatas, las dos gastadas.
_BOTH_OF = re.compile(
    r"(?:(?<=[^\W\d_]),\s|(?<=[^\W\d_][.])\s|(?<=[^\W\d_])\s)"
    r"(?P<both>(?:both|l[ao]s\sdos|les\sdeux|beide|alle\sbeide|ambos|ambas|entramb[ie]|tutt[ei]\se\sdue)"
    r"\s(?P<how>(?:of\s(?:them|'em|these)|[^\W\d_]{3,})))(?=\s?(?:$|[,;.(]|-\s|and\b|y\b|und\b|et\b|e\b))",
    re.IGNORECASE,
)
#: So many of one state and so many of another, where no other number counts them.
_BY_STATE = re.compile(
    r"(?:^|[\s,;:(])(?:x\s?)?(?P<n>[1-9][0-9]?)\s(?P<how>[^\W\d_]{2,})"
    r"(?:\s?[,&+/]\s?|\s(?:and|und|et|y|e)\s|\s)(?:x\s?)?(?P<m>[1-9][0-9]?)\s(?P<other>[^\W\d_]{2,})"
    r"(?=\s?(?:$|[,;.()]|-\s))",
    re.IGNORECASE,
)
#: One of them is said to be unlike the others: 4 washers, all the same except one thicker.
_UNLIKE = re.compile(
    r"\b(?:(?:(?:all\s)?(?:the\s)?same|alike|identical|iguales|uguali|pareil(?:le)?s|identiques|gleich),?\s)?"
    r"(?:except|but|bar|save|salvo|excepto|menos|sauf|tranne|meno|außer|bis\sauf)\s(?:for\s)?(?:the\s)?"
    r"(?:one|una?|une|einer?|uno)\s(?P<how>(?:[^\W\d_]+\s?){1,4})(?=\s?(?:$|[,;.()]|-\s))",
    re.IGNORECASE,
)


def _only_here(found: re.Match[str]) -> OnlyHere:
    many = found["n"] or found.groupdict().get("m") or ""
    return OnlyHere(count_said(many), found[0].strip(" ,;.([-"))


def _here_and_there(found: re.Match[str]) -> OnlyHere | None:
    if re.search(r"[+&]", found.string[: found.start()]):
        return None  # M4x10 + shakeproofs, 2+2
    return OnlyHere(int(found["n"]) + int(found["m"]), found[0].strip(" ,:"))


#: So many of how many are missing, before what they are: 2 of 6 screws missing.
_SOME_OF_MISSING = re.compile(
    rf"^(?P<k>{SMALL_COUNT})\sof\s(?:the\s)?(?P<n>{SMALL_COUNT})\s(?P<what>[^,;:()0-9]+?s)\s"
    r"(?:(?:is|are)\s)?(?:missing|lost|gone)\b",
    re.IGNORECASE,
)


def with_missing_behind(note: str) -> str:
    """`screws, missing 2 of 6` for `2 of 6 screws missing`."""
    return replaced(_SOME_OF_MISSING, r"\g<what>, missing \g<k> of \g<n>", note)


def says_left_of(words: str) -> bool:
    """Whether words say of how many some are missing, so that the others are here."""
    return any(pattern.fullmatch(f" {words}", 1) for pattern in _LESS_OF)


def _less_of(found: re.Match[str]) -> OnlyHere | None:
    """What is left of so many, where no other number counts them: screws missing 2 of 6."""
    left = count_said(found["n"]) - count_said(found["k"])
    heads = HEAD_COUNT.findall(found.string[: found.start()])
    told = not heads or [*map(count_said, heads)] == [count_said(found["n"])]
    return OnlyHere(left, found[0].strip(" ,;.(-")) if left > 0 and told else None


def _less(found: re.Match[str]) -> OnlyHere | None:
    heads = HEAD_COUNT.findall(found.string[: found.start()])
    left = count_said(heads[0]) - count_said(found["k"], 1) if len(heads) == 1 else 0
    return OnlyHere(left, found[0].strip(" ,;.(-")) if left > 0 else None


def _one_more(found: re.Match[str]) -> OnlyHere | None:
    heads = HEAD_COUNT.findall(found.string[: found.start()])
    return OnlyHere(count_said(heads[0]) + 1, found[0].strip()) if len(heads) == 1 else None


def _both_of(found: re.Match[str]) -> OnlyHere | None:
    """Both of what no other number counts, with how they are."""
    before = found.string[: found.start()].rpartition(": ")[2]
    words = fold_words(before)
    counted = re.search(r"[0-9]", before) or any(word in bench_words("count") for word in words)
    how = fold(found["how"])
    told = bool(bench_roles(how) & {"condition", "absent"}) or look_up((how,)) is None
    told = told or how.startswith("of ")
    return None if counted or not told else OnlyHere(2, found["both"], several=True)


def _by_state(found: re.Match[str]) -> OnlyHere | None:
    """The twenty of `spokes 17 good, 3 bent`; what is missing is not here."""
    before, behind = found.string[: found.start()], found.string[found.end() :]
    roles = [bench_roles(fold(found[name])) for name in ("how", "other")]
    counts = [int(found["n"]), int(found["m"])]
    here = [many for many, said in zip(counts, roles, strict=True) if "absent" not in said]
    states = all("condition" in said for said in roles)
    named = any(map(is_plural, re.findall(r"[^\W\d_]{3,}", before)))
    if not states or not named or HEAD_COUNT.search(before) or re.search("[0-9]", behind):
        return None
    return OnlyHere(sum(here), found[0].strip(" ,;:("))


def _unlike(found: re.Match[str]) -> OnlyHere | None:
    heads = HEAD_COUNT.findall(found.string[: found.start()])
    roles = ("comparative", "sort", "condition", "odd")
    looks = {fold(word) for word in found["how"].split()}
    unlike = any(looks & set(bench_words(role)) for role in roles)
    unlike = unlike or any((known := look_up((word,))) and known[1].head for word in looks)
    return OnlyHere(count_said(heads[0]), found[0].strip()) if unlike and len(heads) == 1 else None


#: Each way of saying it, with what it says.
HERE: tuple[tuple[tuple[re.Pattern[str], ...], Callable[[re.Match[str]], OnlyHere | None]], ...] = (
    (_SO_MANY_HERE, _only_here),
    ((_HERE_AND_THERE,), _here_and_there),
    ((_LESS,), _less),
    (_LESS_OF, _less_of),
    ((_UNLIKE,), _unlike),
    ((_BY_STATE,), _by_state),
    ((_ONE_MORE,), _one_more),
    ((_BOTH_OF,), _both_of),
)
