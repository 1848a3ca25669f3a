"""A note cut into its heading and its clauses: what stands between commas, dashes and brackets."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from tagbench.trade.fasteners.counts.here import HEAD_COUNT
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.patterns import SMALL_COUNT, patterns
from tagbench.trade.fasteners.tokens import Token, tokens
from tagbench.trade.fasteners.vocabulary import bench_words, count_said, fold

#: Where a clause ends: a comma or dash with a blank behind it, and brackets.
_CLAUSE = re.compile(r",\s+|\s+-\s+|\s*(?=\()|(?<=\))\s*(?=\S)")
#: The count that a clause begins with: (4) old rubbers.
_COUNT_FIRST = re.compile(
    r"(?:^|.*(?:[,+&/;:]|\s-|\s(?:and|with|plus|und|mit|et|avec|y|con|e))\s?)\(x?[0-9]{1,2}x?\)"
)
#: A heading: the words before the first colon or dash.
HEADING = re.compile(r"^([^:(“\[]{2,40}?)(?::|\s-)\s+(?=\S)")
#: What a note begins with that says where all of it was.
OUT_OF = re.compile(
    r"^(?:(?:from|off|out\sof)\s(?:the\s)?|(?:vom|aus\sdem|aus\sder|von\sder)\s|(?:du|des|de\sla)\s"
    r"|(?:del|de\sla)\s|(?:dal|dalla|della)\s)(?=[^\W\d_])",
    re.IGNORECASE,
)
#: The bag or box that a note names in front.
_BAG = re.compile(r"(?:bag|box|tin|tub|tray|jar|page)\s(?:no\.?\s?)?[0-9]{1,4}", re.IGNORECASE)
#: The state of some without a comma: `gudgeon pin one missing`.
_STATE_BEHIND = re.compile(r"(?<=[^\W\d_]{3})\s(?=(?:one|two|three|both|1|2)\s([^\W\d_]+)$)")
#: What happened to one of them: one hardened.
_PARTICIPLE = re.compile(r"[a-z]{3,}ed")
#: `2 bolts one with a long bit`: what is said of one of them.
_ONE_WITH = re.compile(
    r"(?<=[^\W\d_]{2}s)\s(?=(?:one|two)\s(?:with\b|w/|has\b|is\b|was\b|which\b|that\b))",
    re.IGNORECASE,
)
_ONE_OF = re.compile(
    r"(?<=[\w)])\s(?=(?:one|two|[1-9])\sof\s(?:them|these|those|which)\s)", re.IGNORECASE
)
#: What is to be done, without a comma before it: paraolio 17x28x6 da cambiare.
_TO_DO = re.compile(
    r"(?<=\w)\s(?=(?:da\s[^\W\d_]{3,}(?:are|ere|ire)|zu\s[^\W\d_]{4,}en"
    r"|à\s[^\W\d_]{3,}(?:er|ir|re)|para\s[^\W\d_]{3,}(?:ar|er|ir))\s?!*$)",
    re.IGNORECASE,
)
#: Some of those that were counted, said behind them: dont 1 plus longue, davon 2 länger.
_SOME_OF = (
    r"(?:dont|davon|di cui|de los cuales|of which)\s"
    r"(?:une?|eine?r?|uno|una|one|two|deux|zwei|dos|due|[1-9])\b"
)
_OF_WHICH = re.compile(rf"(?<=[\w)])\s(?={_SOME_OF})", re.IGNORECASE)
#: Which way round it goes: `dished side out`, `closed end facing forward`.
_WAY_ROUND = re.compile(
    r"(?<!\w)(?:(?:small|large|big|long|short|wide|narrow|thick|thin)\s(?=\w+\s(?:side|end)\s))?"
    r"(?:(?P<which>(?!side\b|end\b)[^\W\d_]{3,})\s)?"
    r"(?:side|end|face|lip|edge|shoulder|chamfer|step|taper|dish)\s"
    r"(?:(?:goes|faces|facing|to|towards?)\s){0,2}"
    r"(?:in|out|up|down|fwd|forwards?|backwards?|inwards?|outwards?|upwards?|downwards?|inboard|"
    r"outboard|(?:to|towards?|against)\s(?:the\s)?[^\W\d_]{3,}(?:\s[^\W\d_]{3,})?)"
    r"(?=\s*(?:[,;.()!]|-\s|$))",
    re.IGNORECASE,
)
#: Sides and ends of a machine, and of no washer.
_OF_MACHINE = frozenset(
    ("left", "right", "front", "rear", "near", "off", "top", "bottom", "upper", "lower", "inner",
     "outer", "timing", "drive", "clutch", "gearbox", "points", "sprocket", "brake", "magneto",
     "other", "each", "both", "either", "per")
)  # fmt: skip


def _way_round(note: str) -> re.Match[str] | None:
    """Where it is said which way round a thing goes; None for `left side to frame`."""
    found = _WAY_ROUND.search(note)
    if found is None:
        return None
    before = note[: found.start()].split()
    which = found["which"] or (before[-1] if before else "")
    return None if fold(which) in _OF_MACHINE else found


def says_way_round(clause: str) -> bool:
    """Whether a clause says which way round a thing goes, and no more."""
    said = clause.strip("() .!")
    found = _way_round(said)
    return found is not None and found[0] == said


def _parted(found: re.Match[str]) -> str:
    """A comma before what is to be done, but not behind the uno of `uno da rifare`."""
    *_, last = found.string[: found.start()].split()
    return found[0] if fold(last) in bench_words("count") or last.isdecimal() else ", "


def says_some(clause: str) -> bool:
    """Whether a clause begins with some of the pieces before it: `dont 1 plus longue`."""
    return re.match(_SOME_OF, clause, re.IGNORECASE) is not None


@lru_cache(maxsize=64)
def clauses_of(note: str) -> tuple[tuple[str, str], ...]:
    """Each clause with what parts it from the one before; brackets are clauses of their own."""
    return tuple(_clauses(note))


def _clauses(note: str) -> Iterator[tuple[str, str]]:
    state = _STATE_BEHIND.search(note)
    if state and (fold(state[1]) in bench_words("condition") or _PARTICIPLE.fullmatch(state[1])):
        note = f"{note[: state.start()]}, {note[state.end() :]}"
    way = _way_round(note)
    if way is not None and note[: way.start()].rstrip()[-1:].isalnum():
        note = f"{note[: way.start()].rstrip()}, {note[way.start() :]}"
    note = _OF_WHICH.sub(", ", _ONE_OF.sub(", ", _ONE_WITH.sub(", ", note, count=1), count=1))
    note = _TO_DO.sub(_parted, note, count=1)
    at, joint = 0, ""
    for found in _CLAUSE.finditer(note):
        before = note[: found.start()]
        depth = sum(sign in "([" for sign in before) - sum(sign in ")]" for sign in before)
        if depth > 0 or found.start() < at or found.start() == found.end() == at:
            continue
        if not found[0].strip(" ") and before.endswith(")") and _COUNT_FIRST.fullmatch(before):
            continue
        yield joint, note[at : found.start()]
        at, joint = found.end(), found[0]
    yield joint, note[at:]


def is_heading(said: str) -> bool:
    """Whether words before a colon say where it all was, and name no fastener."""
    if _BAG.fullmatch(said):
        return True
    if patterns()["each_side"].fullmatch(said):
        return False  # each side: 1 bolt, 2 washers
    found = tokens(OUT_OF.sub("", said, count=1))
    parts = [one for one in found if _is_part(one)]
    return bool(parts) and all(
        one in parts or _is_side(one) or one.kind == "handed" for one in found
    )


def _is_side(token: Token) -> bool:
    """The front of `front brake: 2 shoes`."""
    return token.entry is not None and token.entry.place and not token.entry.kind


def _is_part(token: Token) -> bool:
    """A word of a machine's part, or one that nobody knows."""
    entry = token.entry
    if fold(token.text) == "head":
        return True  # of an engine
    if token.kind == "phrase" and entry is not None:
        return entry.place and fold(token.text) not in bench_words("sort")
    return is_unread(token)


#: So many at each of several places: 2 per leg, two on each side, 4 each spindle.
_SHARE = re.compile(
    rf"\(?(?P<n>{SMALL_COUNT})\s(?:off\s)?(?:per|each|(?:on|in|at|to|for)\s(?:each|every|either)"
    r"|pro|je|par|por|per ogni)\s[^\W\d_]+(?:\s[^\W\d_]+)?\)?",
    re.IGNORECASE,
)
_IN_ALL = re.compile(
    rf"(?<![\w.,/-])({SMALL_COUNT})(?=\s(?:off|pcs|total|in all)\b|x\s)|(?<=\sx)([1-9][0-9]?)\b",
    re.IGNORECASE,
)


def is_share(clause: str, core: str) -> bool:
    """Whether `2 per leg` tells where the 8 screws of the core were, and counts no more."""
    said = _SHARE.fullmatch(clause.strip())
    if said is None:
        return False
    behind = [one or other for one, other in _IN_ALL.findall(core)]
    counts = HEAD_COUNT.findall(core) or behind
    many, share = [count_said(one) for one in counts], count_said(said["n"])
    return len(many) == 1 and many[0] > share > 0 and many[0] % share == 0
