"""Figures that are sizes, counts or lengths by what stands beside them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import takewhile, zip_longest

import msgspec

from tagbench.trade.fasteners.parser.counts import BEHIND
from tagbench.trade.fasteners.parser.prepared_words import (
    LIKELY_COUNT,
    as_count,
    how_many,
    sort_apart,
)
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Number, Token
from tagbench.trade.fasteners.vocabulary import (
    RINGS,
    THREADED_KINDS,
    PhraseMeaning,
    bench_words,
    fold,
)

#: No shim is thicker, in mm, and none is so small across.
_THICKEST_SHIM = 3


def lengths_behind_sorts(found: list[Token]) -> list[Token]:
    """The 50 of `1 largo 50` is how long it is: no lot is so many."""
    made: list[Token] = []
    for token in found:
        before = made[-1] if made else None
        sort = before is not None and fold(before.text) in _LONG_WORDS
        alone = how_many(token) > LIKELY_COUNT and token.kind == "numbers"
        made.append(msgspec.structs.replace(token, behind="long") if sort and alone else token)
    return made


_LONG_WORDS = frozenset(
    ("largo", "larga", "corto", "corta", "lungo", "lunga", "lang", "kurz", "longue", "court",
     "courte", "short")
)  # fmt: skip


def thicknesses(found: list[Token], text: str) -> list[Token]:
    """The 1,5 of `rondelle rame, spessore 1,5` says how thick they are; alone it sizes a shim."""
    if _THICKNESS.isdisjoint(fold(token.text) for token in found):
        return found
    made: list[Token] = []
    ring = False
    for token in found:
        before = made[-1] if made else None
        said = before is not None and fold(before.text) in _THICKNESS and len(token.numbers) == 1
        if before is not None and said and ring and not token.cross:
            typed = text[before.start : token.end]
            made[-1] = msgspec.structs.replace(
                token, text=typed, start=before.start, behind="thick"
            )
        else:
            made.append(token)
        named = token.entry is not None and token.entry.kind in RINGS
        ring = ring or (named and fold(token.text) not in _THICKNESS)
    return made


_THICKNESS = frozenset(("spessore", "espesor", "epaisseur", "starke", "thickness", "thick"))


def lengths_before_heads(found: list[Token]) -> list[Token]:
    """The 16mm of `M5 16mm hex hd` is a length: behind a thread it is no spanner's size."""
    if not any(token.kind == "tool" for token in found):
        return found
    made: list[Token] = []
    for token in found:
        typed = re.fullmatch(r"([0-9.,]+)\s?mm\s((?:hex|hexagon)\s(?:heads?|hd))", token.text, re.I)
        if typed and token.kind == "tool" and made and made[-1].kind == "thread":
            number = Number(Fraction(typed[1].replace(",", ".")), typed[1], "mm")
            end = token.start + typed.start(2) - 1
            length = token.text[: typed.start(2) - 1]
            made.append(Token("numbers", length, token.start, end, numbers=(number,)))
            head = PhraseMeaning(head="hex")
            made.append(Token("phrase", typed[2], end + 1, token.end, entry=head))
        else:
            made.append(token)
    return made


def parted_sizes(found: list[Token]) -> list[Token]:
    """The 3 of `3 sizes of M6` counts no pieces."""
    made: list[Token] = []
    for token in found:
        before = made[-1] if made else None
        if how_many(before) and fold(token.text) in bench_words("sizes") and before is not None:
            text = f"{before.text} {token.text}"
            made[-1] = Token("word", text, before.start, token.end)
        else:
            made.append(token)
    return made


def count_before_fraction(found: list[Token]) -> list[Token]:
    """The 2 of `hose clamps x2 5/8`, which is no 2-5/8."""
    made: list[Token] = []
    threaded = False
    for token in found:
        threaded = threaded or token.thread is not None
        before = made[-1] if made else None
        split = re.match(r"(x[0-9]{1,2})\s([0-9]{1,2}/[0-9]{1,2}.*)", token.text, re.IGNORECASE)
        named = before is not None and before.entry and before.entry.kind
        if split and named and not threaded and len(token.numbers) == 1:
            end = token.start + len(split[1])
            unit = token.numbers[0].unit
            rest = split[2]
            size = re.match(r"[0-9]{1,2}/[0-9]{1,2}", rest)
            made.append(
                Token("count", split[1], token.start, end, count=int(split[1][1:]), cross="spaced")
            )
            number = Number(
                Fraction(size[0]) if size else Fraction(0), size[0] if size else "", unit
            )
            made.append(
                msgspec.structs.replace(
                    token, text=rest, start=end + 1, numbers=(number,), cross=""
                )
            )
        else:
            made.append(token)
    return made


def counts_behind_kinds(found: list[Token]) -> list[Token]:
    """`M8x35 bolt 2 M8x50 bolt 1 footrest`: each is counted behind its name, without a comma."""
    kinds = [at for at, token in enumerate(found) if token.entry and token.entry.kind]
    opens = bool(found) and bool(how_many(found[0]))
    if opens or any(token.kind == "join" for token in found):
        return found
    if any(token.kind == "count" for token in found):
        return _parted_behind_counts(found)
    few = len(kinds) > 1 and all(0 < how_many(found[at]) <= _FEW for at in _behind(found, kinds))
    if not kinds or not (few or _is_threaded_before(found, kinds[0])):
        return found
    parts = [at for at, token in enumerate(found[: kinds[0]]) if _names_part(token)]
    numbered = {
        at + 1 for at in parts if how_many(found[at + 1]) and found[at + 1].kind == "numbers"
    }
    behind = [*sorted(numbered), *(at + 1 for at in kinds)]
    if not all(at < len(found) and 0 < how_many(found[at]) <= LIKELY_COUNT for at in behind):
        return found
    last = behind[-1] + 1
    if len(kinds) == 1 and not (last < len(found) and _names_part(found[last])):
        return found
    made: list[Token] = []
    for at, token in enumerate(found):
        if at not in behind:
            made.append(token)
            continue
        many = how_many(token)
        made.append(
            Token(
                "count", token.text, token.start, token.end, count=many, cross="spaced", name=BEHIND
            )
        )
        follower = found[at + 1] if at + 1 < len(found) else None
        if follower is not None and not _names_part(follower):
            made.append(Token("join", ",", token.end, token.end, name=","))
    return made


#: So few are no size of a circlip or pin.
_FEW = 4


def _behind(found: Sequence[Token], kinds: Sequence[int]) -> list[int]:
    """Where the tokens behind kinds stand; the last one for one that has none."""
    return [min(at + 1, len(found) - 1) for at in kinds]


def _parted_behind_counts(found: list[Token]) -> list[Token]:
    """`M6 nut 10 pcs M6 washers 20 pcs` with a comma behind each count but the last."""
    counts = [at for at, token in enumerate(found) if token.kind == "count"]
    units = all(found[at].text[-1:].isalpha() and not found[at].cross for at in counts)
    told = all(
        any(one.thread or (one.entry and one.entry.kind) for one in found[first + 1 : at])
        for first, at in zip([-1, *counts], counts, strict=False)
    )
    if len(counts) < 2 or not (units and told) or found[counts[0]].name == "word":
        return found
    made: list[Token] = []
    for at, token in enumerate(found):
        made.append(token)
        if at in counts[:-1]:
            made.append(Token("join", ",", token.end, token.end, name=","))
    return made


def _is_threaded_before(found: Sequence[Token], at: int) -> bool:
    return any(token.thread is not None for token in found[:at])


def _names_part(token: Token) -> bool:
    return token.kind == "word" or bool(token.entry and token.entry.place)


_PAIR = 2
#: Of these a mixed number is a count and a size: 12 1/4 split lock washers.
_SMALL_KINDS = frozenset(("ball", "roller", "rivet", "blind rivet", "circlip", "cotter pin"))


def mixed_counts(found: list[Token]) -> list[Token]:
    """The 12 of `12 1/4 split lock washers`, none of which is a foot wide."""
    if not found:
        return found
    kind_at = next((at for at, one in enumerate(found) if one.entry and one.entry.kind), 0)
    if 0 < kind_at < len(found) - 1 and found[kind_at + 1].numbers:
        counted = _counted_bolts(found[kind_at + 1], found[kind_at:])  # bolts 4 3/8x1 1/4
        if counted:
            return [*found[: kind_at + 1], *counted[:2], *found[kind_at + 2 :]]
    first, *rest = found
    if counted := _counted_bolts(first, rest):
        return counted
    split = re.fullmatch(r"([1-9][0-9]?)\s([0-9]{1,2}/[0-9]{1,2}(?:\s?(?:in|\"))?)", first.text)
    kind = next((one.entry.kind for one in rest if one.entry and one.entry.kind), "")
    named = next((one.text for one in rest if one.entry and one.entry.kind), "")
    threaded = any(one.thread for one in rest)
    small = kind.endswith("washer") or kind in _SMALL_KINDS
    if not split or not small or threaded or not is_plural(named) or len(first.numbers) != 1:
        return found
    end = first.start + len(split[1])
    count = Token("count", split[1], first.start, end, count=int(split[1]))
    size = re.match("[0-9/]+", split[2])
    number = Number(Fraction(size[0]) if size else Fraction(0), size[0] if size else "", "in")
    token = msgspec.structs.replace(first, text=split[2], start=end + 1, numbers=(number,))
    return [count, token, *rest]


#: No bolt of a small machine is thicker, in inches.
_THICKEST_BOLT = 1.5


_BOLTS = THREADED_KINDS | {"wood screw", "self-tapping screw", "roller", "ball"}


def _counted_bolts(first: Token, rest: list[Token]) -> list[Token]:
    """The 2 of `2-3/8 x 3 bolts`, none of which is so thick; empty for any other."""
    split = re.match(r"([1-9][0-9]?)[-\s](?=[0-9]{1,2}/[0-9]{1,2}(?![0-9]))", first.text)
    named = next((one for one in rest if one.entry and one.entry.kind), None)
    if split is None or named is None or named.entry is None or len(first.numbers) < _PAIR:
        return []
    bolts = named.entry.kind in _BOLTS and is_plural(named.text)
    size, *lengths = first.numbers
    part = re.match("[0-9/]+", first.text[split.end() :])
    if not bolts or part is None or size.value < _THICKEST_BOLT or any(one.thread for one in rest):
        return []
    end = first.start + len(split[1])
    count = Token("count", split[1], first.start, end, count=int(split[1]))
    number = Number(Fraction(part[0]), part[0], size.unit)
    text = first.text[split.end() :]
    sized = msgspec.structs.replace(first, text=text, start=end + 1, numbers=(number, *lengths))
    return [count, sized, *rest]


def _clause_around(found: Sequence[Token], at: int) -> list[Token]:
    """The tokens between the joints on both sides of the one there."""
    heading = at if any(one.name == ":" for one in found[:at]) else 0
    before = found[:heading] or takewhile(lambda one: one.kind != "join", reversed(found[:at]))
    behind = takewhile(lambda one: one.kind != "join", found[at:])
    return [*before, *behind]


def counts_before_sizes(found: list[Token]) -> list[Token]:
    """The 2 of `washers: 2 8x16` counts what has the size behind it."""
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        listed = len(made) > 1 and made[-1].name == ":"
        named = made[-2].entry if listed else None
        several = named is not None and named.kind in _SIZED and is_plural(made[-2].text)
        sized = follower is not None and len(follower.numbers) > 1 and not follower.cross
        many = how_many(token)
        if several and sized and many:
            token = Token("count", token.text, token.start, token.end, count=many)
        made.append(token)
    return made


#: What has two sizes or three, of which none is a thread.
_SIZED = RINGS | {"cotter pin", "dowel pin", "spring pin", "taper pin", "key", "roller", "pin"}


def counted_sizes(found: list[Token]) -> list[Token]:
    """The 1 of `1 x 8mm circlip`, which no circlip is wide; the 2 of `2 x 1/4 washers`."""
    made: list[Token] = []
    shims = any(
        token.entry and token.entry.kind == "shim" and is_plural(token.text) for token in found
    )
    for at, token in enumerate(found):
        follower = found[at + 1] if at + 1 < len(found) else None
        kind = follower.entry.kind if follower is not None and follower.entry else ""
        rings = any(one.entry and one.entry.kind == "circlip" for one in _clause_around(found, at))
        most = 12 if kind == "circlip" else 2 if kind in RINGS else 1
        counts = kind and kind not in THREADED_KINDS and 0 < token.many <= most
        counts = counts and bool(token.numbers[1:] and token.numbers[1].unit)
        if kind.endswith("washer") and 0 < token.many <= LIKELY_COUNT:
            counts = counts or "/" in token.numbers[1].text  # never so wide and thinner than it
        if kind in _INCH_SIZED and 0 < token.many <= LIKELY_COUNT:
            counts = counts or _is_fraction(token.numbers[1])
        if shims and 0 < token.many <= LIKELY_COUNT:
            counts = counts or token.numbers[1].value < _THICKEST_SHIM
        if rings and token.many:
            few = token.many <= LIKELY_COUNT
            counts = counts or (few and token.numbers[1].value >= 5 * token.many)
        if counts and len(token.numbers) == 2 and not token.cross:
            first, _, rest = token.text.partition("x")
            end = token.start + len(first) + 1
            made.append(Token("count", f"{first}x", token.start, end, count=token.many))
            made.append(
                msgspec.structs.replace(
                    token, text=rest.strip(), start=end, numbers=token.numbers[1:]
                )
            )
        else:
            made.append(token)
    return made


#: Their gauges go by the thread and not by a bare number: 3 x 5/16 studs are three.
_INCH_SIZED = frozenset(("bolt", "stud", "plug", "drain plug"))


def _is_fraction(number: Number) -> bool:
    return "/" in number.text and number.value < 1


def ring_sizes(found: list[Token]) -> list[Token]:
    """`seal 20 35 7`, typed with blanks, is a chain like 20x35x7."""
    made: list[Token] = []
    at = 0
    while at < len(found):
        three = found[at : at + 3]
        if len(three) == 3 and _is_ring_size(three):
            first, second, third = (token.numbers[0] for token in three)
            text = " ".join(token.text for token in three)
            made.append(
                msgspec.structs.replace(
                    three[0], text=text, end=three[-1].end, numbers=(first, second, third)
                )
            )
            at += 3
        else:
            made.append(found[at])
            at += 1
    return made


def _is_ring_size(three: Sequence[Token]) -> bool:
    plain = all(len(token.numbers) == 1 and not token.cross and not token.behind for token in three)
    if not plain:
        return False
    inside, outside, thick = (token.numbers[0].value for token in three)
    return inside < outside > thick and outside < 2.5 * inside and inside >= 4


def counts_behind_inches(found: list[Token]) -> list[Token]:
    """The 5 of `engine plate bolts 5/16 x 5` may count them, where nothing else does."""
    if any(map(how_many, found)) or any(token.thread or token.kind == "count" for token in found):
        return found
    made: list[Token] = []
    for token in found:
        kind = made[-1].entry if made else None
        bolts = kind is not None and kind.kind in ("bolt", "nut", "stud", "screw")
        split = re.fullmatch(r"([0-9]{1,2}/[0-9]{1,2})\s(x\s([2-9]|1[0-2]))", token.text)
        if split is None or not bolts or not is_plural(made[-1].text):
            made.append(token)
            continue
        end = token.start + len(split[1])
        made.append(
            msgspec.structs.replace(token, text=split[1], end=end, numbers=token.numbers[:1])
        )
        five = (Number(Fraction(int(split[3])), split[3], ""),)
        made.append(Token("numbers", split[2], end + 1, token.end, numbers=five, cross="spaced"))
    return made


def counts_before_long(found: list[Token]) -> list[Token]:
    """The x1 of `governor spring x1 long skinny` counts the spring, which is long."""
    if not any(token.behind in ("long", "thick") for token in found):
        return found
    made: list[Token] = []
    for token in found:
        apart = sort_apart(token) if token.cross and token.behind in ("long", "thick") else None
        if apart and 0 < apart[0].numbers[0].whole < 10 and not any(one.thread for one in made):
            made += [as_count(apart[0]), apart[1]]
        else:
            made.append(token)
    return made


def lengths_before_nuts(found: list[Token]) -> list[Token]:
    """The 6 of `bolts 4 1/2-13 x 6 sq nuts` is how long the bolts are, which were counted."""
    if not any(token.kind == "count" and token.cross for token in found):
        return found
    made: list[Token] = []
    bolts = False
    for token, follower in zip_longest(found, found[1:]):
        before = made[-1] if made else None
        counted = before is not None and before.thread is not None
        counted = counted and bool(
            (before and before.thread and before.thread.count) or token.count > LIKELY_COUNT
        )
        kind = follower.entry.kind if follower is not None and follower.entry else ""
        small = "nut" in kind or "washer" in kind
        if bolts and counted and token.kind == "count" and token.cross and small:
            number = Number(Fraction(token.count), str(token.count), "")
            token = msgspec.structs.replace(token, kind="numbers", numbers=(number,), count=0)
        named = token.entry.kind if token.entry is not None else ""
        bolts = bolts or named in ("bolt", "screw", "stud", "set screw")
        made.append(token)
    return made
