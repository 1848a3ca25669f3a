"""Notes that list whole things: each that has its own name and count is read for itself.

`set screws 3 off and stainless nylocs 2BA 4 off` says of no word that it belongs to the other
thing. Where one of them has no count, or lends the other its thread or its name (`2 bolts M6 and
2 nuts`, `3 long screws, 1 short`), the note is read as a whole.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import msgspec

from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.parser.counted_clauses import says_several
from tagbench.trade.fasteners.parser.lines import parse_lines
from tagbench.trade.fasteners.parser.named_things import RUBBERS
from tagbench.trade.fasteners.parser.parts_counted import NO_PARTS
from tagbench.trade.fasteners.parser.pieces import KEEP_TIGHT, NUTS_ON
from tagbench.trade.fasteners.parser.prepared_words import LIKELY_COUNT, ONE, how_many, sort_apart
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.plural import PARTS_ITALIAN, is_one_or_several, is_plural
from tagbench.trade.fasteners.tokens import Token, count_alone, tokens
from tagbench.trade.fasteners.vocabulary import THREADED_KINDS, bench_roles, fold

#: Joints between two things; behind a with, the second one may be on each of the first.
_JOINTS = frozenset((",", "+", "&", "/", "-", "and", "plus", "und", "et", "y", "e"))
_WITH = frozenset(("with", "w/", "w", "mit", "avec", "con"))
#: Words of these roles speak of something beyond the thing that they stand with.
_BEYOND = frozenset(
    ("verb", "negation", "comparative", "others", "each", "per", "set", "weak", "all", "ditto",
     "chore", "pair of sides", "absent", "few", "hedge")
)  # fmt: skip
_DOING = frozenset(("verb", "negation", "weak", "chore", "absent", "hedge"))
#: What says something of one thing.
_SIZES = frozenset(("thread", "numbers", "gauge", "bearing", "tpi", "grade", "standard", "tool"))


class _Item(msgspec.Struct, frozen=True):
    """One thing with its count, between two joints."""

    kind: str
    head: str
    many: int
    counted: bool
    """How many was said; else it is named as one: set screw and copper washers M8 (3)."""
    article: bool
    """An a or ein says that it is one."""
    plural: bool
    behind: bool
    """Its count stands behind its name."""
    sized: bool
    ends_sized: bool
    """Its size is the last that was said, and may be that of all: 4 nuts, 8 washers M6."""
    metal: str
    bracketed: bool
    """Its count stands in brackets in front: (4) pins."""
    plain: bool
    """Nothing but the count, what it is made of and the name."""


def parse_items(text: str, *, placed: bool) -> list[ParsedLine]:
    """The lines of a note, with each whole thing read for itself.

    `placed`: a heading said where all of it was.
    """
    read: list[list[ParsedLine]] = []
    at = 0
    for item in whole_items(text):
        at = text.index(item, at)
        read.append(parse_lines(item, placed=placed))
        for line in read[-1]:
            line.piece_at = at
        at += len(item)
    for before, behind in pairwise(read):
        bolt, nut = before[-1], behind[0]
        fits = bolt.thread is not None and bolt.kind in NUTS_ON and "nut" in nut.kind
        as_many = nut.count in (None, bolt.count) and not nut.place  # 4 M6 bolts, 1 impeller nut
        if fits and as_many and not (nut.thread or nut.figures or nut.gauge):
            nut.thread, nut.thread_text = bolt.thread, bolt.thread_text
    return [line for lines in read for line in lines]


def whole_items(text: str) -> list[str]:
    """The pieces of a note that can be read for themselves, in their order; one if there are none.

    >>> whole_items("rivets x6 and 1 thick O-ring")
    ['rivets x6', '1 thick O-ring']
    """
    found = tokens(text)
    joints = [at for at, token in enumerate(found) if token.kind == "join"]
    if len(_kinds(found)) + sum(map(_is_part, found)) < _SEVERAL and not joints:
        return [text]
    clauses = list(_clauses(found, joints))
    beyond = any(_speaks_beyond(token, clause) for clause, _ in clauses for token in clause)
    if beyond or not all(_is_joint(found[at]) for at in joints):
        return [text]
    items = [
        _item(clause if at else _without_place(clause)) for at, (clause, _) in enumerate(clauses)
    ]
    pieces, start = [], 0
    first = items[0] if items else None
    for at, second in enumerate(items[1:], 1):
        clause, joint = clauses[at]
        before, first = first, first if second is None and _is_remark(clause) else second
        if before and second and _apart(before, items[at:], joint):
            pieces.append(text[start : clauses[at - 1][0][-1].end].strip())
            start = clause[0].start
    return [*pieces, text[start:].strip()]


def _is_remark(clause: Sequence[Token]) -> bool:
    """Whether a clause counts, sizes and names nothing: to be plated, torque 10 Nm."""
    return all(
        token.kind in ("phrase", "word", "torque")
        and not (token.entry and (token.entry.kind or token.entry.material))
        for token in clause
    )


def _without_place(clause: Sequence[Token]) -> Sequence[Token]:
    """What stands behind where all of it was: the 2 clips of `front hub 2 clips`."""
    at = 0
    while at < len(clause) - 1 and _says_where(clause[at]):
        at += 1
    counted = at < len(clause) - 1 and _counts(clause[at], 0)
    return clause[at:] if counted and any(map(_is_place, clause[:at])) else clause


def _says_where(token: Token) -> bool:
    """Whether it is a side, or a word of where a thing sat; several parts may be things."""
    entry = token.entry
    side = entry is not None and (entry.opens or entry.noise or tells_sort(token))
    return token.kind == "handed" or side or _is_place(token)


def _is_place(token: Token) -> bool:
    entry = token.entry
    part = entry is not None and entry.place and not entry.kind
    *_, noun = fold(token.text).split() or [""]
    return part and not (bench_roles(noun) & {"sort", "place"}) and not is_plural(token.text)


def _kinds(found: Sequence[Token]) -> list[int]:
    """Where the tokens stand that name what something is."""
    return [at for at, token in enumerate(found) if token.entry is not None and token.entry.kind]


def _is_part(token: Token) -> bool:
    """Whether it names several parts of the machine, which are no fasteners: brackets, levers."""
    entry = token.entry
    if fold(token.text) in RUBBERS:
        return True
    if entry is None or not entry.place or not is_plural(token.text) or tells_sort(token):
        return False
    *_, noun = fold(token.text).split()
    roles = (bench_roles(noun) | bench_roles(noun.removesuffix("s"))) - {"threaded thing"}
    return not (roles or noun in NO_PARTS)


def _speaks_beyond(token: Token, clause: Sequence[Token]) -> bool:
    """Whether a word speaks of something beyond the thing that it stands with: each, others.

    What is to be done, or not, is said of one thing where its clause says nothing else.
    """
    if token.count or token.kind == "gauge" or (token.entry is not None and token.entry.kind):
        return False
    words = [word for word in fold(token.text).split() if word not in ONE | _THE]
    part = token.entry is not None and token.entry.place  # the rear brake plate
    beyond = _BEYOND - _DOING if part or _is_remark(clause) else _BEYOND
    return any(bench_roles(word) & beyond for word in words)


def _is_joint(token: Token) -> bool:
    return token.name.lower().strip() in _JOINTS | _WITH


def _clauses(
    found: Sequence[Token], joints: Sequence[int]
) -> Iterator[tuple[Sequence[Token], str]]:
    """What may be one thing, with the joint before it; empty where none stands there."""
    for opens, ends in pairwise([-1, *joints, len(found)]):
        joint = found[opens].name.lower().strip() if opens >= 0 else ""
        for clause in _side_by_side(found[opens + 1 : ends]):
            if clause:
                yield clause, joint
            joint = ""


def _side_by_side(clause: Sequence[Token]) -> list[Sequence[Token]]:
    """The things of a clause that names several, each with its count before or behind it:
    `2 bolts 3 rusty circlips`, `rivets x6 clips x2`."""
    if len(_kinds(clause)) < _SEVERAL:
        return [clause]
    counts = [
        at
        for at, token in enumerate(clause)
        if (_counts(token, at) or _begins_another(clause, at)) and not _is_length(clause, at)
    ]
    if len(counts) < _SEVERAL:
        return [clause]
    cuts = counts if counts[0] == 0 else [0, *(at + 1 for at in counts[:-1])]
    parts = [clause[a:b] for a, b in pairwise([*cuts, len(clause)])]
    return parts if all(map(_item, parts)) else [clause]


#: So many counts count several things.
_SEVERAL = 2


def _begins_another(clause: Sequence[Token], at: int) -> bool:
    """Whether a bare number inside a clause is no size of what stands before it."""
    many, before = how_many(clause[at]), clause[at - 1]
    behind = [token for token in clause[at:] if token.entry is not None and token.entry.kind]
    if not (at and behind and 0 < many <= LIKELY_COUNT):
        return False
    if many > 1 and not says_several(fold(behind[0].text), behind[0].text):
        return False  # washer 14 sump plug
    kinds = [token.entry.kind for token in clause[:at] if token.entry is not None]
    named = [kind for kind in kinds if kind]
    if before.kind == "thread":
        return any("nut" in kind or "washer" in kind for kind in named)  # washers M10 2 shims
    entry = before.entry
    sized = any(token.kind in _SIZES for token in clause[1:at])
    whole = before.kind == "place" or bool(before.cross) or (entry is not None and entry.place)
    return bool(whole or (named and before.entry and (sized or named[-1] in THREADED_KINDS)))


def _is_length(clause: Sequence[Token], at: int) -> bool:
    """The x 1 of `1/4 BSF x 1 3 off`."""
    before = clause[at - 1] if at else None
    if before is None or not clause[at].cross:
        return False
    named = bool(_kinds(clause[:at]))
    behind = clause[at + 1 : at + 2] if named else clause[at + 1 :]  # stud M8 x 2 4 off
    told = _counts(clause[0], 0) and at > 1
    told = told or any(_counts(token, at) for token in behind)
    return told and (before.thread is not None or before.kind == "gauge")


def _item(clause: Sequence[Token]) -> _Item | None:
    """What a clause says, where it is one thing with its count; else None."""
    kinds = _kinds(clause) or [at for at, token in enumerate(clause) if _is_part(token)]
    kinds = kinds or _single_part(clause)
    counts = [
        at for at, token in enumerate(clause) if _counts(token, at) and not _is_length(clause, at)
    ]
    if len(kinds) != 1 or len(counts) > 1 or not all(map(_says_of_one, clause)):
        return None
    (kind,), count = kinds, next(iter(counts), -1)
    entry = clause[kind].entry
    plural = (
        is_plural(clause[kind].text)
        or any(  # rubber pads (2)
            is_unread(token) and is_plural(token.text) for token in clause[kind + 1 :]
        )
    )
    plural = plural or is_one_or_several(clause[kind].text)
    if not counts and plural:
        return None
    named = entry.kind if entry is not None else ""
    if not named and not counts:
        return None
    if named == "spring" and any(token.thread for token in clause):
        return None  # plain washers M8 x 4, M8 spring x 4
    if named == "key" and not plural and counts and _many(clause[count]) > 1:
        return None  # 2 nuts M8, 13 key
    if 0 < count < kind:
        return None
    article = fold(clause[0].text) in ONE
    others = [
        token for at, token in enumerate(clause) if at not in (kind, count) and (at or not article)
    ]
    bare = all(token.entry is not None and bool(token.entry.material) for token in others)
    return _Item(
        kind=named,
        head=entry.head if entry is not None else "",
        many=_many(clause[count]) if counts else 1,
        counted=bool(counts) or article,
        article=article and not counts,
        plural=plural,
        behind=count > kind,
        sized=any(token.kind in _SIZES for token in others),
        metal=next(
            (
                token.entry.material
                for token in clause
                if token.entry is not None and token.entry.material
            ),
            "",
        ),
        bracketed=bool(counts) and count < kind and clause[count].kind == "place",
        ends_sized=clause[-1].kind in _SIZES,
        plain=bare and not (counts and clause[count].behind),
    )


def _single_part(clause: Sequence[Token]) -> list[int]:
    """Where the one part of the machine stands that a clause counts: 1 x old bracket.

    In German several are often called as one is, and nobody knows the plural of what he does not
    know: 2 Halter, (4) gommini.
    """
    bracketed = clause[0].kind == "place"
    parts = [
        at
        for at, token in enumerate(clause)
        if _is_place(token) or (bracketed and is_unread(token))
    ]
    named = [*range(parts[0], parts[-1] + 1)] == parts if parts else False
    ones = [token for at, token in enumerate(clause) if _counts(token, at)]
    noun = clause[parts[-1]] if parts else None
    same = noun is not None and (
        is_unread(noun) or is_one_or_several(noun.text) or fold(noun.text).endswith(PARTS_ITALIAN)
    )
    one = len(ones) == 1 and (_many(ones[0]) == 1 or same)
    words = {word for at in parts for word in fold(clause[at].text).split()}
    told = any(bench_roles(word) for word in words)
    return parts[-1:] if named and one and not told and len(parts) <= _LONGEST else []


#: More words than these name no part.
_LONGEST = 2


def _many(token: Token) -> int:
    apart = sort_apart(token) if token.behind else None
    counted = token.thread.count if token.thread is not None else count_alone(token.name)
    return how_many(apart[0] if apart else token) or counted or 0


def _counts(token: Token, at: int) -> bool:
    """Whether it says how many: 4, four, x4, 4 off, (4); before the name also 3 long."""
    if token.kind == "count":
        return token.name in ("", "word")
    if token.kind == "place":
        return bool(count_alone(token.name))
    if at:
        return False
    if token.thread is not None:
        return bool(token.thread.count)  # 4 1/4 BSF
    return bool(how_many(token)) or (token.behind != "" and sort_apart(token) is not None)


def _says_of_one(token: Token) -> bool:
    return token.kind in _SIZES | {"count", "phrase", "place", "word"}


def _apart(first: _Item, others: Sequence[_Item | None], joint: str) -> bool:
    """Whether a thing and the next one say nothing of each other.

    `others`: the things behind it, None for what is none.
    """
    second = others[0]
    if second is None or (second.article and second.plain):
        return False  # 2 washers 10x20 + a spacer: it may be one for each
    sized = first.sized and second.sized
    if not second.counted:
        kept = second.kind in KEEP_TIGHT or second.kind in ("key", "cotter")  # grub screw M6, key 3
        return first.many == 1 and sized and not kept and joint not in _WITH
    own = sized or second.article or (second.behind and second.plural)
    if not first.counted and not own:
        return False  # bolt and nut x4; hub nut, 2 M6 bolts
    sits = first.kind in THREADED_KINDS and any(word in second.kind for word in _ON_EACH)
    told = second.kind or second.plural or second.bracketed or second.behind
    if joint in (",", "-") and not told:
        return False  # 2 bolts, one gearbox: where one of them was
    of_other = first.metal and second.metal and first.metal != second.metal
    if second.bracketed or (of_other and first.kind == second.kind):
        return True  # rivets + (2) pins
    if joint in _WITH and not second.behind:  # 2 bolts with 2 thick washers
        return not sits and (
            second.sized or not (second.plain or second.article) or not second.kind
        )
    last = any(one is not None and one.ends_sized and not one.behind for one in others)
    if last and not first.sized and first.plain and first.kind in THREADED_KINDS:
        return False  # 4 nuts, 8 washers M6
    if first.kind == second.kind and first.head and second.head and first.head != second.head:
        return True  # 6 cap screws M6x20 and 12 old grub screws
    if first.kind == second.kind:
        some = first.plain and first.many > second.many  # 8 screws, 4 long screws
        return not some and (second.sized or not first.sized or second.behind)
    return first.behind or second.behind or not (sits and second.plain)


_THE = frozenset(
    ("the", "der", "die", "das", "den", "dem", "le", "la", "les", "el", "los", "las", "il", "lo",
     "gli", "i")
)  # fmt: skip
#: Of these there may be so many on each bolt or nut.
_ON_EACH = ("washer", "nut", "pin", "clip", "spacer")
