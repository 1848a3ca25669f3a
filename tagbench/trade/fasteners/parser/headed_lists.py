"""A list of things under a heading: `front spindle: nut, 2 washers, speedo drive, spacer`.

Where a heading said already where all of it was, a part that is named between two things is one of
them, and so it is in a list of single things without one: `nut, sprocket, spacer`. Beside screws
it may still be where these sat: `engine: clutch cover, 4 screws`.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from tagbench.trade.fasteners.parser.counted_clauses import (
    SAYING,
    clauses_of_list,
    may_name,
    thing_of,
)
from tagbench.trade.fasteners.parser.prepared_words import how_many
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import THREADED_KINDS, bench_roles, fold

#: Fewer clauses are no list.
_FEWEST = 3
#: So many words name a part.
_LONGEST = 3
#: Parts that come off with their nuts, springs and rings; a cover or a hub is where these sat.
_COMES_OFF = frozenset(
    ("tap", "valve", "cam", "strap", "spindle", "cone", "cones", "gauze", "pawl", "pawls", "anode",
     "lever", "rod", "float", "needle", "jet", "adjuster", "adjusters", "switch", "capacitor",
     "condenser", "brush", "brushes", "bulb", "knob", "pedal", "sprocket", "pinion", "collet",
     "collets", "pushrod", "pushrods", "plunger", "disc", "discs", "wick", "strainer", "reed",
     "rotor", "vane", "points", "cup", "cups", "bobbin", "axle", "lens", "relay", "dipstick",
     "handle", "felt", "slide")
)  # fmt: skip


#: Other parts sit on them: between things of a list without a heading they are where these sat.
_HOLDS = frozenset(
    ("drum", "hub", "cover", "tank", "case", "crankcase", "casing", "housing", "body", "barrel",
     "frame", "box", "gearbox", "engine", "fork", "wheel", "carb", "carburettor", "carburetor",
     "head", "cylinder", "block", "bracket", "mount", "flange", "guard", "mudguard", "fender",
     "panel", "swingarm", "handlebar", "handlebars", "saddle", "seat")
)  # fmt: skip


def headed_lists(found: list[Token], text: str, *, placed: bool) -> list[Token]:
    """The tokens of a list with each part between things as a thing.

    `placed`: the list has a heading, which said where all of it was.
    """
    found = _parted_with(found, text)
    clauses = list(clauses_of_list(found))
    kinds = [_kind(clause) for clause, _ in clauses]
    counted = all(any(map(how_many, clause)) for clause, _ in clauses[:-1])
    counted = counted and not all(kinds[:-1])  # 2 shoes, 2 springs, cam
    screws = any(_is_screw(clause, kind) for (clause, _), kind in zip(clauses, kinds, strict=True))
    ends = bool(kinds[-1]) or (placed and counted and not screws) or _is_small(clauses[-1][0])
    few = len(clauses) < (_PAIR if comes_off(clauses[0][0]) and not screws else _FEWEST)
    if _are_small_parts(clauses):
        return [one for clause, join in clauses for one in (thing_of(clause, text), *join)]
    if few or sum(map(bool, kinds)) < len(clauses) // 2 or not ends:
        return found
    made: list[Token] = []
    listed = False
    for at, (clause, join) in enumerate(clauses):
        before = clauses[at - 1][0] if at else []
        named = _is_part(clause) and not any(token.thread for token in before)
        if not placed and at == 0:
            named = named and not screws and comes_off(clause)
        elif not placed:
            named = named and not any(map(_is_counted_or_screw, clauses)) and not _holds(clause)
        last = at + 1 == len(clauses)
        holds = not last and _is_screw(clauses[at + 1][0], kinds[at + 1])
        listed = named and (listed or not holds)
        if listed and _is_metal(clause) and (last or not kinds[at + 1]):
            listed = False  # gasket, paper, 2
        made += [thing_of(clause, text)] if listed else clause
        made += join
    return made


def _parted_with(found: list[Token], text: str) -> list[Token]:
    """The anode of `zinc anode with M6 bolt` is a thing, and the bolt another."""
    at = next((at for at, token in enumerate(found) if token.kind == "join"), 0)
    join = found[at] if found else None
    if join is None or join.name.lower().strip() not in _WITH or not comes_off(found[:at]):
        return found
    comma = msgspec.structs.replace(join, name=",")
    return [thing_of(found[:at], text), comma, *found[at + 1 :]]


_WITH = ("with", "w/", "w", "c/w", "mit", "avec", "con")
#: A part and what came off with it.
_PAIR = 2


#: Of these, what nothing else sits on: at the end of a list they are no place.
_SMALL = frozenset(
    ("collet", "collets", "cone", "cones", "cup", "cups", "needle", "float", "jet", "wick", "felt",
     "slide", "reed", "vane", "plunger", "pawl", "pawls", "bulb", "gauze")
)  # fmt: skip


def _are_small_parts(clauses: Sequence[tuple[Sequence[Token], Sequence[Token]]]) -> bool:
    """`points, condenser, cam felt`: each of them comes off, and nothing else sits on one."""
    if len(clauses) < _PAIR or not all(comes_off(clause) for clause, _ in clauses):
        return False
    ends = {fold(clause[-1].text).split()[-1] for clause, _ in clauses}
    return not ends.isdisjoint(_SMALL | {"points", "condenser"})


def _is_small(clause: Sequence[Token]) -> bool:
    words = fold(clause[-1].text).split() if clause else []
    return comes_off(clause) and words[-1] in _SMALL


def _holds(clause: Sequence[Token]) -> bool:
    """Whether a clause names what other parts sit on: snap ring, clutch drum, plus big washer."""
    return fold(clause[-1].text).split()[-1] in _HOLDS


def comes_off(clause: Sequence[Token]) -> bool:
    """Whether a clause names nothing but a part that comes off with what is named beside it."""
    words = fold(clause[-1].text).split() if clause else []
    return bool(words) and words[-1] in _COMES_OFF and _is_part(clause)


def _is_counted_or_screw(clause: tuple[Sequence[Token], Sequence[Token]]) -> bool:
    found, _ = clause
    counted = any(how_many(token) or token.numbers or token.kind == "place" for token in found)
    return counted or _is_screw(found, _kind(found))


def _kind(clause: Sequence[Token]) -> str:
    """What a clause names, where it is a fastener; the last of its words decides."""
    kinds = [token.entry.kind for token in clause if token.entry is not None and token.entry.kind]
    return kinds[-1] if kinds else ""


def _is_part(clause: Sequence[Token]) -> bool:
    words = [word for token in clause for word in fold(token.text).split()]
    if not words or len(words) > _LONGEST or not all(map(may_name, clause)):
        return False
    *first, last = words
    said = bench_roles(last) | frozenset(role for word in first for role in bench_roles(word))
    named = last in _COMES_OFF or not bench_roles(last) & SAYING
    return named and not (said - bench_roles(last) - {"sort", "place"}) & SAYING


def _is_metal(clause: Sequence[Token]) -> bool:
    """Whether nothing but what something is made of is named."""
    return all(token.entry is not None and token.entry.material for token in clause)


def _is_screw(clause: Sequence[Token], kind: str) -> bool:
    """Whether a clause names what holds a part, so that the part before it is where it sat."""
    nut = "nut" in kind
    return not nut and (any(token.thread for token in clause) or kind in THREADED_KINDS)
