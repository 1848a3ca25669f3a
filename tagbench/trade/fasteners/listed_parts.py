"""Parts of a machine in a list: `coil, condenser, points`. Things of the bag, or where it was?

`headlamp rim, bulb, 2 screws` may be two screws that held a bulb in a rim, or four things. Booked
as one piece, three of the bag would be missed by nobody; so it is asked.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

import msgspec

from tagbench.records import Fastener
from tagbench.trade.fasteners.choices import WordChoice
from tagbench.trade.fasteners.options import Option
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.sides import SIDES
from tagbench.trade.fasteners.tokens import Token, tokens
from tagbench.trade.fasteners.vocabulary import bench_roles, fold

#: What is chosen of the parts in a list.
THINGS, PLACE = "things", "place"
_COMMA = re.compile(r",\s+(?![^(]*\))")
_JOINED = re.compile(r"\s(?:\+|&|and|und|et|y|e|n)\s")
#: The number of a jet, or the volts and watts of a bulb.
_RATING = re.compile(r"(?:\s#?[0-9]{2,3}|(?:\s[0-9]{1,3}\s?[VWA])+)$")
_HEADING = re.compile(r"^(?!bag\b|box\b|tin\b|tray\b|jar\b)[^:(]{2,40}:\s+", re.IGNORECASE)
#: More words than these name no part.
_LONGEST = 3
_FEWEST = 2
#: Words of these roles say something of a part, and name none.
_SAYING = frozenset(
    ("verb", "negation", "absent", "comparative", "ditto", "others", "facing", "sort", "condition",
     "chore", "count", "each", "per", "place", "all", "weak", "few", "hedge")
)  # fmt: skip


class ListedParts(msgspec.Struct, frozen=True):
    """A note that begins with parts of a machine in a list."""

    token: str
    """The parts as they were typed."""
    pieces: tuple[str, ...]
    """The note with each part in a piece of its own."""
    whole: bool
    """There is nothing else in the note."""
    headed: bool
    """A heading says where all of it was."""
    named: bool = False
    """Each piece names one thing, a fastener or a part."""

    def is_booked(self, lines: Sequence[Fastener]) -> bool:
        """Whether each part is a line of its own already."""
        if self.named:
            places = [line.place for line in lines]
            words = [line.words for line in lines if line.kind != "other"]
            return not any(one in said for one in self.pieces for said in (*places, *words))
        parts = self.pieces if self.whole else self.pieces[:-1]
        named = [line.words.removesuffix("?").strip() for line in lines if line.kind == "other"]
        return all(any(part.endswith(one) for one in named if one) for part in parts)

    def choice(self, at: int, picks: Mapping[str, str]) -> WordChoice:
        """Whether they are things of the bag, best first; where that is all, they are."""
        things, place = Option("things in the bag", THINGS), Option("where it was", PLACE)
        picked = picks.get(self.token, "")
        taken = picked if picked in (THINGS, PLACE) else ""
        options = (things, Option("one thing", PLACE)) if self.whole else (place, things)
        options = (things, place) if self.headed and not self.whole else options
        return WordChoice(at, self.token, options, taken)


def joined_parts(note: str) -> tuple[str, ...]:
    """The pieces of a note that begins with parts of a machine joined with a plus; else none.

    >>> joined_parts("headlamp rim + bulb + 2 screws")
    ('headlamp rim', 'bulb', '2 screws')
    """
    pieces = _PLUS.split(note)
    if "“" in note or "(" in pieces[0] or len(pieces) < _FEWEST:
        return ()
    heading = _HEADING.match(note)
    start = heading.end() if heading is not None else 0
    many = 0
    while many < len(pieces) and names_part(pieces[many][start if not many else 0 :]):
        many += 1
    if many == 1 and len(pieces) == _FEWEST and _names_its_own(pieces[1]):
        return tuple(pieces)  # bobbin case + presser foot screw
    if many < _FEWEST:
        return ()
    rest = " + ".join(pieces[many:])
    return (*pieces[:many], *([rest] if rest else ()))


_PLUS = re.compile(r"\s?\+\s?|\s&\s")


def _names_its_own(clause: str) -> bool:
    """Whether it is a fastener behind the part that it is of: presser foot screw."""
    found = tokens(clause)
    entry = found[-1].entry if len(found) > 1 else None
    kind = entry is not None and bool(entry.kind) and not is_plural(found[-1].text)
    return kind and all(map(_is_part, found[:-1]))


def listed_parts(note: str) -> ListedParts | None:
    """The parts that a note in plain signs begins with, where there are several; else None.

    >>> listed_parts("headlamp rim, bulb, 2 screws").token
    'headlamp rim, bulb'
    """
    if "“" in note:
        return None
    heading = _HEADING.match(note)
    start = heading.end() if heading is not None else 0
    clauses = _COMMA.split(note[start:])
    many = 0
    while many < len(clauses) and (
        names_part(clauses[many]) or (many and _is_alike(clauses[many], clauses[many - 1]))
    ):
        many += 1
    if many < (_FEWEST if heading is None or many == len(clauses) else 1):
        all_named = heading is None and _are_single_things(clauses)
        whole = ", ".join(clauses)
        return ListedParts(whole, tuple(clauses), False, False, True) if all_named else None
    rest = clauses[many:]
    if not rest and many < _FEWEST:
        return None
    if rest and not _brings(rest):
        return None
    parts = [part for clause in clauses[:many] for part in _JOINED.split(clause)]
    pieces = (*parts, *([", ".join(rest)] if rest else ()))
    opened = note[:start] + pieces[0]
    return ListedParts(", ".join(clauses[:many]), (opened, *pieces[1:]), not rest, bool(start))


def _are_single_things(clauses: Sequence[str]) -> bool:
    """Whether each clause names one thing, and one at least a part of a machine, which may be
    where the others were: water pump impeller, key, plate."""
    if len(clauses) < _SEVERAL or any(map(str.isdigit, "".join(clauses))):
        return False
    found = [tokens(clause.strip()) for clause in clauses]
    known = sum(_names_thing(one) for one in found)
    parts = sum(
        names_part(clause) and _names_thing(one) for clause, one in zip(clauses, found, strict=True)
    )
    return bool(parts) and known >= _FEWEST and all(map(_is_one_thing, clauses, found))


#: So many things in a row are a list.
_SEVERAL = 3


def _names_thing(found: Sequence[Token]) -> bool:
    """Whether its last word is a fastener or a part that is known, in the singular."""
    entry = found[-1].entry if found else None
    return entry is not None and bool(entry.kind or entry.place)


_OLD_OR_NEW = frozenset(("old", "new", "spare", "used", "the", "a", "its"))


def _is_one_thing(clause: str, found: Sequence[Token]) -> bool:
    words = [word for word in map(fold, clause.split()) if word not in _OLD_OR_NEW]
    if not found or "(" in clause or len(words) > _LONGEST or not SIDES.isdisjoint(words):
        return False
    if is_plural(found[-1].text) or _tells([one for one in found if one.text not in _OLD_OR_NEW]):
        return False
    return all(token.kind in ("phrase", "word") for token in found)


def _brings(clauses: Sequence[str]) -> bool:
    """Whether what stands behind the parts brings things, and does not tell of the parts."""
    found = tokens(clauses[0])
    named = any(token.entry is not None and token.entry.kind for token in found)
    return named or bool(found and (found[0].count or found[0].thread))


def names_part(clause: str) -> bool:
    """Whether a clause is nothing but the name of a part: float needle, Hauptdüse 72."""
    if clause[:1].isdigit():
        return False  # 4 screws
    found = tokens(_RATING.sub("", clause.strip()))
    words = [word for token in found if token.kind != "join" for word in fold(token.text).split()]
    if not found or len(words) > _LONGEST or SIDES & set(words):
        return False
    known = any(_is_part(token) for token in found)
    named = all(_is_part(token) or is_unread(token) or token.kind == "join" for token in found)
    return known and named and not _tells(found) and found[0].kind != "join"


def _tells(found: Sequence[Token]) -> bool:
    """Whether one of the words says something; the oil of a known oil pump does not."""
    said = [token.text for token in found if not (" " in token.text and _names_thing([token]))]
    return any(bench_roles(fold(word)) & _SAYING for text in said for word in text.split())


#: The number of a jet behind its name: Hauptdüse 72.
_NUMBERED = re.compile(r"[^\W\d_]+(?:\s[^\W\d_]+)?\s#?[0-9]{2,3}\??")


def _is_alike(clause: str, before: str) -> bool:
    """The Leerlaufdüse 35 of `Hauptdüse 72, Leerlaufdüse 35`, which nobody knows."""
    both = _NUMBERED.fullmatch(clause.strip()) and _NUMBERED.fullmatch(before.strip())
    entry = tokens(clause)[0].entry if both else None
    return bool(both) and (entry is None or not entry.kind)


def _is_part(token: Token) -> bool:
    entry = token.entry
    part = entry is not None and entry.place and not entry.kind and not entry.opens
    return part and not tells_sort(token)
