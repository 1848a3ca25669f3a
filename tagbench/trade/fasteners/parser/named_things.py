"""Words that name a thing, a place or a tool only together with their neighbours."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise, takewhile, zip_longest

import msgspec

from tagbench.trade.fasteners.parser.prepared_words import PLACE, THING, how_many
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Number, Token, shown_size
from tagbench.trade.fasteners.vocabulary import (
    PARTS_LIKE_HEADS,
    RINGS,
    THREADED_KINDS,
    PhraseMeaning,
    fold,
    look_up,
)

_LEFT = frozenset(("lh", "lhs", "l/h"))


_RIGHT = frozenset(("rh", "rhs", "r/h"))


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


def named_after_fasteners(found: list[Token]) -> list[Token]:
    """The bearing carrier of `4 M6x16 bearing carrier` is where they sat, and no bearing; so is the
    clamp of `exhaust clamp M8x45`, since no clamp has a thread and a length."""
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        clamped = token.kind == "thread" and follower is not None and bool(follower.cross)
        dashed = len(made) > 1 and made[-1].kind == "join" and made[-1].text.strip() in ("-", ":")
        holder = made[-2] if dashed else made[-1] if made else None
        if clamped and holder is not None and holder.entry and holder.entry.kind in _HOLDING:
            at = -2 if dashed else -1
            made[at] = msgspec.structs.replace(holder, name=holder.text, entry=PLACE)
        before = made[-1] if made else None
        kind = before.entry.kind if before is not None and before.entry else ""
        joint = fold(token.text) == "joint" and before is not None and before.entry is not None
        if joint and before is not None and before.entry is not None and before.entry.place:
            text = f"{before.text} {token.text}"
            made[-1] = Token("phrase", text, before.start, token.end, name=text, entry=PLACE)
            continue
        if _is_part_behind_kind(token, kind) and before is not None:
            text = f"{before.text} {token.text}"
            made[-1] = Token("phrase", text, before.start, token.end, name=text, entry=PLACE)
            continue
        if (
            before is not None
            and kind.split(" ")[-1] in _NAMED_AFTER
            and fold(token.text) in _HOLDERS
        ):
            others = (one for one in found if one not in (token, before))
            named = any(one.thread or (one.entry and one.entry.kind) for one in others)
            if named and not is_plural(before.text):
                text = f"{before.text} {token.text}"
                made[-1] = Token("phrase", text, before.start, token.end, name=text, entry=PLACE)
                continue
        made.append(token)
    return made


def held_by_fasteners(found: list[Token]) -> list[Token]:
    """The barrel clamp of `DIN 912 M6x25 x4 barrel clamp`, the leaf spring of `U bolts 3/8 rear
    leaf spring` are where these sat: one part behind fasteners that were named and sized, or have
    a thread and a length."""
    made: list[Token] = []
    kind, sized, long, standard = "", False, False, False
    for token, follower in zip_longest(found, found[1:]):
        entry = token.entry
        if token.kind == "join":
            kind, sized, long, standard = "", False, False, False
        holds = entry is not None and entry.kind in _HOLDING and not is_plural(token.text)
        before = made[-1] if made else None
        placed = before is not None and bool(before.entry and before.entry.place)
        unread = before is not None and is_unread(before)
        ends = follower is None or follower.kind == "join"
        placed = placed or (ends and " " in token.text)  # exhaust clamp
        behind = standard or ((placed or unread) and (long or kind in THREADED_KINDS))
        if holds and behind and sized and fold(token.text).startswith("spring clip"):
            made.append(Token("join", ",", token.start, token.start, name=","))  # a spring clip
        elif holds and behind and sized:
            token = msgspec.structs.replace(token, name=token.text, entry=PLACE)
            if before is not None and unread:
                text = f"{before.text} {token.text}"
                made[-1] = Token("phrase", text, before.start, token.end, name=text, entry=PLACE)
                continue
        elif entry is not None and entry.kind:
            kind = entry.kind
        standard = standard or token.kind == "standard"
        long = long or bool(token.cross == "tight" and made and made[-1].thread)
        sized = sized or bool(token.thread) or "/" in token.text
        made.append(token)
    return made


#: The head of an engine, where nothing says how a head looks.
_HEADS = frozenset(("head", "testa", "cabeza", "tete", "kopf"))


def heads_of_engines(found: list[Token]) -> list[Token]:
    """The head of `2 head bolts M8` and of `4 M8 nuts, head` is that of the cylinder."""
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        before = made[-1] if made else None
        if fold(token.text) in _HEADS and _ends_a_name(before) and _begins_a_name(token, follower):
            token = msgspec.structs.replace(token, kind="phrase", name=token.text, entry=PLACE)
        made.append(token)
    return made


#: Of a screw it says slotted, of anything else split: câble, gaine fendue.
_SPLIT = frozenset(("fendu", "fendue", "fendus", "fendues"))


def split_or_slotted(found: list[Token]) -> list[Token]:
    """The fendue of `câble d'embrayage gaine fendue` makes no screw of it."""
    if not any(fold(token.text) in _SPLIT for token in found):
        return found
    screws = any(
        token.thread or (token.entry and token.entry.kind in THREADED_KINDS) for token in found
    )
    if screws or any(token.entry and token.entry.head for token in found):
        return found
    return [
        Token("word", token.text, token.start, token.end) if fold(token.text) in _SPLIT else token
        for token in found
    ]


def ended_by_points(found: list[Token]) -> list[Token]:
    """The point of `thrust wshr. nut M8` ends a name although the noun is shortened."""
    if not any(token.text.endswith(".") for token in found):
        return found
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        made.append(token)
        kinds = [one.entry.kind if one and one.entry else "" for one in (token, follower)]
        if token.text.endswith(".") and all(kind and kind != "other" for kind in kinds):
            made.append(Token("join", ",", token.end, token.end, name=","))
    return made


def types_of_things(found: list[Token]) -> list[Token]:
    """The spring of `fuel line clamps, spring type, 3` says how the clamps are made."""
    if not any(fold(token.text) in _TYPES for token in found[1:]):
        return found
    made: list[Token] = []
    for at, token in enumerate(found):
        *first, last = [at for at, one in enumerate(made) if one.entry and one.entry.kind] or [-1]
        behind = takewhile(lambda one: one.kind != "join", found[at + 1 :])
        named = first or any(one.entry and one.entry.kind for one in behind)
        sort = made[last].entry if last >= 0 else None
        whole = made[first[-1]].entry if first else None
        if sort is not None and whole is not None and sort.kind.endswith(whole.kind):
            named = False  # nut, castle type
        if named and made and last == len(made) - 1 and fold(token.text) in _TYPES:
            before = made.pop()
            token = Token("word", f"{before.text} {token.text}", before.start, token.end)
        made.append(token)
    return made


_TYPES = frozenset(("type", "style", "pattern"))


def _ends_a_name(token: Token | None) -> bool:
    """Whether nothing right before a head says how it looks or how wide it is."""
    if token is None or token.kind == "join" or how_many(token):
        return True
    entry = token.entry
    if entry is not None and entry.kind in ("bolt", "screw") and not is_plural(token.text):
        return False  # 8 AF bolt head
    return bool(token.thread) or (entry is not None and bool(entry.kind) and not entry.head)


def _begins_a_name(head: Token, follower: Token | None) -> bool:
    if follower is None or follower.name in (",", ":", "+", "&"):
        return True
    entry = follower.entry
    return fold(head.text) == "head" and entry is not None and bool(entry.kind) and not entry.head


def sealed_by_rings(found: list[Token]) -> list[Token]:
    """The banjo bolt of `2 copper washers banjo bolt` is what the washers sat on."""
    made: list[Token] = []
    for at, token in enumerate(found):
        before, entry = (made[-1] if made else None), token.entry
        ring = before is not None and before.entry is not None and before.entry.kind in RINGS
        counted = ring and len(made) > 1 and bool(how_many(made[-2]))
        counted = counted or _is_between_ring_and_count(made, found[at + 1 :])
        sized = len(made) > 1 and how_many(before) > 1 and made[-2].entry is not None
        counted = counted or bool(sized and made[-2].entry and made[-2].entry.kind in RINGS)
        bare = ring and not any(one.thread or how_many(one) for one in found[at + 1 :])
        counted = counted or bool(bare)  # fibre washer drain plug
        holder = entry is not None and (entry.kind in _SEALED or entry.head == "banjo")
        if counted and holder and not is_plural(token.text):
            token = msgspec.structs.replace(token, name=token.text, entry=PLACE)
        made.append(token)
    return made


def _is_between_ring_and_count(before: Sequence[Token], behind: Sequence[Token]) -> bool:
    """The banjo of `copper washers 10x14, banjo, 2`: the 2 counts the washers."""
    if len(before) < _PAIR or len(behind) < _PAIR or not how_many(behind[-1]):
        return False
    if behind[0].name != "," or before[-1].name != ",":
        return False
    if not all(one.name == "," or one.numbers or one.count for one in behind):
        return False
    named = [one for one in before if one.entry is not None and one.entry.kind in RINGS]
    rings = bool(named) and is_plural(named[-1].text)
    return rings and not any(map(how_many, before))


#: What is named, and the comma behind it.
_PAIR = 2
#: What a ring of metal or fibre seals.
_SEALED = frozenset(("plug", "drain plug", "union", "banjo", "bleed screw", "spark plug"))
#: What is named after a fastener, and is none: spring caps, spark plug lead.
_PARTS_BEHIND = frozenset(
    ("caps", "covers", "boots", "cups", "holders", "guides", "retainers", "collets")
)


def _is_part_behind_kind(token: Token, kind: str) -> bool:
    return (
        kind in ("spring", "spark plug", "bearing", "cable") and fold(token.text) in _PARTS_BEHIND
    )


def named_first(found: list[Token]) -> list[Token]:
    """The pan of `pan 16 bolts M6` is the sump, and no head of the bolts."""
    for at, (token, many, named) in enumerate(zip(found, found[1:], found[2:], strict=False)):
        behind = (one for one in found[at + 2 :] if not tells_sort(one))  # 2 little screws
        entry, kind = token.entry, next((one.entry for one in behind), named.entry)
        head = entry is not None and bool(entry.head) and not entry.kind
        if head and many.name == ":" and fold(token.text) in PARTS_LIKE_HEADS and not at:
            return [msgspec.structs.replace(token, entry=PLACE), *found[1:]]
        if head and how_many(many) and kind and kind.kind:
            place = Token("phrase", " ".join(one.text for one in found[: at + 1]), found[0].start,
                          token.end, entry=PLACE)  # fmt: skip
            return [place, *found[at + 1 :]]
        if token.kind != "word" and not (entry and entry.place):
            break
    return found


def shared_nouns(found: list[Token]) -> list[Token]:
    """The flat of `flat and spring washers` is a flat washer: the noun stands behind the last."""
    made = list(found)
    for at in range(len(found) - 3, -1, -1):
        first, join, last = made[at], made[at + 1], made[at + 2]
        counted = bool(how_many(last)) and at + 3 < len(made)
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
        if at and made[at - 1].kind == "numbers" and not how_many(made[at - 1]):
            continue  # bolt 7/16 x 3" hex and nut
        noun = (fold(last.text).split() or [""])[-1]
        both = (*fold(first.text).split(), noun)
        said = look_up(both) if len(both) < 4 else None
        if said is not None and said[0] == len(both) and said[1].kind:
            name = f"{first.text} {last.text.split()[-1]}"
            made[at] = msgspec.structs.replace(first, kind="phrase", name=name, entry=said[1])
    return made


def prepositions(found: list[Token]) -> list[Token]:
    """The in of `M4x4 in kill switch` is no inch: no metric screw is that long in inches."""
    if not any(token.text[-3:].lower() == " in" for token in found):
        return found
    made: list[Token] = []
    for at, token in enumerate(found):
        before = made[-1] if made else None
        thread = before.thread.thread if before is not None and before.thread else None
        follower = found[at + 1] if at + 1 < len(found) else None
        typed = re.fullmatch(r"(x?\s?[0-9]+(?:,[0-9]+)?)\s(in)", token.text, re.IGNORECASE)
        goes_on = follower is not None and (
            follower.kind == "word" or bool(follower.entry and follower.entry.place)
        )
        metric = thread is not None and thread.system == "ISO metric"
        metric = metric or (bool(token.numbers) and "," in token.numbers[0].text)  # 0,5 in ordine
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


_HOLES = frozenset(("hole", "holes", "thread"))


def other_holes(found: list[Token]) -> list[Token]:
    """The 1/4 BSF hole that an M6 was put in is no second screw."""
    if not any(token.text.lower().rstrip("!.") in _HOLES for token in found):
        return found
    made: list[Token] = []
    for token in found:
        before, two = (made[-1] if made else None), (made[-2] if len(made) > 1 else None)
        sized = before is not None and (before.thread or before.numbers)
        opened = two is not None and fold(two.text).split()[-1:] in (
            ["a"],
            ["the"],
            ["in"],
            ["into"],
        )
        hole = fold(token.text.rstrip("!.")) in _HOLES
        if before is not None and sized and opened and hole:
            text = f"{before.text} {token.text}"
            made[-1] = Token("word", text, before.start, token.end)
        else:
            made.append(token)
    return made


def tipped(found: list[Token]) -> list[Token]:
    """The brass of `set screws, brass tipped` is that of their tips."""
    made: list[Token] = []
    for token in found:
        before = made[-1] if made else None
        metal = before is not None and before.entry is not None and bool(before.entry.material)
        if before is not None and metal and fold(token.text) in ("tipped", "faced", "lined"):
            made[-1] = Token("word", f"{before.text} {token.text}", before.start, token.end)
        else:
            made.append(token)
    return made


def keys_that_turn(found: list[Token], text: str) -> list[Token]:
    """The 13 key of `2 nuts M8, 13 key` and the 5mm key of a cap screw turn it, and are no keys."""
    if not any(fold(token.text) == "key" for token in found):
        return found
    turned = any(
        token.thread or (token.entry and (token.entry.kind in THREADED_KINDS or token.entry.head))
        for token in found
    )
    made: list[Token] = []
    for token in found:
        before = made[-1] if made else None
        sized = before is not None and len(before.numbers) == 1 and not before.cross
        several = sized and before is not None and before.numbers[0].value > 1
        if turned and several and before is not None and fold(token.text) == "key":
            said = text[before.start : token.end]
            if any(one.entry and one.entry.head in ("socket", "grub") for one in found):
                name = f"hex key {shown_size(before.numbers[0])}"
                made[-1] = Token("tool", said, before.start, token.end, name=name)
            else:
                made[-1] = Token("word", said, before.start, token.end)
        else:
            made.append(token)
    return made


def pliers(found: list[Token], text: str) -> list[Token]:
    """`circlip pliers job, 28mm circlip`: the tool is no second circlip."""
    if _PLIERS.isdisjoint(fold(token.text) for token in found):
        return found
    made: list[Token] = []
    for at, token in enumerate(found):
        before = made[-1] if made else None
        tool = before is not None and before.entry is not None and bool(before.entry.kind)
        tool = tool and fold(token.text) in _PLIERS
        others = any(one.entry is not None and one.entry.kind for one in found[at + 1 :])
        if before is not None and tool and others:
            made[-1] = Token("word", text[before.start : token.end], before.start, token.end)
        else:
            made.append(token)
    return made


_PLIERS = frozenset(("pliers", "zange", "pince", "alicates", "pinze"))


def metals_of_parts(found: list[Token], text: str) -> list[Token]:
    """The `alloy cover` before a colon or dash is where the screws sat; they are of no alloy."""
    if not (":" in text or "-" in text):
        return found
    made: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        before = made[-1] if made else None
        entry = before.entry if before is not None else None
        metal = len(made) == 1 and entry is not None and entry.material and not entry.kind
        heads = follower is not None and follower.name in (":", "-")
        part = token.entry is not None and token.entry.place and not tells_sort(token)
        if before is not None and metal and part and heads:
            said = text[before.start : token.end]
            made[-1] = Token("phrase", said, before.start, token.end, name=said, entry=PLACE)
        else:
            made.append(token)
    return made


def hex_keys(found: list[Token]) -> list[Token]:
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
        joined = before is not None and _is_key(before) and len(made) > 1
        joined = joined and made[-2].name in ("+", "&", "and", "plus")  # set screw + key 3/16
        size = before if _is_key(token) else token if _is_key(before) or named else None
        if (
            size is before
            and before is not None
            and before.numbers
            and before.numbers[0].value == 1
        ):
            size = None  # 1 key 3/16 x 1
        if turned and before and not joined and size and len(size.numbers) == 1 and not size.cross:
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


def nipples(found: list[Token]) -> list[Token]:
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


RUBBERS = frozenset(
    (
        "rubber",
        "rubbers",
        "gummi",
        "gummis",
        "caoutchoucs",
        "gomas",
        "gomme",
        "goma",
        "gomma",
        "caoutchouc",
    )
)


def rubbers(found: list[Token]) -> list[Token]:
    """The rubber of `1 nut 1 rubber` is a thing, since nothing behind it is made of it."""
    if not any(fold(token.text) in RUBBERS for token in found):
        return found
    made: list[Token] = []
    for at, token in enumerate(found):
        follower = found[at + 1] if at + 1 < len(found) else None
        alone = not any(one.entry and one.entry.kind for one in found[at + 1 :])
        ends = follower is None or follower.kind == "join"
        placed = bool(made) and bool(made[-1].entry and made[-1].entry.place)
        opens = placed and (len(made) == 1 or made[-2].kind == "join")
        listed = follower is not None and follower.name in (",", "+")
        if opens and listed and not alone and fold(token.text) in RUBBERS:
            token = msgspec.structs.replace(token, entry=THING)  # tank rubber, cup washer
        if ends and fold(token.text) in RUBBERS and made and how_many(made[-1]):
            token = msgspec.structs.replace(token, entry=PLACE if alone else THING)
        made.append(token)
    return made


def sides_by_hand(found: list[Token]) -> list[Token]:
    """LH beside an RH is a side, and neither a thread nor a round head."""
    said = {word for token in found for word in fold(token.text).split()}
    heads = {fold(one.text) for one, other in pairwise(found) if other.name == ":"}
    if not (said & _LEFT and said & _RIGHT) and not heads & (_LEFT | _RIGHT):
        return found
    return [
        msgspec.structs.replace(token, kind="phrase", entry=PLACE)
        if fold(token.text) in _LEFT | _RIGHT
        else token
        for token in found
    ]
