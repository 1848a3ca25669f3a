"""Lists in which each thing has its count: `tank rubbers 4, top hat spacers 4, M6 bolts 4`.

A bag holds more than fasteners. Beside things that are counted, what has a count of its own is a
thing as well, whether its word is known or not; it is not where the others were.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest

import msgspec

from tagbench.trade.fasteners.abroad import languages
from tagbench.trade.fasteners.parser.prepared_words import THING, how_many
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import bench_roles, bench_words, fold

_JOINS = frozenset((",", "+", "&", "and", "plus", "und", "et", "y", "e"))
#: What is named behind them belongs to what stands before: strainer with its gasket.
_ITS = ("its", "their")
_WITH = ("with", "w/", "w")
#: What says something of things that are counted elsewhere.
_ROLES = frozenset(
    ("sort", "condition", "chore", "verb", "hedge", "weak", "negation", "absent", "few", "each",
     "sizes", "pair of sides", "set", "all", "comparative", "others", "ditto", "per", "facing",
     "count")
)  # fmt: skip
#: Roles of words that say something, and name no thing.
SAYING = _ROLES | {"place", "opens", "noise"}
#: They number what stands before the figure: cyl 1, gear 3.
_NUMBERED = frozenset(
    ("cyl", "cylinder", "gear", "speed", "no", "nr", "num", "stage", "step", "bin", "bag", "box",
     "tin", "tray", "shelf", "page", "photo", "pic", "fig", "size", "type", "grade", "position",
     "pos", "journal", "bearing", "main", "big", "half", "zyl", "gang", "bild", "foto", "tüte",
     "cilindro", "cylindre", "sac", "bolsa", "busta")
)  # fmt: skip
#: How words of several things end in German, French and Italian.
_ENDS_ABROAD = ("s", "x", "n", "e", "i", "r")
#: Nobody counts more things of one sort into a list.
_MOST = 60


class _Counted(msgspec.Struct, frozen=True):
    """A clause that is a count and a name."""

    at: int
    """Which of its tokens is the count."""
    many: int
    known: bool
    """Whether it names a fastener."""
    name: tuple[Token, ...]
    where: tuple[Token, ...] = ()
    """The words behind the name that say where it was: from the rear hub, rear hub."""

    @property
    def behind(self) -> bool:
        """Whether the count stands behind the name."""
        return self.at > 0


def counted_clauses(found: list[Token], text: str) -> list[Token]:
    """The tokens with each counted thing that is no known fastener as a thing of its own.

    Only where two things at least are counted, and all that is counted is a thing.
    """
    clauses = list(clauses_of_list(found))
    if are_two_things(clauses, text):
        return [token for clause, join in clauses for token in (thing_of(clause, text), *join)]
    clauses = [_with_its(at, clauses, text) for at in range(len(clauses))]
    counted = [_counted(clause) for clause, _ in clauses]
    listed = [one for one in counted if one is not None]
    if all(one.known for one in listed) or not (
        len(listed) > 1 or _is_beside_a_kind(clauses, counted, text)
    ):
        return [token for clause, join in clauses for token in (*clause, *join)]
    behind = [one.behind for one in listed]
    if any(behind) != all(behind) or not _are_things(listed, text):
        return [token for clause, join in clauses for token in (*clause, *join)]
    made: list[Token] = []
    for (clause, join), one in zip(clauses, counted, strict=True):
        if one is not None:
            made += _as_thing(clause, one, text)
        elif clause and not made and all(map(may_name, clause)) and any(map(is_unread, clause)):
            made.append(thing_of(clause, text))  # brake light switch, 2 wires
        else:
            made += clause
        made += join
    return made


def _with_its(
    at: int, clauses: Sequence[tuple[list[Token], list[Token]]], text: str
) -> tuple[list[Token], list[Token]]:
    """The clause there with its joint: the brush of `generator brush with its spring`, a thing."""
    clause, join = clauses[at]
    behind = clauses[at + 1][0] if at + 1 < len(clauses) else []
    its = bool(behind) and fold(behind[0].text) in _ITS
    named = bool(clause) and len(clause) <= _LONGEST_NAME and all(map(may_name, clause))
    if not (its and named and join and at == 0):
        return clause, join
    comma = msgspec.structs.replace(join[0], name=",")
    return [thing_of(clause, text)], [comma]


def are_two_things(clauses: Sequence[tuple[Sequence[Token], Sequence[Token]]], text: str) -> bool:
    """`float + needle`, `throttle cable nipple & adjuster`: two things, and no fastener."""
    joins = [join[0].name.lower().strip() for _, join in clauses if join]
    if len(clauses) != _PAIR or not joins or joins[0] == "," or languages(text):
        return False
    for clause, _ in clauses:
        words = [word for token in clause for word in fold(token.text).split()]
        if not clause or len(words) > _LONGEST_NAME or not all(map(may_name, clause)):
            return False
        named = {"chore"} if clause[-1].entry is not None and clause[-1].entry.place else set()
        if (bench_roles(words[0]) | bench_roles(words[-1])) & (SAYING - named):
            return False  # a fuel tap is no chore
    return True


#: Two things are joined, and a list is counted.
_PAIR = 2
#: So many words name a thing that is no fastener.
_LONGEST_NAME = 4


def _is_beside_a_kind(
    clauses: Sequence[tuple[Sequence[Token], Sequence[Token]]],
    counted: Sequence[_Counted | None], text: str,
) -> bool:  # fmt: skip
    """`1 cable adjuster, gasket`: the only count is that of a thing, and no place was said."""
    pairs = zip(clauses, counted, strict=True)
    others = [clause for (clause, _), one in pairs if one is None and clause]
    kinds = [any(token.entry and token.entry.kind for token in clause) for clause in others]
    where = all(map(_names_place, others[-1])) if others and clauses[-1][0] is others[-1] else False
    named = any(kinds) and all(kinds[:-1] if where else kinds)
    placed = any(
        _names_place(clause[-1]) and not tells_sort(clause[-1])
        for clause in (others[:-1] if where else others)
    )
    things = [one for one in counted if one is not None and not one.known]
    known = all(any(map(_names_place, one.name)) for one in things)
    return named and known and not placed and not languages(text)


def clauses_of_list(found: Sequence[Token]) -> Iterator[tuple[list[Token], list[Token]]]:
    """The tokens between joints, and each time the joint behind them."""
    clause: list[Token] = []
    for token, follower in zip_longest(found, found[1:]):
        its = follower is not None and fold(follower.text) in _ITS
        named = token.name.lower().strip()
        if token.kind == "join" and (named in _JOINS or (its and named in _WITH)):
            yield clause, [token]
            clause = []
        else:
            clause.append(token)
    yield clause, []


def _counted(clause: Sequence[Token]) -> _Counted | None:
    """The count and the name of a clause; None when it has a size, or something else besides."""
    counts = [at for at, token in enumerate(clause) if how_many(token)]
    if len(counts) != 1 or len(clause) < 2 or counts[0] not in (0, len(clause) - 1):
        return None
    at = counts[0]
    if clause[at].name not in ("", "word", "behind"):
        return None  # 1 each leg
    name = tuple(token for place, token in enumerate(clause) if place != at)
    known = _names_fastener(name)
    opened = next((i for i, one in enumerate(name) if _opens_place(one)), len(name))
    where: tuple[Token, ...] = ()
    if opened and not (known or at):
        name, where = name[:opened], name[opened:]
    if not 0 < how_many(clause[at]) <= _MOST or (at and _is_number_of(name[-1])):
        return None
    sized = [token for token in name if token.thread or token.numbers or token.kind == "gauge"]
    if known and at and sized and sized[-1] is name[-1]:
        return None  # bolts M6 4: it may be how long they are
    if not known and any(not may_name(token) for token in name):
        caps = name[-1].entry is not None and name[-1].entry.head  # spring caps 2
        if not caps or any(not (may_name(one) or one.entry) for one in name):
            return None
    return _Counted(at, how_many(clause[at]), known, name, where)


def _opens_place(token: Token) -> bool:
    return bool(token.entry and token.entry.opens) or (_names_place(token) and tells_sort(token))


def _names_fastener(name: Sequence[Token]) -> bool:
    *_, last = name
    if last.entry is not None and last.entry.head and not last.entry.kind:
        return False  # spring caps
    return any(token.entry is not None and token.entry.kind for token in name)


def _is_number_of(token: Token) -> bool:
    *_, last = fold(token.text).split() or [""]
    return last in _NUMBERED


def may_name(token: Token) -> bool:
    """Whether it may name a thing, or be part of its name."""
    entry = token.entry
    if entry is not None:
        if entry.kind or token.kind != "phrase":
            return False
        return bool(entry.place or entry.material or (entry.head and is_plural(token.text)))
    return is_unread(token)


def _are_things(listed: Sequence[_Counted], text: str) -> bool:
    """Whether all that is counted is a thing, and nothing that is said of another."""
    if _are_parts(listed):
        return False
    placed = False
    for one in listed:
        if one.known:
            placed = placed or _names_place(one.name[-1])
            continue
        words = [word for token in one.name for word in fold(token.text).split()]
        if (bench_roles(words[0]) | bench_roles(words[-1])) & _ROLES:
            return False
        if tells_sort(one.name[-1]) or words[-1] in bench_words("place"):
            return False
        if one.many > 1 and not says_several(words[-1], text):
            return False
        if one.many == 1 and is_plural(words[-1]):
            return False  # one rumbles
        if one.many == 1 and placed and all(map(_names_place, one.name)):
            return False  # 2 M6x20 cover, 1 frame
    return True


def _are_parts(listed: Sequence[_Counted]) -> bool:
    """Whether the others tell what some of the first are: 4 bolts, 3 originals + 1 wrong."""
    first, *rest = listed
    several = first.known and first.many > 1
    if several and len(rest) > 1 and sum(one.many for one in rest) == first.many:
        return True
    return several and any(
        not one.known and one.many < first.many and len(one.name) == 1 and is_unread(one.name[0])
        and not is_plural(one.name[0].text)
        for one in rest
    )  # fmt: skip


def _names_place(token: Token) -> bool:
    return token.entry is not None and token.entry.place


def says_several(word: str, text: str) -> bool:
    return is_plural(word, text) or (bool(languages(text)) and word.endswith(_ENDS_ABROAD))


def _as_thing(clause: Sequence[Token], one: _Counted, text: str) -> list[Token]:
    """The clause with its count, and as a thing when it names no fastener."""
    typed = clause[one.at]
    count = msgspec.structs.replace(typed, kind="count", numbers=(), count=one.many)
    name = list(one.name) if one.known else [thing_of(one.name, text)]
    return [*name, count] if one.behind else [count, *name, *one.where]


def thing_of(name: Sequence[Token], text: str) -> Token:
    """One token for a thing that is no fastener, with its words as they were typed."""
    start, end = name[0].start, name[-1].end
    return Token("phrase", text[start:end], start, end, name=text[start:end], entry=THING)
