"""What stands beside the fasteners of a note: where all of it was, and remarks in words.

`rear hub: 4x M6x20, one damaged, clean before refit` is four screws; the rest says nothing of how
many or which. It is set apart before the fasteners are parsed, and written down beside them
afterwards, so that a remark never changes how they are read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Literal

import msgspec

from tagbench.records import Fastener
from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.patterns import patterns
from tagbench.trade.fasteners.tidying import tidy
from tagbench.trade.fasteners.tokens import Token, tokens
from tagbench.trade.fasteners.vocabulary import bench_words, fold, look_up

#: Where a clause ends: a comma or dash with a blank behind it, and brackets.
_CLAUSE = re.compile(r",\s+|\s+-\s+|\s*(?=\()|(?<=\))\s*(?=\S)")
#: A heading: the words before the first colon or dash.
_HEADING = re.compile(r"^([^:(“\[]{2,40}?)(?::|\s-)\s+(?=\S)")
#: The bag or box that a note names in front.
_BAG = re.compile(r"(?:bag|box|tin|tub|tray|jar|page)\s(?:no\.?\s?)?[0-9]{1,4}", re.IGNORECASE)
#: Where one of them stands, the other may begin a further sort: 2 front, rear.
_OPPOSITES = (
    ("front", "rear"), ("left", "right"), ("top", "bottom"), ("upper", "lower"),
    ("inner", "outer"), ("lh", "rh"), ("lhs", "rhs"), ("n/s", "o/s"), ("ns", "os"),
    ("nearside", "offside"), ("links", "rechts"), ("oben", "unten"), ("gauche", "droite"),
    ("avant", "arriere"), ("izquierda", "derecha"), ("sinistra", "destra"),
)  # fmt: skip
#: Sides; which of several pieces as often as where all of them were.
_SIDES = frozenset(side for pair in _OPPOSITES for side in pair)
#: The state of some without a comma: `gudgeon pin one missing`.
_STATE_BEHIND = re.compile(r"(?<=[^\W\d_]{3})\s(?=(?:one|two|three|both|1|2)\s([^\W\d_]+)$)")
#: Some of those that were counted: `one of them`, `2 of which`.
_SOME = re.compile(
    r"(?:one|two|three|[1-9][0-9]?)\s(?:of\s(?:them|these|those|which|'em)|davon|dont|de ellos)"
    r"(?=\s\S)|(?:one|two)\s(?:with\b|w/|(?:has|which|that)\b)|all\s(?:[0-9]{1,2}\s)?(?:accounted|present|there|here|found|in|ok)\b",
    re.IGNORECASE,
)
#: Words of a hole or thread that is mended, and no screw.
_OF_HOLE = re.compile(r"helicoil|\btap(?:ped)?\b|stripped|\bholes?\b|insert", re.IGNORECASE)
#: `2 bolts one with a long bit`: what is said of one of them.
_ONE_WITH = re.compile(
    r"(?<=[^\W\d_]{2}s)\s(?=(?:one|two)\s(?:with\b|w/|has\b|is\b|was\b|which\b|that\b))",
    re.IGNORECASE,
)
_ONE_OF = re.compile(
    r"(?<=[\w)])\s(?=(?:one|two|[1-9])\sof\s(?:them|these|those|which)\s)", re.IGNORECASE
)
#: They refer to what was said before, or to pieces that it did not name.
_REFERS = ("ditto", "all", "each", "per", "others", "comparative", "hedge", "set", "sizes", "weak")
#: What a clause of a remark may begin with; a noun alone may be a further thing.
_SAYS = ("condition", "absent", "verb", "negation")


class Aside(msgspec.Struct, frozen=True):
    """Words set apart from the fasteners of a note."""

    role: Literal["place", "words"]
    text: str
    before: str
    """The fasteners that stand before it."""


def set_apart(note: str) -> tuple[str, tuple[Aside, ...]]:
    """The fasteners of a note in plain signs, and what stands beside them.

    The note as it is, and nothing beside it, when there is nothing else in it.
    """
    if "“" in note or "note:" in note:  # spelled by the program, with its words in quotes
        return note, ()
    heading = _HEADING.match(note)
    head = heading[1].strip() if heading is not None and _is_heading(heading[1]) else ""
    rest = note[heading.end() :] if heading is not None and head else note
    core, found, core_said = "", [], False
    for joint, clause in _clauses(rest):
        role = _role(joint, clause, rest) if core_said or _SOME.match(clause) else None
        if role is None:
            core += joint + clause
            core_said = core_said or _names_fastener(clause)
        else:
            found.append(Aside(role, clause.strip("() "), core))
    if head:
        found.insert(0, Aside("place", head, ""))
    if not found or not core_said or (_is_lone_thread(core) and _OF_HOLE.search(note)):
        return note, ()
    return core, tuple(found)


def _clauses(note: str) -> Iterator[tuple[str, str]]:
    """Each clause with what parts it from the one before; brackets are clauses of their own."""
    if (state := _STATE_BEHIND.search(note)) and fold(state[1]) in bench_words("condition"):
        note = f"{note[: state.start()]}, {note[state.end() :]}"
    note = _ONE_OF.sub(", ", _ONE_WITH.sub(", ", note, count=1), count=1)
    at, joint = 0, ""
    for found in _CLAUSE.finditer(note):
        before = note[: found.start()]
        depth = sum(sign in "([" for sign in before) - sum(sign in ")]" for sign in before)
        if depth > 0 or found.start() < at:
            continue
        yield joint, note[at : found.start()]
        at, joint = found.end(), found[0]
    yield joint, note[at:]


def _is_heading(said: str) -> bool:
    """Whether words before a colon say where it all was, and name no fastener."""
    if _BAG.fullmatch(said):
        return True
    if patterns()["each_side"].fullmatch(said):
        return False  # each side: 1 bolt, 2 washers
    found = tokens(said)
    return bool(found) and all(_is_part(one) for one in found)


def _is_part(token: Token) -> bool:
    """A word of a machine's part, or one that nobody knows."""
    entry = token.entry
    if token.kind == "phrase" and entry is not None:
        return entry.place and fold(token.text) not in bench_words("sort")
    return is_unread(token)


def _is_lone_thread(core: str) -> bool:
    """The M6 of `M6 stripped - helicoil fitted` may be that of a hole."""
    said = [token for token in tokens(core) if token.kind != "word"]
    return len(said) == 1 and said[0].thread is not None


def _names_fastener(clause: str) -> bool:
    """Whether a clause counts, sizes or names pieces."""
    return any(
        token.count or token.numbers or token.thread or token.kind in ("gauge", "bearing", "place")
        or bool(token.entry and (token.entry.kind or token.entry.head))
        for token in tokens(clause)
    )  # fmt: skip


def _role(joint: str, clause: str, note: str) -> Literal["place", "words"] | None:
    """What a clause is when it is no fastener: where it was, or a remark; else None."""
    found = tokens(clause.strip("() ."))
    if not found:
        return None
    entry = found[0].entry
    if joint.strip() == "" and entry is not None and entry.opens:
        return None  # (goes between the arms)
    if _is_state(found) or _SOME.match(clause) or _is_compared(found) or _is_chore(found):
        return "words"
    if any(map(_may_be_piece, _of_remark(found))):
        return None
    if all(token.entry and (token.entry.place or token.entry.opens) for token in found):
        said = [word for token in found for word in fold(token.text).split()]
        opens = entry is not None and entry.opens
        listed = joint.startswith(",") and not opens and not _SIDES.issuperset(said)
        return "place" if not listed and _are_sides_alone(said, clause, note) else None
    return "words" if _says_something(found) else None


def _says_something(found: Sequence[Token]) -> bool:
    """Whether words that name no fastener are a remark: clean before refit, does not fit."""
    words = [fold(word) for token in found for word in token.text.split()]
    if _begins_chore(found) or words[0] in bench_words("verb"):
        return True
    if len(words) == 1:
        return words[0] in bench_words("condition")
    says = any(word in bench_words(role) for word in words for role in _SAYS)
    return says and not any(_refers(word) for word in words)


#: Colours of wires, and what leads from one thing to another.
_COLOURS = re.compile(
    r"\b(?:black|blue|brown|red|white|green|yellow|grey|gray|orange|purple|pink|light|dark)\b"
    r"(?:[/-]\w+)?(?:\s(?:wire|lead|cable))?\s(?:to|=|->|goes|on)\s"
    r"|\bto\s(?:black|blue|brown|red|white|green|yellow|grey|gray|orange|purple|pink)\b",
    re.IGNORECASE,
)
#: What was set, and what is to stay so.
_SET_AT = re.compile(r"\b(?:set|gapped|timed|adjusted)\s(?:at|to)\b", re.IGNORECASE)


def is_remark(note: str) -> bool:
    """Whether a note in plain signs names no fastener at all: `see photo`, `bent, get new`."""
    if _COLOURS.search(note) and not any(map(str.isdigit, note)):
        return True  # brown wire to coil, white to points
    if _SET_AT.search(note) and not any(one.entry and one.entry.kind for one in tokens(note)):
        return True  # points set at 0.015
    heading = _HEADING.match(note)
    rest = note[heading.end() :] if heading is not None and _is_heading(heading[1]) else note
    clauses = [tokens(clause.strip("() .!")) for _, clause in _clauses(rest)]
    if not note or not all(clauses):
        return False
    if not _is_remark(clauses[0]):
        told = any(map(_is_told, clauses[1:]))
        return told and not any(_names_piece(one) for found in clauses for one in found)
    return all(
        _is_remark(found) or _is_state(found) or not any(map(_names_piece, found))
        for found in clauses[1:]
    )


def _is_told(found: Sequence[Token]) -> bool:
    """Whether a clause says something with a verb: don't know where green goes."""
    words = [fold(word) for token in found for word in token.text.split()]
    said = any(word in bench_words(role) for word in words for role in ("verb", "negation"))
    return said and len(words) > _FEW_WORDS and _is_remark(found)


#: Fewer words may say how a part is, and no more.
_FEW_WORDS = 3
#: What is looked at is no piece of this bag.
_LOOKS = frozenset(("look", "check", "see", "inspect", "siehe", "voir", "ver", "vedi"))


_DONT = ("don't", "dont", "do", "never", "nicht", "pas", "ne")


def _counts_or_sizes(token: Token) -> bool:
    return fold(token.text) not in ("one", "ones") and token.kind not in ("word", "join", "phrase")


def _names_piece(token: Token) -> bool:
    """Whether it counts, sizes or names a piece; a metal alone does not: alloy strips."""
    entry = token.entry
    if token.kind == "phrase" and entry is not None:
        return bool(entry.kind or entry.head or entry.drive)
    return token.kind not in ("word", "join", "phrase")


def _is_remark(found: Sequence[Token]) -> bool:
    """`put back with glue`, `same as left`, `lost one`."""
    first, last = fold(found[0].text.split()[0]), fold(found[-1].text)
    begins = any(first in bench_words(role) for role in _SAYS) or first == "same"
    begins = begins or _begins_chore(found)
    rest = found[:-1] if begins and len(found) > 1 and last in ("one", "ones") else found
    names = _names_piece if _begins_chore(found) else _may_be_piece
    pieces = [token for token in rest if token.kind != "join" and names(token)]
    if first in (*_LOOKS, *_DONT) and not any(map(_counts_or_sizes, rest)):
        return True  # look at seal, don't use the short screw here
    verbs = any(fold(word) in bench_words("verb") for one in found for word in one.text.split())
    return not pieces and (begins or verbs or _says_something(found))


def _of_remark(found: Sequence[Token]) -> Sequence[Token]:
    """The words without the `one` of `needs a new one from the shop`, which counts nothing new."""
    says = any(fold(found[0].text) in bench_words(role) for role in ("chore", *_SAYS))
    return [one for one in found if not (says and fold(one.text) in ("one", "ones"))]


def _are_sides_alone(said: Sequence[str], clause: str, note: str) -> bool:
    """Whether words of place hold for what was said, and name no further piece of it."""
    if not all(word in bench_words("sort") for word in said):
        return True
    others = set(fold(note.replace(clause, " ")).replace(",", " ").split())
    across = {other for word in said for pair in _OPPOSITES if word in pair for other in pair}
    return all(word in _SIDES for word in said) and not (across - set(said)) & others


def _is_compared(found: Sequence[Token]) -> bool:
    """`the middle one 10 mm longer than the others`: one of those that were counted."""
    words = [fold(word) for token in found for word in token.text.split()]
    compared = any(word in bench_words("comparative") for word in words) and "than" in words
    return compared and not any(
        token.thread or (token.entry and token.entry.kind) for token in found
    )


def _begins_chore(found: Sequence[Token]) -> bool:
    """Whether the first word says what to do: `oil before refit`, but not `oil filler cap`."""
    words = [fold(word) for token in found for word in token.text.split()]
    if words[0] not in bench_words("chore"):
        return False
    if words[0] not in _NOUN_CHORES or len(words) == 1:
        return True
    roles = ("opens", "noise", "weak", "all", "verb")
    return words[1] in _ADVERBS or any(words[1] in bench_words(role) for role in roles)


#: They name a thing as often as they say what to do.
_NOUN_CHORES = frozenset(
    ("oil", "grease", "paint", "lube", "tap", "drill", "test", "torque", "note", "mark", "turn",
     "push", "pull", "lift", "wash", "plate", "store", "label", "return", "measure", "swap")
)  # fmt: skip
_ADVERBS = frozenset(
    ("before", "after", "when", "well", "lightly", "again", "first", "only", "both")
)


def _is_chore(found: Sequence[Token]) -> bool:
    """`keep with bearings`: what is to be done, with what it is done to."""
    first = fold(found[0].text.split()[0])
    told = _begins_chore(found) and first not in _NO_CHORES
    return told and len(found) > 1 and not any(map(_counts_or_sizes, found))


#: They stand before a thing as often as they say what to do: clean screws, fitted bolt.
_NO_CHORES = frozenset(
    ("same", "again", "clean", "fitted", "plated", "painted", "left", "do", "used", "note", "mark")
)


def _is_state(found: Sequence[Token]) -> bool:
    """`one damaged`, `2 bent`: some of the pieces that were counted."""
    first, *rest = found
    many = first.count or (first.numbers and first.numbers[0].whole and not first.cross)
    states = [fold(token.text) for token in rest]
    return bool(many and states) and all(word in bench_words("condition") for word in states)


def _may_be_piece(token: Token) -> bool:
    """Whether it may say something of a fastener, or count or name a further thing."""
    if token.kind == "word":
        said = fold(token.text)
        known = any(said in bench_words(role) for role in _SAYS)
        near = not known and not is_unread(token) and look_up((said,)) is None
        return near and not any(said in bench_words(role) for role in ("noise", "opens"))
    entry = token.entry
    if token.kind != "phrase" or entry is None:
        return True
    return not (entry.place or entry.opens or entry.noise)


def _refers(word: str) -> bool:
    return any(word in bench_words(role) for role in _REFERS)


def beside(
    lines: Sequence[Fastener], parsed: Sequence[ParsedLine], asides: Sequence[Aside]
) -> list[Fastener]:
    """The lines with what stood beside them: beside the fastener before it, not its washer."""
    made = list(lines)
    for aside in asides:
        owner, end = 0, len(tidy(aside.before))
        for at, line in enumerate(parsed):
            if line.start < end and (not line.sits_on or aside.role == "words"):
                owner = at
        said = made[owner]
        if aside.role == "place":
            parts = (said.place, aside.text) if aside.before else (aside.text, said.place)
            made[owner] = msgspec.structs.replace(said, place=", ".join(filter(None, parts)))
        else:
            words = ", ".join(filter(None, (said.words, aside.text)))
            made[owner] = msgspec.structs.replace(said, words=words)
        if len(made) > 1:
            typed = f"{said.typed}, {aside.text}" if aside.before else f"{aside.text}: {said.typed}"
            made[owner] = msgspec.structs.replace(made[owner], typed=typed)
    return made
