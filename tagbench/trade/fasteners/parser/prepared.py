"""Tokens prepared for the parser: what two or three of them say together becomes one of its own."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise, takewhile, zip_longest

import msgspec

from tagbench.trade.fasteners.parser.remarks import is_unread, with_remarks
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Number, Token, count_alone, shown_size
from tagbench.trade.fasteners.vocabulary import (
    NUMBERED,
    PARTS_LIKE_HEADS,
    RINGS,
    THREADED_KINDS,
    PhraseMeaning,
    bench_words,
    fold,
    look_up,
)

#: No shim is thicker, in mm, and none is so small across.
_THICKEST_SHIM = 3
#: More than so many of one length are not listed by their length.
_LIKELY_COUNT = 12
_LEFT = frozenset(("lh", "lhs", "l/h"))
_RIGHT = frozenset(("rh", "rhs", "r/h"))
_PLACE = PhraseMeaning(place=True)
_THING = PhraseMeaning(kind="other")


def prepared(found: list[Token], text: str) -> list[Token]:
    """The tokens with counts for each, hands, and sizes in a row told from one another."""
    found = _counts_of_sorts(_soft_washers(_articles(found)))
    found = _washers_alone(_lengths_behind_sorts(_lengths_before_heads(found)))
    found = _numbered_counts(_named_first(_of_a_lot(_named_after_fasteners(found), text)))
    found = with_remarks(_counted_again(_added(_less(found), text)), text)
    found = _bracketed_counts(_sizes(_prepositions(_hex_keys(found))))
    found = _rubbers(_nipples(_hands(_parted(found))))
    if any(token.kind == "join" for token in found):
        found = _shared_nouns(found)
    if any(map(_counts_each, found)):
        found = _each(found)
    found = _times(_hedged(found))
    if any(token.entry and token.entry.kind in RINGS for token in found):
        found = _rings(found)
    if any(token.cross and "/" in token.text for token in found):
        found = _count_before_fraction(found)
    if any(token.many for token in found):
        found = _counted_sizes(found)
    return found


#: A part that is named after what sits in it or on it.
_NAMED_AFTER = frozenset(
    ("bearing", "seal", "gasket", "spring", "clip", "circlip", "bush", "shim", "washer", "pin")
)
_HOLDING = frozenset(("clamp", "clip", "hose clip", "spring", "bearing", "seal", "gasket"))
_HOLDERS = frozenset(
    ("carrier", "retainer", "housing", "plate", "cap", "cover", "flange", "holder", "block",
     "boss", "seat", "bracket", "hanger", "perch", "support", "mount", "recess", "pocket", "face",
     "box", "keeper", "post", "tower", "cup")
)  # fmt: skip


def _named_after_fasteners(found: list[Token]) -> list[Token]:
    """The bearing carrier of `4 M6x16 bearing carrier` is where they sat, and no bearing; so is the
    clamp of `exhaust clamp M8x45`, since no clamp has a thread and a length."""
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        clamped = token.kind == "thread" and follower is not None and bool(follower.cross)
        dashed = len(made) > 1 and made[-1].kind == "join" and made[-1].text.strip() in ("-", ":")
        holder = made[-2] if dashed else made[-1] if made else None
        if clamped and holder is not None and holder.entry and holder.entry.kind in _HOLDING:
            at = -2 if dashed else -1
            made[at] = msgspec.structs.replace(holder, name=holder.text, entry=_PLACE)
        before = made[-1] if made else None
        kind = before.entry.kind if before is not None and before.entry else ""
        if (
            before is not None
            and kind.split(" ")[-1] in _NAMED_AFTER
            and fold(token.text) in _HOLDERS
        ):
            others = (one for one in found if one not in (token, before))
            named = any(one.thread or (one.entry and one.entry.kind) for one in others)
            if named and not is_plural(before.text):
                text = f"{before.text} {token.text}"
                made[-1] = Token("phrase", text, before.start, token.end, name=text, entry=_PLACE)
                continue
        made.append(token)
    return made


_LESS = frozenset(("less", "minus", "weniger", "moins", "menos", "meno"))


_OF_LOT = frozenset(("of", "de", "von", "di", "sur", "su", "da"))
_SURELY_OF = frozenset(("von", "sur", "su"))
_ARTICLES = frozenset(
    ("the", "my", "these", "those", "los", "las", "les", "den", "der", "dei", "delle", "i", "le")
)


def _of_a_lot(found: list[Token], text: str) -> list[Token]:
    """`1 screw of the 5 M6x25`, `5 von 6`: one lot, of which something is said."""
    for at, token in enumerate(found):
        end = at + 1
        many = _number(token)
        entry = found[end].entry if end < len(found) else None
        named = bool(entry and entry.kind)
        end += named
        if not many or end >= len(found):
            continue
        small = list(takewhile(_is_of_lot, found[end : end + 3]))
        said = " ".join(fold(one.text) for one in small).split()
        lot = found[end + len(small)] if end + len(small) < len(found) else None
        told = bool(said) and said[0] in _OF_LOT
        after = found[end + len(small) + 1] if end + len(small) + 1 < len(found) else None
        few = not named and _number(lot) <= _LIKELY_COUNT and _names_several(after)
        told = told and (said[0] in _SURELY_OF or (named and len(said) > 1) or few)
        if lot is not None and told and _number(lot) > many:
            typed = text[token.start : lot.end]
            count = Token(
                "count", typed, token.start, lot.end, count=_number(lot), name=f"lot {many}"
            )
            return [*found[:at], count, *found[end + len(small) + 1 :]]
    return found


def _names_several(token: Token | None) -> bool:
    entry = token.entry if token is not None else None
    return token is not None and bool(entry and entry.kind) and is_plural(token.text)


def _is_of_lot(token: Token) -> bool:
    words = fold(token.text).split()
    return bool(words) and all(word in _OF_LOT | _ARTICLES for word in words)


def _lengths_behind_sorts(found: list[Token]) -> list[Token]:
    """The 50 of `1 largo 50` is how long it is: no lot is so many."""
    made: list[Token] = []
    for token in found:
        before = made[-1] if made else None
        sort = before is not None and fold(before.text) in _LONG_WORDS
        alone = _number(token) > _LIKELY_COUNT and token.kind == "numbers"
        made.append(msgspec.structs.replace(token, behind="long") if sort and alone else token)
    return made


_LONG_WORDS = frozenset(
    ("largo", "larga", "corto", "corta", "lungo", "lunga", "lang", "kurz", "longue", "court",
     "courte", "short")
)  # fmt: skip
_WASHERS = frozenset(("flat", "lock", "star", "fender"))


#: Of these alone are the washers of a banjo or a plug: + 2 copper.
_SOFT = {"copper", "fibre", "fiber", "aluminium", "aluminum", "ali", "cu"}


def _soft_washers(found: list[Token]) -> list[Token]:
    """The copper of `banjo M10x1 + 2 copper` is a washer."""
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        ends = follower is None or follower.kind == "join"
        counted = len(made) > 1 and bool(_number(made[-1])) and made[-2].kind == "join"
        if ends and counted and fold(token.text) in _SOFT:
            said = look_up((fold(token.text), "washer"))
            if said is not None and said[0] > 1:
                words = f"{token.text} washer"
                token = msgspec.structs.replace(token, name=words, entry=said[1])
        made.append(token)
    return made


#: Behind a joining word they count one more thing.
_A = frozenset(("a", "an", "ein", "eine", "un", "une", "una", "uno"))


def _articles(found: list[Token]) -> list[Token]:
    """The a of `2 screws and a clip`, `1 bolt + a rubber bush`: one of it."""
    made: list[Token] = []
    for at, token in enumerate(found):
        if token.kind == "phrase" and fold(token.text) in _A and made and made[-1].kind == "join":
            rest = list(takewhile(lambda one: one.kind == "phrase", found[at + 1 : at + 3]))
            thing = next((one for one in rest if one.entry and one.entry.kind), None)
            if thing is not None and not is_plural(thing.text):
                token = Token("count", token.text, token.start, token.end, count=1, name="word")
        made.append(token)
    return made


def _counts_of_sorts(found: list[Token]) -> list[Token]:
    """The 1 of `bolt x1 long M8` is no length: it counts the long one."""
    made: list[Token] = []
    for token in found:
        named = bool(made) and bool(made[-1].entry and made[-1].entry.kind in THREADED_KINDS)
        many = token.numbers[0].whole if len(token.numbers) == 1 else 0
        few = 0 < many <= _LIKELY_COUNT and token.cross and token.behind == "long"
        typed = re.fullmatch(r"(x\s?[0-9]+)\s(\w+)", token.text, re.IGNORECASE)
        sized = any(one.thread or one.numbers for one in made)
        again = re.fullmatch(r"([0-9]+)\s(\w+)", token.text) if not token.cross else None
        listed = any(map(tells_sort, made)) and bool(made[-1].thread) and token.behind == "long"
        if again and listed and 0 < many <= _LIKELY_COUNT and not token.numbers[0].unit:
            # 1 short M6 2 long M6
            end = token.start + again.end(1)
            made.append(Token("join", ",", token.start, token.start, name=","))
            made.append(Token("count", again[1], token.start, end, count=many))
            made.append(Token("phrase", again[2], end + 1, token.end, entry=_PLACE))
        elif named and few and typed and not sized and not token.numbers[0].unit:
            end = token.start + typed.end(1)
            count = Token("count", typed[1], token.start, end, count=many, cross="spaced")
            made += [count, Token("phrase", typed[2], end + 1, token.end, entry=_PLACE)]
        else:
            made.append(token)
    return made


def _washers_alone(found: list[Token]) -> list[Token]:
    """The flat of `(4) 3/8" flat, (4) 3/8" lock` is a washer."""
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        ends = follower is None or follower.kind == "join"
        sized = bool(made) and bool(made[-1].numbers) and not _number(made[-1])
        said = look_up((fold(token.text), "washer")) if ends and sized else None
        if said is not None and said[0] > 1 and fold(token.text) in _WASHERS:
            words = f"{token.text} washer"
            token = msgspec.structs.replace(token, kind="phrase", name=words, entry=said[1])
        made.append(token)
    return made


def _lengths_before_heads(found: list[Token]) -> list[Token]:
    """The 16mm of `M5 16mm hex hd` is a length: behind a thread it is no spanner's size."""
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


def _named_first(found: list[Token]) -> list[Token]:
    """The pan of `pan 16 bolts M6` is the sump, and no head of the bolts."""
    for at, (token, many, named) in enumerate(zip(found, found[1:], found[2:], strict=False)):
        entry, kind = token.entry, named.entry
        head = entry is not None and bool(entry.head) and not entry.kind
        if head and many.name == ":" and fold(token.text) in PARTS_LIKE_HEADS and not at:
            return [msgspec.structs.replace(token, entry=_PLACE), *found[1:]]
        if head and _number(many) and kind and kind.kind:
            place = Token("phrase", " ".join(one.text for one in found[: at + 1]), found[0].start,
                          token.end, entry=_PLACE)  # fmt: skip
            return [place, *found[at + 1 :]]
        if token.kind != "word" and not (entry and entry.place):
            break
    return found


def _numbered_counts(found: list[Token]) -> list[Token]:
    """The n. 4 of `n. 4 viti M6` counts them, where they go by no number."""
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


def _counted_again(found: list[Token]) -> list[Token]:
    """The 2 of `2 stroke pump bolts x3` counts nothing: an unread word stands behind it, and
    a count that is sure comes later."""
    made: list[Token] = []
    for at, token in enumerate(found):
        before = made[-1] if made else None
        opens = len(made) < 2 or made[-2].kind == "join"
        if before is not None and opens and before.numbers and _number(before) and is_unread(token):
            rest = list(takewhile(lambda one: one.kind != "join", found[at + 1 :]))
            if any(one.kind == "count" and one.name != "word" for one in rest):
                text = f"{before.text} {token.text}"
                made[-1] = Token("word", text, before.start, token.end)
                continue
        made.append(token)
    return made


def _less(found: list[Token]) -> list[Token]:
    """`a dozen less one`, which are eleven."""
    made: list[Token] = []
    for token in found:
        many = _number(token)
        if len(made) > 1 and fold(made[-1].text) in _LESS and 0 < many < _number(made[-2]):
            first, less = made[-2:]
            left = _number(first) - many
            text = f"{first.text} {less.text} {token.text}"
            made[-2:] = [Token("count", text, first.start, token.end, count=left, name="word")]
        else:
            made.append(token)
    return made


_SUM = re.compile(r"[1-9][0-9]?(?:\s?\+\s?[1-9][0-9]?)+(?=\s[^\W\d_])")


def _added(found: list[Token], text: str) -> list[Token]:
    """`4+4 M5 nyloc` are eight."""
    typed = _SUM.match(text, found[0].start) if found else None
    if typed is None:
        return found
    rest = [token for token in found if token.start >= typed.end()]
    many = sum(map(int, re.findall(r"[0-9]+", typed[0])))
    return [Token("count", typed[0], typed.start(), typed.end(), count=many, name="word"), *rest]


def _shared_nouns(found: list[Token]) -> list[Token]:
    """The flat of `flat and spring washers` is a flat washer: the noun stands behind the last."""
    made = list(found)
    for at in range(len(found) - 3, -1, -1):
        first, join, last = made[at], made[at + 1], made[at + 2]
        counted = bool(_number(last)) and at + 3 < len(made)
        if counted:  # 4 plain, 4 spring washers
            last = made[at + 3]
        if (
            first.kind == "join"
            or join.kind != "join"
            or join.name == ":"
            or not (last.entry and last.entry.kind)
        ):
            continue
        if first.entry and (first.entry.kind or first.entry.place or first.entry.material):
            continue
        if (join.name == "+" and not counted) or (
            at and made[at - 1].kind not in ("count", "numbers", "join")
        ):
            continue
        noun = (fold(last.text).split() or [""])[-1]
        both = (*fold(first.text).split(), noun)
        said = look_up(both) if len(both) < 4 else None
        if said is not None and said[0] == len(both) and said[1].kind:
            name = f"{first.text} {last.text.split()[-1]}"
            made[at] = msgspec.structs.replace(first, kind="phrase", name=name, entry=said[1])
    return made


def _sizes(found: list[Token]) -> list[Token]:
    """The 3 of `3 sizes of M6` counts no pieces."""
    made: list[Token] = []
    for token in found:
        before = made[-1] if made else None
        if _number(before) and fold(token.text) in bench_words("sizes") and before is not None:
            text = f"{before.text} {token.text}"
            made[-1] = Token("word", text, before.start, token.end)
        else:
            made.append(token)
    return made


def _bracketed_counts(found: list[Token]) -> list[Token]:
    """`M6: 45(4) 55(2) 70(1)`: lengths with their counts in brackets are pairs."""
    pairs = [
        at
        for at in range(len(found) - 1)
        if found[at].numbers
        and _number(found[at])
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


def _prepositions(found: list[Token]) -> list[Token]:
    """The in of `M4x4 in kill switch` is no inch: no metric screw is that long in inches."""
    made: list[Token] = []
    for at, token in enumerate(found):
        before = made[-1] if made else None
        thread = before.thread.thread if before is not None and before.thread else None
        follower = found[at + 1] if at + 1 < len(found) else None
        typed = re.fullmatch(r"(x?\s?[0-9]+)\s(in)", token.text, re.IGNORECASE)
        goes_on = follower is not None and (
            follower.kind == "word" or bool(follower.entry and follower.entry.place)
        )
        metric = thread is not None and thread.system == "ISO metric"
        placed = follower is not None and bool(follower.entry and follower.entry.place)
        if typed and ((metric and goes_on) or (placed and token.numbers[0].value > 6)):
            number = Number(token.numbers[0].value, token.numbers[0].text, "")
            end = token.start + len(typed[1])
            made.append(msgspec.structs.replace(token, text=typed[1], end=end, numbers=(number,)))
            made.append(
                Token("phrase", typed[2], end + 1, token.end, entry=PhraseMeaning(opens=True))
            )
        else:
            made.append(token)
    return made


def _hex_keys(found: list[Token]) -> list[Token]:
    """The .050 key of `6-32 set screw, .050 key` is what turns it, and so is the `key 3`."""
    if len(found) > 2 and found[2].kind == "join" and _is_allen(found[1]):
        first, allen = found[:2]
        if len(first.numbers) == 1 and (first.numbers[0].unit or "/" in first.text):
            name = f"hex key {shown_size(first.numbers[0])}"  # 4mm allen, 3 screws
            text = f"{first.text} {allen.text}"
            found = [Token("tool", text, first.start, allen.end, name=name), *found[2:]]
    made: list[Token] = []
    turned = False
    for token in found:
        before = made[-1] if made else None
        entry = token.entry
        turned = turned or bool(
            entry and (entry.kind == "set screw" or entry.head in ("grub", "socket"))
        )
        opens = len(made) > 1 and made[-2].kind == "join"
        named = before is not None and opens and _is_allen(before)
        size = before if _is_key(token) else token if _is_key(before) or named else None
        if turned and before and size and len(size.numbers) == 1 and not size.cross:
            name = f"hex key {shown_size(size.numbers[0])}"
            text = f"{before.text} {token.text}"
            made[-1] = Token("tool", text, before.start, token.end, name=name)
        else:
            made.append(token)
    return made


def _is_allen(token: Token) -> bool:
    return fold(token.text) in ("allen", "inbus", "brugola")


def _is_key(token: Token | None) -> bool:
    return token is not None and token.entry is not None and fold(token.text) == "key"


def _nipples(found: list[Token]) -> list[Token]:
    """Beside spokes a nipple is theirs."""
    if not any(token.entry and token.entry.kind == "spoke" for token in found):
        return found
    said = PhraseMeaning(kind="spoke nipple")
    return [
        msgspec.structs.replace(token, kind="phrase", name=f"spoke {token.text}", entry=said)
        if fold(token.text) in ("nipple", "nipples", "nippel")
        else token
        for token in found
    ]


def _times(found: list[Token]) -> list[Token]:
    """The x 2 of `wheel nut 17mm x 2` counts: no size is followed by one so much smaller."""
    if any(token.entry and token.entry.kind in RINGS for token in found):
        return found
    made: list[Token] = []
    for token in found:
        split = re.fullmatch(r"([0-9]{1,2}\s?mm)\s?(x\s?([1-9][0-9]?))", token.text, re.IGNORECASE)
        size = token.numbers[0].value if token.numbers else Fraction(0)
        if (
            split
            and len(token.numbers) == 2
            and int(split[3]) <= _LIKELY_COUNT
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


_RUBBERS = frozenset(("rubber", "rubbers", "gummi", "gummis", "caoutchoucs", "gomas", "gomme"))


def _rubbers(found: list[Token]) -> list[Token]:
    """The rubber of `1 nut 1 rubber` is a thing, since nothing behind it is made of it."""
    made: list[Token] = []
    for at, token in enumerate(found):
        follower = found[at + 1] if at + 1 < len(found) else None
        alone = not any(one.entry and one.entry.kind for one in found[at + 1 :])
        ends = follower is None or follower.kind == "join"
        if ends and fold(token.text) in _RUBBERS and made and _number(made[-1]):
            token = msgspec.structs.replace(token, entry=_PLACE if alone else _THING)
        made.append(token)
    return made


def _hands(found: list[Token]) -> list[Token]:
    """LH beside an RH is a side, and neither a thread nor a round head."""
    said = {word for token in found for word in fold(token.text).split()}
    heads = {fold(one.text) for one, other in pairwise(found) if other.name == ":"}
    if not (said & _LEFT and said & _RIGHT) and not heads & (_LEFT | _RIGHT):
        return found
    return [
        msgspec.structs.replace(token, kind="phrase", entry=_PLACE)
        if fold(token.text) in _LEFT | _RIGHT
        else token
        for token in found
    ]


def _is_each(token: Token) -> bool:
    *_, last = fold(token.text).split() or [""]
    return last in bench_words("each")


def _number(token: Token | None) -> int:
    """How many a lone figure or count may say; 0 for any other token."""
    if token is None:
        return 0
    if token.count:
        return token.count
    alone = len(token.numbers) == 1 and not token.behind and not token.cross
    return token.numbers[0].whole if alone else 0


def _counts_each(token: Token) -> bool:
    said = fold(token.text)
    return _is_each(token) or said in bench_words("set") or said in bench_words("per")


def _each(found: list[Token]) -> list[Token]:
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
    number, used = _number(token), 0
    follower, after = (found[i] if i < len(found) else None for i in (at + 1, at + 2))
    if number and follower is not None:
        if _says(follower, "set") and not follower.count and _is_several(follower, number):
            return 2, _merged(token, follower, "sets", number)
        if after is not None and _says(follower, "per") and _says(after, "pair of sides"):
            text = f"{token.text} {follower.text} {after.text}"
            return 3, _merged(token, after, "per side", number, text)
    if number and token.kind == "count" and _is_each(token):
        used = 1
    elif number and follower is not None and _is_each(follower) and not follower.count:
        used = 2
    elif fold(token.text) in ("je", "jeweils"):
        number = _number(follower)
        used = 2 if number else 0
        one_side = follower is not None and fold(follower.text) in ("seite", "ende")
        if one_side and after is not None and _number(after):
            text = f"{token.text} {follower.text} {after.text}" if follower else token.text
            return 3, _merged(token, after, "per side", _number(after), text)
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


def _hedged(found: list[Token]) -> list[Token]:
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


def _count_before_fraction(found: list[Token]) -> list[Token]:
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


def _counted_sizes(found: list[Token]) -> list[Token]:
    """The 1 of `1 x 8mm circlip`, which no circlip is wide; the 2 of `2 x 1/4 washers`."""
    made: list[Token] = []
    rings = any(token.entry and token.entry.kind == "circlip" for token in found)
    shims = any(
        token.entry and token.entry.kind == "shim" and is_plural(token.text) for token in found
    )
    for at, token in enumerate(found):
        follower = found[at + 1] if at + 1 < len(found) else None
        kind = follower.entry.kind if follower is not None and follower.entry else ""
        most = 12 if kind == "circlip" else 2 if kind in RINGS else 1
        counts = kind and kind not in THREADED_KINDS and 0 < token.many <= most
        counts = counts and bool(token.numbers[1:] and token.numbers[1].unit)
        if kind.endswith("washer") and 0 < token.many <= _LIKELY_COUNT:
            counts = counts or "/" in token.numbers[1].text  # never so wide and thinner than it
        if shims and 0 < token.many <= _LIKELY_COUNT:
            counts = counts or token.numbers[1].value < _THICKEST_SHIM
        if rings and token.many:
            counts = counts or token.numbers[1].value >= 5 * token.many
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


def _rings(found: list[Token]) -> list[Token]:
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


def _parted(found: list[Token]) -> list[Token]:
    """Cuts the 3 long of "3 long, 1 short", which is a count, from the 20 long of M6 20 long."""
    parted: list[Token] = []
    diameter = 0.0
    listed = any(tells_sort(token) for token in found)  # 20 long, 16 short
    for token in found:
        if token.thread is not None and token.thread.thread is not None:
            diameter = token.thread.thread.diameter_mm
        elif len(token.numbers) == 1 and token.numbers[0].unit and not token.behind:
            diameter = float(token.numbers[0].value)
        counts = len(token.numbers) == 1 and token.numbers[0].whole and not token.cross
        if token.behind == "long" and token.cross and listed and _is_few(token):
            begin, _, word = token.text.rpartition(" ")  # x6 long, x2 short
            end = token.start + len(begin)
            many = token.numbers[0].whole
            parted.append(Token("count", begin, token.start, end, count=many, cross="spaced"))
            parted.append(Token("phrase", word, end + 1, token.end, entry=_PLACE))
            continue
        opens = not parted or parted[-1].kind == "join"
        if token.behind == "thick" and counts and listed and opens and _is_few(token):
            figure, _, word = token.text.partition(" ")  # 3 thick, 2 thin
            end = token.start + len(figure)
            parted.append(msgspec.structs.replace(token, text=figure, end=end, behind=""))
            parted.append(Token("phrase", word, end + 1, token.end, entry=_PLACE))
            continue
        if (
            token.behind == "long"
            and counts
            and (not diameter or token.numbers[0].whole <= diameter)
            and _may_count(token.numbers[0].whole, parted, listed)
        ):
            figure, _, word = token.text.partition(" ")
            end = token.start + len(figure)
            parted.append(msgspec.structs.replace(token, text=figure, end=end, behind=""))
            parted.append(
                Token("phrase", word, end + 1, token.end, entry=PhraseMeaning(place=True))
            )
        else:
            parted.append(token)
    return parted


def _is_few(token: Token) -> bool:
    return len(token.numbers) == 1 and 0 < token.numbers[0].whole <= _LIKELY_COUNT


def _may_count(number: int, before: Sequence[Token], listed: bool) -> bool:
    """Whether the 3 of `3 long` may be how many, by what stands before it."""
    if number > _LIKELY_COUNT and not listed:
        return False  # bolt, 40 long
    if not before or before[-1].kind == "join":
        return True
    entry = before[-1].entry
    if entry and entry.kind and not entry.foreign and not is_plural(before[-1].text):
        return False  # spacer 12 long
    return number <= _LIKELY_COUNT and before[-1].kind != "numbers"
