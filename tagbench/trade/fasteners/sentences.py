"""A note that is several sentences: each begins another clause, as behind a comma.

`off the mower. LH thread!`; and what happened to one of them: `2 studs one came out with its nut`.
"""

from __future__ import annotations

import re

from tagbench.trade.fasteners.not_here import part_absent
from tagbench.trade.fasteners.patterns import replaced
from tagbench.trade.fasteners.referring import part_remarks
from tagbench.trade.fasteners.vocabulary import bench_roles, fold, look_up

_END = re.compile(r"(?<![\w.])(?P<last>[^\W\d_]{3,}[)!]?)\.\s+(?=[^\W_])(?!x\s?[0-9])")

#: What happened to one of them: 2 studs one came out with its nut.
_ONE_DID = re.compile(
    r"(?<=[^\W\d_]{2}s)\s(?=(?:one|two|both)\s(?:is|are|has|have|was|were|needs?|looks|got|blown|came|fell|broke|snapped|sheared|stripped|bent|lost"
    r"|missing|rusted|seized|stuck)\b)",
    re.IGNORECASE,
)
#: A word that is shortened before what it describes: 3 adj. screws, 2 insul. bushes.
_SHORTENED = re.compile(
    r"(?P<opens>(?:^|[,;:(+&]\s?)(?:[1-9][0-9]?x?\s)?)(?P<word>[^\W\d_]{2,6})\.\s(?=[a-zäöüéè]{3,})"
)
#: A word so short is shortened more often than not.
_SHORT = 3
_VOWEL = re.compile(r"[aeiouy]")


#: A size that ends a sentence: `1 nut M8. The nut is bent.`
_BEHIND_SIZE = re.compile(
    r"(?P<size>(?:[xXMØ/]\s?[0-9]{1,3}(?:\s?mm)?|[0-9]\s?mm|(?<![\w.])[0-9]{4}))\.\s(?=[^\W\d_]{3})"
)
#: A count that ends a sentence: `copper washer 1. Washer bent`.
_BEHIND_COUNT = re.compile(r"(?<=[^\W\d_]{3}\s)(?P<n>[1-9][0-9]?)\.\s(?=[^\W\d_]{3})")
#: Each thing with its count behind: `Springs: two. Cups: two.`
_NAMED_COUNTS = re.compile(
    r"(?:^|(?<=[.,;:/-]\s)|(?<=[0-9]\s))(?P<name>[^\W\d_]{2,}(?:[\s-][^\W\d_]+){0,2}s):\s"
    r"(?P<n>[1-9][0-9]?|one|two|three|four|five|six|seven|eight|nine|ten|twelve)(?=\s?(?:[.,;(/]|-\s|$))",
    re.IGNORECASE,
)


#: It came off, and is no count: tank off. 2 bolts.
_CAME_OFF = re.compile(r"^(?P<what>[^,;:()]{3,30}\soff)\.\s(?=[1-9a-z])", re.IGNORECASE)


#: The same where nobody counted them: studs: 1 snapped, 3 ok.
_STATES_ALONE = re.compile(
    r"^(?P<head>[^:,;()]{2,40}:\s)?(?P<name>[^\W\d_][^0-9,;:()]*?)(?::|\.|,|\s-)\s(?P<n>[1-9])\s(?P<a>[^\W\d_]+)(?P<how>[^0-9;:()]*?),\s"
    r"(?P<m>[1-9])\s(?P<b>[^\W\d_]+)(?P<rest>[^0-9;:()]*(?:\([^0-9()]*\))?)$",
    re.IGNORECASE,
)
_STATE = frozenset(
    ("ok", "okay", "good", "fine", "here", "gut", "bon", "bons", "bien", "buono", "buoni")
)


def _of_states(found: re.Match[str]) -> str:
    """`4 studs, 1 snapped, 3 ok`, where both say how some of them are."""
    told = ({"condition", "absent"} & bench_roles(fold(found[one])) for one in "ab")
    fine = (fold(found[one]) in _STATE for one in "ab")
    if not all(a or b for a, b in zip(told, fine, strict=True)):
        return found[0]
    many = int(found["n"]) + int(found["m"])
    whole = f"{found['head'] or ''}{many} {found['name']}"
    first, other = (f"{found[n]} {found[how]}" for n, how in (("n", "a"), ("m", "b")))
    return f"{whole}, {first}{found['how']}, {other}{found['rest']}"


#: How many of them are how: `6 studs: 4 ok, 1 bent`.
_STATES = re.compile(r"(?<=[^\W\d_][sS]):\s(?=[1-9]\s(?P<state>[^\W\d_]+))")


#: So many things of all sorts, with what they are behind it: 6 manifold bits - 2 studs, 4 nuts.
_BITS = re.compile(
    r"(?:^|(?<=:\s)|(?<=-\s))(?P<n>[1-9][0-9]?)\s(?P<what>(?:[^\W\d_]+\s){0,3}?(?:bits|items|pieces|parts|things|fixings|fasteners"
    r"|Teile|pièces|piezas|pezzi))(?:\s?:|\s-)\s(?P<list>.*[0-9].*)$",
    re.IGNORECASE,
)


#: Another sort of them, with where it goes: 6 short, 2 long ones go in back.
_SORT_GOES = re.compile(
    r"(?P<n>\b[1-9][0-9]?\s(?P<sort>long|short|thick|thin|big|small|wide|narrow)(?:\sones?)?)\s(?:go|goes|are|sit|fit)"
    r"\s(?=(?:in|at|on|to|under|behind|near|by)\b)",
    re.IGNORECASE,
)
_SORT_COUNTED = re.compile(
    r"[1-9][0-9]?\s(?:long|short|thick|thin|big|small|wide|narrow)\b", re.IGNORECASE
)


def _without_verb(found: re.Match[str]) -> str:
    counted = _SORT_COUNTED.search(found.string[: found.start()])
    other = counted is not None and not counted[0].lower().endswith(found["sort"].lower())
    return f"{found['n']} " if other else found[0]


def _of_bits(found: re.Match[str]) -> str:
    """The heading without its count, where the counts behind it are as many together."""
    counts = re.findall(r"(?<![\w.,/x-])([1-9][0-9]?)x?\s(?=[^\W\d_]{3}|M[0-9])", found["list"])
    whole = sum(map(int, counts)) == int(found["n"])
    return f"{found['what']}: {found['list']}" if whole else found[0]


def _as_remarks(found: re.Match[str]) -> str:
    told = bench_roles(fold(found["state"])) & {"condition", "absent"}
    side = bench_roles(fold(found["state"])) & {"sort", "place"}
    return ", " if told and not side else found[0]


#: Two of one size without a comma: one M8 normal one M8 left hand thread.
_ONE_AND_ONE = re.compile(
    r"(?P<one>\bone\s(?:M[0-9.]+|[0-9]+/[0-9]+)\s[^\W\d_]+)\s(?=one\s(?:M[0-9]|[0-9]+/[0-9]))",
    re.IGNORECASE,
)


def in_clauses(note: str) -> str:
    """The note with a comma for each full stop that ends a sentence, and before what happened.

    Behind a word that is shortened, `rear susp. bolts`, the point stays.
    """
    if "“" in note:
        return note
    if len(_NAMED_COUNTS.findall(note)) > 1:
        note = replaced(_NAMED_COUNTS, r"\g<name> \g<n> off", note).replace(" / ", ", ")
    note = _STATES_ALONE.sub(_of_states, note)
    note = replaced(_CAME_OFF, r"\g<what>, ", note)
    note = _SORT_GOES.sub(_without_verb, note)
    note = _BITS.sub(_of_bits, _STATES.sub(_as_remarks, note))
    note = replaced(_BEHIND_COUNT, r"\g<n>, ", replaced(_BEHIND_SIZE, r"\g<size>, ", note))
    note = part_remarks(part_absent(replaced(_ONE_AND_ONE, r"\g<one>, ", note)))
    note = _ONE_DID.sub(", ", _SHORTENED.sub(_without_point, note), count=1)
    return _END.sub(lambda found: f"{found['last']}, " if _is_whole(found) else found[0], note)


def _without_point(found: re.Match[str]) -> str:
    word = fold(found["word"])
    whole = look_up((word,)) is not None or bool(bench_roles(word))
    return found[0] if whole else f"{found['opens']}{found['word']} "


#: Series of threads, which end a size.
_SERIES = frozenset(("cycle", "whit", "bsf", "bsw", "bscy", "bsc", "cei", "unf", "unc"))


def _is_whole(found: re.Match[str]) -> bool:
    """Whether the word before the point is one that is known as it stands."""
    word = fold(found["last"].rstrip(")!"))
    if word in _SERIES:
        return True
    if len(word) <= _SHORT and not bench_roles(word) & {"count"}:
        said = look_up((word,))
        return said is not None and bool(said[1].kind)  # pin. Spring stretched
    spelled_out = _VOWEL.search(word) is not None
    return spelled_out and (look_up((word,)) is not None or bool(bench_roles(word)))
