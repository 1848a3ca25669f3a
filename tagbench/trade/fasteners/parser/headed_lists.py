"""A list of things under a heading: `front spindle: nut, 2 washers, speedo drive, spacer`.

Where a heading said already where all of it was, a part that is named between two things is one of
them, and so it is in a list of single things without one: `nut, sprocket, spacer`. Beside screws
it may still be where these sat: `engine: clutch cover, 4 screws`.
"""

from __future__ import annotations

from collections.abc import Sequence

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


def headed_lists(found: list[Token], text: str, *, placed: bool) -> list[Token]:
    """The tokens of a list with each part between things as a thing.

    `placed`: the list has a heading, which said where all of it was.
    """
    clauses = list(clauses_of_list(found))
    kinds = [_kind(clause) for clause, _ in clauses]
    counted = all(any(map(how_many, clause)) for clause, _ in clauses[:-1])
    counted = counted and not all(kinds[:-1])  # 2 shoes, 2 springs, cam
    screws = any(_is_screw(clause, kind) for (clause, _), kind in zip(clauses, kinds, strict=True))
    ends = bool(kinds[-1]) or (placed and counted and not screws)
    if len(clauses) < _FEWEST or sum(map(bool, kinds)) < len(clauses) // 2 or not ends:
        return found
    made: list[Token] = []
    listed = False
    for at, (clause, join) in enumerate(clauses):
        before = clauses[at - 1][0] if at else []
        named = _is_part(clause) and not any(token.thread for token in before)
        if not placed:
            named = named and at > 0 and not any(map(_is_counted_or_screw, clauses))
        last = at + 1 == len(clauses)
        holds = not last and _is_screw(clauses[at + 1][0], kinds[at + 1])
        listed = named and (listed or not holds)
        if listed and _is_metal(clause) and (last or not kinds[at + 1]):
            listed = False  # gasket, paper, 2
        made += [thing_of(clause, text)] if listed else clause
        made += join
    return made


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
    return not (said - {"sort", "place"}) & SAYING and not bench_roles(last) & SAYING


def _is_metal(clause: Sequence[Token]) -> bool:
    """Whether nothing but what something is made of is named."""
    return all(token.entry is not None and token.entry.material for token in clause)


def _is_screw(clause: Sequence[Token], kind: str) -> bool:
    """Whether a clause names what holds a part, so that the part before it is where it sat."""
    threaded = any(token.thread for token in clause)
    return threaded or kind in THREADED_KINDS - {
        "nut",
        "lock nut",
        "castle nut",
        "self-locking nut",
    }
