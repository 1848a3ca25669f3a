"""How many: counts that two or three tokens say together, sums, lots and shares."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import takewhile, zip_longest

import msgspec

from tagbench.trade.fasteners.parser.prepared_words import (
    LIKELY_COUNT,
    ONE,
    as_count,
    how_many,
    sort_apart,
)
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Number, Token, count_alone
from tagbench.trade.fasteners.vocabulary import (
    NUMBERED,
    RINGS,
    THREADED_KINDS,
    bench_words,
    fold,
)

_LESS = frozenset(("less", "minus", "weniger", "moins", "menos", "meno"))


_OF_LOT = frozenset(("of", "out", "de", "von", "di", "sur", "su", "da"))


_SURELY_OF = frozenset(("von", "sur", "su", "out"))


_ARTICLES = frozenset(
    ("the", "my", "these", "those", "los", "las", "les", "den", "der", "dei", "delle", "i", "le")
)


def of_a_lot(found: list[Token], text: str) -> list[Token]:
    """`1 screw of the 5 M6x25`, `5 von 6`: one lot, of which something is said."""
    for at, token in enumerate(found):
        end = at + 1
        many = how_many(token)
        entry = found[end].entry if end < len(found) else None
        named = bool(entry and entry.kind)
        end += named
        if not many or end >= len(found):
            continue
        small = list(takewhile(_is_of_lot, found[end : end + 3]))
        said = " ".join(fold(one.text) for one in small).split()
        lot = found[end + len(small)] if end + len(small) < len(found) else None
        told = bool(said) and said[0] in _OF_LOT and said != ["out"]
        after = found[end + len(small) + 1] if end + len(small) + 1 < len(found) else None
        few = not named and how_many(lot) <= LIKELY_COUNT and _names_several(after)
        told = told and (said[0] in _SURELY_OF or (named and len(said) > 1) or few)
        if lot is not None and told and how_many(lot) > many:
            typed = text[token.start : lot.end]
            count = Token(
                "count", typed, token.start, lot.end, count=how_many(lot), name=f"lot {many}"
            )
            kind = [  # stands behind the count that it was in: 6 nuts out of 8
                msgspec.structs.replace(one, start=lot.end, end=lot.end)
                for one in (found[at + 1 : end] if after is None or after.kind == "join" else ())
            ]
            return [*found[:at], count, *kind, *found[end + len(small) + 1 :]]
    return found


def _names_several(token: Token | None) -> bool:
    entry = token.entry if token is not None else None
    return token is not None and bool(entry and entry.kind) and is_plural(token.text)


def _is_of_lot(token: Token) -> bool:
    words = fold(token.text).split()
    return bool(words) and all(word in _OF_LOT | _ARTICLES for word in words)


def articles(found: list[Token]) -> list[Token]:
    """The a of `2 screws and a clip`, `1 bolt + a rubber bush`: one of it."""
    made: list[Token] = []
    for at, token in enumerate(found):
        if token.kind == "phrase" and fold(token.text) in ONE and made and made[-1].kind == "join":
            rest = list(takewhile(lambda one: one.kind == "phrase", found[at + 1 : at + 3]))
            thing = next((one for one in rest if one.entry and one.entry.kind), None)
            if thing is not None and not is_plural(thing.text):
                token = Token("count", token.text, token.start, token.end, count=1, name="word")
        made.append(token)
    return made


def counts_of_sorts(found: list[Token]) -> list[Token]:
    """The 1 of `bolt x1 long M8` is no length: it counts the long one."""
    if not any(token.behind in ("long", "thick") for token in found):
        return found
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        if _counts_described(token, follower, made) and (apart := sort_apart(token)):
            made += [as_count(apart[0]), apart[1]]
            continue
        named = bool(made) and bool(made[-1].entry and made[-1].entry.kind in THREADED_KINDS)
        apart = sort_apart(token)
        few = apart is not None and token.behind == "long" and _is_few(token)
        sized = any(one.thread or one.numbers for one in made)
        listed = any(map(tells_sort, made)) and bool(made[-1].thread)
        if apart and few and listed and not token.cross:  # 1 short M6 2 long M6
            made.append(Token("join", ",", token.start, token.start, name=","))
            made += [as_count(apart[0]), apart[1]]
        elif apart and few and named and token.cross and not sized:
            made += [as_count(apart[0]), apart[1]]
        else:
            made.append(token)
    return made


def _counts_described(token: Token, follower: Token | None, before: list[Token]) -> bool:
    """The 5 of `5 thick washers`, which are several; `5 thick washer` is as thick as that."""
    many = token.numbers[0].whole if len(token.numbers) == 1 else 0
    bare = token.behind in ("thick", "long") and not token.cross and not token.numbers[0].unit
    entry = follower.entry if follower is not None else None
    several = entry is not None and bool(entry.kind)
    several = several and (many == 1 or is_plural(follower.text if follower else ""))
    sized = bool(before) and bool(before[-1].thread or how_many(before[-1]))
    typed = re.fullmatch(r"[0-9]{1,2}\s[^\W\d_]+", token.text) is not None
    return typed and bare and several and not sized and 0 < many <= LIKELY_COUNT


def numbered_counts(found: list[Token]) -> list[Token]:
    """The n. 4 of `n. 4 viti M6` counts them, where they go by no number."""
    if not any(token.kind == "gauge" for token in found):
        return found
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        entry = follower.entry if follower is not None else None
        several = entry and entry.kind and entry.kind not in NUMBERED and is_plural(follower.text)
        opens = not made or made[-1].kind == "join"
        typed = re.fullmatch(r"n[ro]?[.°º]?\s?([0-9]{1,2})", token.text, re.IGNORECASE)
        if token.kind == "gauge" and several and opens and typed and entry and entry.foreign:
            token = Token("count", token.text, token.start, token.end, count=int(typed[1]))
        made.append(token)
    return made


def counted_again(found: list[Token]) -> list[Token]:
    """The 2 of `2 stroke pump bolts x3` counts nothing: an unread word stands behind it, and
    a count that is sure comes later."""
    made: list[Token] = []
    for at, token in enumerate(found):
        before = made[-1] if made else None
        opens = len(made) < 2 or made[-2].kind == "join"
        if (
            before is not None
            and opens
            and before.numbers
            and how_many(before)
            and is_unread(token)
        ):
            rest = list(takewhile(lambda one: one.kind != "join", found[at + 1 :]))
            if any(one.kind == "count" and one.name != "word" for one in rest):
                text = f"{before.text} {token.text}"
                made[-1] = Token("word", text, before.start, token.end)
                continue
        made.append(token)
    return made


#: Behind a number they say of what sort a part of the machine is: a 3 jaw chuck.
_SO_MANY_OF_A_PART = frozenset(("jaw", "speed", "stroke", "pole", "phase", "gang"))
_MAYBE = frozenset(("maybe", "perhaps", "possibly", "vielleicht", "forse", "quiza", "quizas"))
#: No two counts of the same pieces are further apart.
_NEAR = 3


def counts_of_nothing(found: list[Token], text: str) -> list[Token]:
    """The 3 of `3 jaw chuck` counts no bolts, and the 10 of `9 bolts? maybe 10` is no length."""
    if (_SO_MANY_OF_A_PART | _MAYBE).isdisjoint(fold(token.text) for token in found):
        return found
    made: list[Token] = []
    counted = 0
    for token in found:
        before, many = made[-1] if made else None, how_many(token)
        part = before is not None and how_many(before) and fold(token.text) in _SO_MANY_OF_A_PART
        maybe = before is not None and fold(before.text) in _MAYBE
        again = maybe and many and 0 < abs(many - counted) <= _NEAR
        if before is not None and (part or again):
            made[-1] = Token("word", text[before.start : token.end], before.start, token.end)
        else:
            made.append(token)
            counted = counted or many
    return made


def counted_less(found: list[Token]) -> list[Token]:
    """`a dozen less one`, which are eleven."""
    made: list[Token] = []
    for token in found:
        many = how_many(token)
        if len(made) > 1 and fold(made[-1].text) in _LESS and 0 < many < how_many(made[-2]):
            first, less = made[-2:]
            left = how_many(first) - many
            text = f"{first.text} {less.text} {token.text}"
            made[-2:] = [Token("count", text, first.start, token.end, count=left, name="word")]
        else:
            made.append(token)
    return made


_SUM = re.compile(r"[1-9][0-9]?(?:\s?\+\s?[1-9][0-9]?)+(?=\s[^\W\d_])")


def counted_sums(found: list[Token], text: str) -> list[Token]:
    """`4+4 M5 nyloc` are eight, and so are the balls of `lock nut, 4 + 4 balls`."""
    made: list[Token] = []
    for at, token in enumerate(found):
        if made and token.start < made[-1].end:
            continue  # inside the sum
        opens = not made or made[-1].name in (",", ":", "-", ";", ".")
        typed = _SUM.match(text, token.start) if opens and how_many(token) else None
        behind = [one for one in found[at:] if typed and one.start >= typed.end()]
        if typed and (not made or _is_plural_kind(behind)):
            many = sum(map(int, re.findall(r"[0-9]+", typed[0])))
            token = Token("count", typed[0], typed.start(), typed.end(), count=many, name="word")
        made.append(token)
    return made


def _is_plural_kind(behind: Sequence[Token]) -> bool:
    """Whether a clause begins with what several of it are called, or a few words before that."""
    clause = takewhile(lambda one: one.kind in ("phrase", "word"), behind[:4])
    kind = next((one for one in clause if one.entry and one.entry.kind), None)
    return kind is not None and is_plural(kind.text)


#: How many of them are which, in brackets.
_SOME_SORT = re.compile(r"([1-9])\s([^\W\d_]+)")


def _with_some(found: list[Token]) -> list[Token]:
    """The 4 of `clamp bolts 4 (2 long)` counts them; the brackets say which two."""
    made: list[Token] = []
    for at, token in enumerate(found):
        some = _SOME_SORT.fullmatch(token.name) if token.kind == "place" and at > 1 else None
        many, named = (made[-1], found[at - 2]) if some else (None, None)
        sort = some is not None and fold(some[2]) in bench_words("sort")
        plural = named is not None and named.entry is not None and bool(named.entry.kind)
        plural = plural and named is not None and is_plural(named.text)
        count = how_many(many) if many is not None and many.kind == "numbers" else 0
        if some is not None and many is not None and sort and plural and count > int(some[1]):
            made[-1] = msgspec.structs.replace(many, kind="count", numbers=(), count=count)
            token = Token("word", token.text, token.start, token.end)
        made.append(token)
    return made


def bracketed_counts(found: list[Token]) -> list[Token]:
    """`M6: 45(4) 55(2) 70(1)`: lengths with their counts in brackets are pairs."""
    found = _with_some(found)
    pairs = [
        at
        for at in range(len(found) - 1)
        if found[at].numbers
        and how_many(found[at])
        and found[at + 1].kind == "place"
        and count_alone(found[at + 1].name)
    ]
    if len(pairs) < 2 or not any(token.thread for token in found):
        return found
    made: list[Token] = []
    for at, token in enumerate(found):
        if at in pairs:
            count = count_alone(found[at + 1].name)
            numbers = (Number(Fraction(count), str(count), ""), token.numbers[0])
            text = f"{count} x {token.text}"
            end = found[at + 1].end
            made.append(msgspec.structs.replace(token, text=text, end=end, numbers=numbers))
        elif at - 1 not in pairs:
            made.append(token)
    return made


def counts_apart(found: list[Token]) -> list[Token]:
    """The 1 of `collar on countershaft 1 sq hd set screw` begins another thing, and so does the
    four of `clamps four skt hd M6x25`: what it counts is of another kind."""
    made: list[Token] = []
    kind = ""
    for at, token in enumerate(found):
        if token.kind == "join":
            kind = ""
        pin_nut = kind.endswith("pin") and token.entry is not None and token.entry.kind == "nut"
        ring = (kind in _LONG and _begins_ring(found, at)) or _is_ring_behind_screws(found, at)
        if ring or (pin_nut and made[-1].kind != "join"):
            made.append(Token("join", ",", token.start, token.start, name=","))
            kind = ""
        if token.kind == "numbers" and _counts_looks(found, at):
            many = how_many(token)
            token = msgspec.structs.replace(token, kind="count", numbers=(), count=many)
        other = _counted_kind(found, at) if kind and how_many(token) and not token.cross else ""
        if other and other != kind and made[-1].kind != "join":
            made.append(Token("join", ",", token.start, token.start, name=","))
            kind, many = "", how_many(token)
            token = msgspec.structs.replace(token, kind="count", numbers=(), count=many)
        if token.entry is not None and token.entry.kind:
            kind = token.entry.kind
        elif token.thread is not None and not kind and made and how_many(made[-1]):
            kind = "screw"  # 5 M6 3 self tappers
        made.append(token)
    return made


#: What has a length behind its thread.
_LONG = frozenset(("bolt", "screw", "stud", "set screw"))
#: Rings that are named right behind a bolt.
_BEHIND_BOLTS = frozenset(("bush", "grommet", "seal", "O-ring", "bearing", "spring"))


def _is_ring_behind_screws(found: list[Token], at: int) -> bool:
    """The rubber grommets of `3 screws rubber grommets` are other things than the screws."""
    before = found[at - 1] if at else None
    if before is None or before.entry is None or before.entry.kind not in _LONG:
        return False
    ring = _named_behind_material(found, at)
    both = ring is not None and is_plural(ring.text) and is_plural(before.text)
    return both and _kind_of(ring) in ("grommet", "spacer", "bush", "O-ring", "seal")


def _begins_ring(found: list[Token], at: int) -> bool:
    """The rubber bush of `1 bolt M6x30 rubber bush` is another thing."""
    before = found[at - 1] if at > 1 else None
    if before is None or before.cross != "tight" or found[at - 2].thread is None:
        return False
    return _kind_of(_named_behind_material(found, at)) in _BEHIND_BOLTS


def _named_behind_material(found: list[Token], at: int) -> Token | None:
    """The grommets of `rubber grommets`, the bush of `bush`: what is named from here on."""
    entry = found[at].entry
    only_material = entry is not None and bool(entry.material) and not entry.kind
    named = found[at + only_material : at + only_material + 1]
    return named[0] if named else None


def _kind_of(token: Token | None) -> str:
    return token.entry.kind if token is not None and token.entry is not None else ""


#: They are called as one another.
_SCREWS = frozenset(("other", "screw", "bolt", "stud"))
#: So many words may stand between a count and what it counts: 1 sq hd set screw.
_BETWEEN = 3


def _counts_looks(found: list[Token], at: int) -> bool:
    """The 1 of `axle nut, 1 csk screw`, behind a comma and before how what it counts looks."""
    joined = at > 1 and found[at - 1].kind == "join" and found[at - 1].name != ":"
    if not joined or not 0 < how_many(found[at]) <= LIKELY_COUNT or found[at].behind:
        return False
    behind = [*takewhile(lambda one: one.kind != "join", found[at + 1 : at + 1 + _BETWEEN])]
    looks = behind[0].entry if behind else None
    named = any(one.entry is not None and one.entry.kind for one in behind[1:])
    described = looks is not None and bool(looks.head or looks.drive) and not looks.kind
    return described and named and any(one.entry and one.entry.kind for one in found[: at - 1])


def _counted_kind(found: list[Token], at: int) -> str:
    """The kind of what a count stands before, behind what says how it looks; else empty.

    Where a figure follows it, all counts may stand behind: `pawls 4 pins 4`.
    """
    for i in range(at + 1, min(at + 1 + _BETWEEN, len(found))):
        token = found[i]
        if token.thread is not None and i > at + 1:
            return "screw"
        entry = token.entry
        if entry is None or entry.opens:
            return ""
        if entry.kind:
            behind = found[i + 1] if i + 1 < len(found) else None
            several = is_plural(token.text) == (how_many(found[at]) > 1)
            other = several and how_many(found[at]) <= LIKELY_COUNT and entry.kind not in _SCREWS
            return entry.kind if other and not how_many(behind) else ""
        if not (entry.head or entry.drive or entry.material or entry.noise):
            return ""
    return ""


_TWO_SIZES = 2


def counted_times(found: list[Token]) -> list[Token]:
    """The x 2 of `wheel nut 17mm x 2` counts: no size is followed by one so much smaller."""
    if not any(len(token.numbers) == _TWO_SIZES and token.numbers[0].unit for token in found):
        return found
    if any(token.entry and token.entry.kind in RINGS for token in found):
        return found
    made: list[Token] = []
    for token in found:
        split = re.fullmatch(r"([0-9]{1,2}\s?mm)\s?(x\s?([1-9][0-9]?))", token.text, re.IGNORECASE)
        size = token.numbers[0].value if token.numbers else Fraction(0)
        if (
            split
            and len(token.numbers) == 2
            and int(split[3]) <= LIKELY_COUNT
            and int(split[3]) < size
        ):
            end = token.start + len(split[1])
            begin = token.start + split.start(2)
            one = msgspec.structs.replace(
                token, text=split[1], end=end, numbers=token.numbers[:1], behind=""
            )
            many = int(split[3])
            count = Token("count", split[2], begin, token.end, count=many, cross="spaced")
            made += [one, count]
        else:
            made.append(token)
    return made


def _is_each(token: Token) -> bool:
    *_, last = fold(token.text).split() or [""]
    return last in bench_words("each")


def counts_each(token: Token) -> bool:
    said = fold(token.text)
    return _is_each(token) or said in bench_words("set") or said in bench_words("per")


def counted_each(found: list[Token]) -> list[Token]:
    """`2 each`, `one of each`, `je 2` are one count; `2 each side` is a count and a place."""
    made: list[Token] = []
    at = 0
    while at < len(found):
        used, token = _each_at(found, at)
        made.append(token)
        at += used
    return made


def _each_at(found: list[Token], at: int) -> tuple[int, Token]:
    """How many tokens the count there takes, and the token that stands for them."""
    token = found[at]
    number, used = how_many(token), 0
    follower, after = (found[i] if i < len(found) else None for i in (at + 1, at + 2))
    if number and follower is not None:
        if _says(follower, "set") and not follower.count and _is_several(follower, number):
            return 2, _merged(token, follower, "sets", number)
        per = _says(follower, "per") or fold(follower.text) in ("a", "an")  # two a side
        if after is not None and per and _says(after, "pair of sides"):
            text = f"{token.text} {follower.text} {after.text}"
            return 3, _merged(token, after, "per side", number, text)
    if number and token.kind == "count" and _is_each(token):
        used = 1
    elif number and follower is not None and _is_each(follower) and not follower.count:
        used = 2
    elif fold(token.text) in ("je", "jeweils"):
        number = how_many(follower)
        used = 2 if number else 0
        one_side = follower is not None and fold(follower.text) in ("seite", "ende")
        if one_side and after is not None and how_many(after):
            text = f"{token.text} {follower.text} {after.text}" if follower else token.text
            return 3, _merged(token, after, "per side", how_many(after), text)
    if not used:
        return 1, token
    last = found[at + used - 1]
    side = found[at + used] if at + used < len(found) else None
    if side is not None and _says(side, "pair of sides"):
        text = " ".join(one.text for one in found[at : at + used + 1])
        return used + 1, _merged(token, side, "per side", number, text)
    return used, _merged(token, last, "each", number)


def _says(token: Token, role: str) -> bool:
    return fold(token.text) in bench_words(role)


def _is_several(token: Token, number: int) -> bool:
    """The sets of `2 sets`, where `2 set screws` are no sets."""
    return number == 1 or fold(token.text)[-1:] in "sxez"


def _merged(first: Token, last: Token, name: str, count: int, text: str = "") -> Token:
    text = text or " ".join(dict.fromkeys((first.text, last.text)))
    return Token("count", text, first.start, last.end, count=count, name=name)


def hedged(found: list[Token]) -> list[Token]:
    """The approx of `M6 x approx 20` is set before its cross, so that it parts no size."""
    made: list[Token] = []
    for at, token in enumerate(found):
        hedge = made[-1] if made else None
        cross = made[-2] if len(made) > 1 else None
        if (
            token.numbers
            and not token.cross
            and hedge is not None
            and fold(hedge.text) in bench_words("hedge")
            and cross is not None
            and fold(cross.text) == "x"
            and at
        ):
            made[-2:] = [hedge]
            token = msgspec.structs.replace(token, cross="spaced")
        made.append(token)
    return made


def parted(found: list[Token]) -> list[Token]:
    """Cuts the 3 long of "3 long, 1 short", which is a count, from the 20 long of M6 20 long."""
    if not any(token.behind in ("long", "thick") for token in found):
        return found
    parted: list[Token] = []
    diameter = 0.0
    listed = any(tells_sort(token) for token in found)  # 20 long, 16 short
    for token, follower in zip_longest(found, found[1:]):
        if token.thread is not None and token.thread.thread is not None:
            diameter = token.thread.thread.diameter_mm
        elif len(token.numbers) == 1 and token.numbers[0].unit and not token.behind:
            diameter = float(token.numbers[0].value)
        apart = sort_apart(token)
        if apart and token.behind == "long" and token.cross and listed and _is_few(token):
            parted += [as_count(apart[0]), apart[1]]  # x6 long, x2 short
            continue
        opens = not parted or parted[-1].kind == "join" or tells_sort(parted[-1])
        several = bool(parted) and follower is not None and _is_plural_kind([follower])
        thick = token.behind == "thick" and (listed or several) and opens and _is_few(token)
        many = apart[0].numbers[0].whole if apart and not token.cross else 0
        long = token.behind == "long" and (not diameter or many <= diameter)
        if apart and many and (thick or (long and _may_count(many, parted, listed))):
            parted += apart  # 3 thick, 2 thin
        else:
            parted.append(token)
    return parted


def _is_few(token: Token) -> bool:
    return len(token.numbers) == 1 and 0 < token.numbers[0].whole <= LIKELY_COUNT


def _may_count(number: int, before: Sequence[Token], listed: bool) -> bool:
    """Whether the 3 of `3 long` may be how many, by what stands before it."""
    if number > LIKELY_COUNT and not listed:
        return False  # bolt, 40 long
    if not before or before[-1].kind == "join":
        return True
    entry = before[-1].entry
    if entry and entry.kind and not entry.foreign and not is_plural(before[-1].text):
        return False  # spacer 12 long
    return number <= LIKELY_COUNT and before[-1].kind != "numbers"
