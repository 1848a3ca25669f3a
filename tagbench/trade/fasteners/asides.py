"""What stands beside the fasteners of a note: where all of it was, and remarks in words.

`rear hub: 4x M6x20, one damaged, clean before refit` is four screws; the rest says nothing of how
many or which. It is set apart before the fasteners are parsed, and written down beside them
afterwards, so that a remark never changes how they are read.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import takewhile
from typing import Literal

import msgspec

from tagbench.records import Fastener
from tagbench.trade.fasteners.clauses import (
    HEADING,
    OUT_OF,
    clauses_of,
    is_heading,
    is_share,
    says_some,
    says_way_round,
)
from tagbench.trade.fasteners.none_said import is_nothing, says_no_kind
from tagbench.trade.fasteners.not_here import is_gone, is_surely_gone
from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.parser.counted_clauses import are_two_things, clauses_of_list
from tagbench.trade.fasteners.parser.headed_lists import comes_off
from tagbench.trade.fasteners.parser.no_places import says_no_place
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.referring import refers_back
from tagbench.trade.fasteners.remark_clauses import (
    SAYS,
    WARNINGS,
    forbids,
    is_chore,
    is_compared,
    is_of_feature,
    is_state,
    is_state_of_all,
    is_warning,
    is_way_round,
    may_be_piece,
    names_piece,
    says_reused,
    says_something,
)
from tagbench.trade.fasteners.sides import OPPOSITES, SIDES
from tagbench.trade.fasteners.tidying import tidy
from tagbench.trade.fasteners.tokens import Token, tokens
from tagbench.trade.fasteners.vocabulary import bench_words, fold

#: Some of those that were counted: `one of them`, `2 of which`.
_SOME = re.compile(
    r"(?:front|rear|left|right|top|bottom|inner|outer)\spair\s(?:is|are|has|have|goes?|marked|bent)\b"
    r"|(?:the\s)?(?:long|short|thick|thin|big|small|odd|top|bottom|middle|front|rear|left|right|inner|outer)(?:er|est)?"
    r"\sones?\s(?:=|is|are|was|were|goes|go|sits?|fits?)\s"
    r"|(?:one|two|some)\s(?:a\s(?:bit|little|tad|touch)|slightly|rather|very|quite|badly|looks?|looking|feels?)\s[^\W\d_]"
    r"|(?:the\s)?(?:long|short|odd|top|bottom|middle|front|rear|left|right|inner|outer)\sone\s(?:weeps|leaks|sticks"
    r"|binds|rattles|spins|turns|needs|wants|has|looks|feels|came|broke|snapped|sheared|stuck|stripped|seized)\b"
    r"|found\s(?:one|it|them|another|1)\b"
    r"|(?:a\s)?(?:handful|bunch|fistful|load|loads|lots|plenty)[.!]?$"
    r"|(?:one|two|three|[1-9][0-9]?)\s(?:of\s(?:them|these|those|which|'em)|davon|dont|de ellos)"
    r"(?=\s\S)|(?:one|two)\s(?:with\b|w/|(?:has|which|that)\b)|all\s(?:[0-9]{1,2}\s)?(?:accounted|present|there|here|found|in|ok)\b",
    re.IGNORECASE,
)
#: What is wrong, and with how many: thread damaged on one.
_ON_SOME = re.compile(
    r"([^\d,;:()]{3,}?)\s(?:on|with|an|bei|sur|en|su)\s"
    r"(?:one|both|two|some|eine[rmn]|einem|une?|un[oa])(?:\sof\s(?:them|these))?",
    re.IGNORECASE,
)
#: Words of a hole or thread that is mended, and no screw.
_OF_HOLE = re.compile(r"\btap(?:ped)?\b|stripped|\bholes?\b|insert", re.IGNORECASE)


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
    note = _with_comma(note)
    found, rest = _openings(note)
    core, core_said = "", False
    for joint, clause in clauses_of(rest):
        stands_first = _SOME.match(clause) or is_nothing(clause) or _warns(clause)
        stands_first = stands_first or (not core and (_tells(clause) or is_surely_gone(clause)))
        role = _role(joint, clause, rest) if core_said or stands_first else None
        of_named = core_said and refers_back(clause, core)
        if _is_one_of_sort(clause, core) or of_named:
            role = "words"
        elif is_share(clause, core):
            role = "place"
        if _is_of_aside(joint, clause, found, core):
            said = f"{found[-1].text} {clause}"
            found[-1] = msgspec.structs.replace(found[-1], text=said)
            continue
        if core and not core_said and is_of_feature(tokens(clause.strip("() ."))):
            role, core_said = "words", True  # impeller, 2 vanes gone
        if role is None:
            core += joint + clause
            core_said = core_said or _names_fastener(clause) or _names_two(clause)
            core_said = core_said or comes_off(tokens(clause.strip("() .")))
        else:
            found.append(Aside(role, clause.strip("() "), core))
    if not found or not core_said or (_is_lone_thread(core) and _OF_HOLE.search(note)):
        return note, ()
    return core, tuple(found)


def _openings(note: str) -> tuple[list[Aside], str]:
    """What a note begins with before it names anything, and what stands behind that.

    Up to two headings, as in `rear hub: lhs: 4 plugs`; a place that was taken back; the words of
    a sentence. The last heading stands first, as each is written before the place so far.
    """
    found: list[Aside] = []
    rest = note
    for _ in range(_HEADINGS):
        heading = HEADING.match(rest)
        head = heading[1].strip() if heading is not None else ""
        in_words = _is_condition(head) or is_nothing(head)
        told = in_words or (heading is not None and is_heading(heading[1]))
        if heading is None or not (told or _is_side_of_all(head, rest)):
            break
        found.insert(0, Aside("words" if in_words else "place", head, ""))
        rest = _with_comma(rest[heading.end() :])
    for opens in (_TAKEN_BACK, _SENTENCE):
        if (opened := opens.match(rest)) is not None:
            found.append(Aside("words", opened[0].strip(" ,:"), ""))
            rest = rest[opened.end() :]
    return found, rest


#: More headings than these are a list of places with what sat there.
_HEADINGS = 2


def _with_comma(note: str) -> str:
    """The note with a comma behind where it all was: off the dynamo, spring washers 4 off."""
    opened = OUT_OF.match(note)
    if opened is None:
        return note
    found = [token for token in tokens(note) if token.start >= opened.end()]
    at = 0
    while at < len(found) and _is_part(found[at]):
        at += 1
    clause = list(takewhile(lambda one: one.kind != "join", found[at:]))
    kind = next((i for i, one in enumerate(clause) if one.entry and one.entry.kind), -1)
    if not at or kind < 0 or (kind == 0 and not is_plural(clause[0].text)):
        return note
    start = clause[0].start
    return f"{note[:start].rstrip()}, {note[start:]}"


def _is_part(token: Token) -> bool:
    entry = token.entry
    part = bool(entry and entry.place and not entry.kind) or fold(token.text) == "head"
    return part and not tells_sort(token)


def _is_side_of_all(head: str, note: str) -> bool:
    """Whether a heading is a side of the machine, and the note names no other one."""
    behind = note[len(head) :]
    words = {fold(word) for word in re.findall(r"[^\W\d_]+", behind)}
    pair = next((pair for pair in OPPOSITES if fold(head) in pair), ())
    return bool(pair) and behind[:1] == ":" and words.isdisjoint(pair) and ":" not in behind[1:]


#: A place that was taken back: `prop stand? no, jack bracket`.
_TAKEN_BACK = re.compile(
    r"(?:[^\W\d_]+\s){0,2}[^\W\d_]+(?:\?\s?(?:no|nein|non)|\snein)\s?[,:]\s(?=[^\W\d_])",
    re.IGNORECASE,
)
#: How a sentence begins that names what is in the bag: these are the five cover screws.
_SENTENCE = re.compile(
    r"(?:(?:these|those|this|here|they)\s(?:are|is)(?:\s(?:all\s)?(?:the|my)|(?=\sboth\s))"
    r"|there\s(?:are|is)(?!\s(?:no|none|nothing|only|just|one\sof)\b)"
    r"|I\s(?:took|removed|have\s(?:put|taken|kept))|please\skeep\s(?:this|these|the)"
    r"|das\ssind(?:\sdie)?|ce\ssont(?:\sles)?|son\s(?:los|las)|sono\s(?:i|le|gli))"
    r"\s(?=[^\W_])(?!same\b)",
    re.IGNORECASE,
)
#: The one of those that were counted: `the one by the dowel is longer`.
_THE_ONE = re.compile(
    r"(?:the|that|this)\s(?:other\s)?(?:one|two|three|[1-9])\s"
    r"(?:by|at|near|next|under|behind|in|on|with|is|are|goes|sits|was)\s",
    re.IGNORECASE,
)


_IN_ORDER = re.compile(r"(?:and\s)?(?:all\s)?in\s(?:that|this|the\ssame)\sorder\b", re.IGNORECASE)


def _means(found: Sequence[Token], clause: str) -> bool:
    """`red paint = top`: what a mark means."""
    return " = " in clause and not any(map(names_piece, found))


def _is_metal_gone(found: Sequence[Token]) -> bool:
    """`chrome gone`: what became of its plating, and not what it is made of."""
    if len(found) != 2 or found[0].entry is None or found[0].entry.kind:
        return False
    return bool(found[0].entry.material) and fold(found[1].text) in bench_words("condition")


def _tells(clause: str) -> bool:
    """`cable is on the shelf`: a sentence of its own, before what is in the bag."""
    found = tokens(clause.strip("() ."))
    verbs = [fold(token.text) for token in found[1:] if fold(token.text) in bench_words("verb")]
    return bool(verbs) and not any(map(names_piece, found))


def _warns(clause: str) -> bool:
    first = fold(clause).strip("() .").replace(":", " ").replace("!", " ").split()[:1]
    if not first or first[0] not in WARNINGS:
        return False
    found = tokens(clause.strip("() ."))
    return bool(found) and is_warning(found, clause)


def _is_one_of_sort(clause: str, core: str) -> bool:
    """The thick one of `1 thick 2 thin, thick one nearest the gear`, which was counted before."""
    found = _ONE_OF_SORT.match(clause)
    if found is None or fold(found["sort"]) not in bench_words("sort"):
        return False
    stem = re.escape(found["sort"][:_STEM])
    counted = rf"(?:[1-9][0-9]?|one|two|three|four|eine?|une?|un[oa]?)\s(?:\w+\s)?{stem}"
    return re.search(counted, core, re.IGNORECASE) is not None


#: So many letters of a sort are the same whatever it ends in: kurz, kurze.
_STEM = 4
_ONE_OF_SORT = re.compile(
    r"(?:(?:the|der|die|das|la|le|el|il)\s)?(?P<sort>[^\W\d_]+?)(?:\sones?|s?(?=\s(?:at|in|on|to|goes?|by|near"
    r"|nearest|towards|nach|an|bei|hinten|vorne?|oben|unten|en|à|au|vers|a|detr[aá]s|dietro|sopra|sotto)\b)"
    r"|s(?=\s))\s",
    re.IGNORECASE,
)


def _is_of_aside(joint: str, clause: str, found: Sequence[Aside], core: str) -> bool:
    """The (top rear) of `7 screws, one of them longer (top rear)` is where that one was."""
    behind = bool(found) and found[-1].role == "words" and found[-1].before == core
    named = _names_fastener(clause.strip("()")) and not (found and says_some(found[-1].text))
    return behind and not joint.strip() and clause.startswith("(") and not named


def _is_condition(head: str) -> bool:
    """The `spare` of `spare: 2 M6x20` says in what state they are, and not where."""
    words = fold(head).split()
    told = all(word in bench_words("condition") for word in words)
    return bool(words) and told and SIDES.isdisjoint(words)


def _is_lone_thread(core: str) -> bool:
    """The M6 of `M6 stripped - insert fitted` may be that of a hole."""
    said = [token for token in tokens(core) if token.kind != "word"]
    return len(said) == 1 and said[0].thread is not None


def _names_fastener(clause: str) -> bool:
    """Whether a clause counts, sizes or names pieces."""
    return any(
        token.count or token.numbers or token.thread or token.kind in ("gauge", "bearing", "place")
        or bool(token.entry and (token.entry.kind or token.entry.head))
        for token in tokens(clause)
    )  # fmt: skip


def _names_two(clause: str) -> bool:
    """Whether a clause joins two things that are no fasteners: float + needle."""
    return are_two_things(list(clauses_of_list(tokens(clause))), clause)


def _role(joint: str, clause: str, note: str) -> Literal["place", "words"] | None:
    """What a clause is when it is no fastener: where it was, or a remark; else None."""
    found = tokens(clause.strip("() ."))
    if not found:
        return None
    entry = found[0].entry
    if joint.strip() == "" and entry is not None and entry.opens and not forbids(found):
        return None  # (goes between the arms)
    if is_nothing(clause) or is_warning(found, clause) or says_no_kind(clause.strip(" .")):
        return "words"
    if _says_of_some(clause) or _OF_IT.fullmatch(clause):
        return "words"
    if _means(found, clause) or _is_metal_gone(found) or _IN_ORDER.match(clause):
        return "words"
    if is_state(found) or is_compared(found) or is_chore(found) or is_state_of_all(found):
        return "words"
    if is_way_round(found) or says_way_round(clause) or is_gone(found, clause):
        return "words"
    if any(map(may_be_piece, _of_remark(found))):
        return None
    if all(token.entry and (token.entry.place or token.entry.opens) for token in found):
        return _role_of_places(joint, clause, note)
    return "words" if says_something(found) else None


def _role_of_places(joint: str, clause: str, note: str) -> Literal["place", "words"] | None:
    """What a clause of nothing but places is: `at the rear`, or a remark: `back to front`."""
    if says_no_place(clause.strip("() .")):
        return "words"
    found = tokens(clause.strip("() ."))
    entry = found[0].entry
    said = [word for token in found for word in fold(token.text).split()]
    opens = entry is not None and entry.opens
    listed = joint.startswith(",") and not opens and not SIDES.issuperset(said)
    return "place" if not listed and _are_sides_alone(said, clause, note) else None


#: What is done with it, in two or three words: seal it, bolt it up.
_OF_IT = re.compile(r"[^\W\d_]{3,}\s(?:it|them)(?:\s(?:up|down|on|in|out|back|well))?[!.]*", re.I)


def _says_of_some(clause: str) -> bool:
    """`one of them longer`, `the one by the dowel`, `thread damaged on one`."""
    if says_some(clause) or _SOME.match(clause) or _THE_ONE.match(clause):
        return True
    wrong = _ON_SOME.fullmatch(clause)
    return wrong is not None and says_something(tokens(wrong[1]))


def _of_remark(found: Sequence[Token]) -> Sequence[Token]:
    """The words without the `one` of `needs a new one from the shop`, which counts nothing new."""
    says = any(fold(found[0].text) in bench_words(role) for role in ("chore", *SAYS))
    return [one for one in found if not (says and fold(one.text) in ("one", "ones"))]


def _are_sides_alone(said: Sequence[str], clause: str, note: str) -> bool:
    """Whether words of place hold for what was said, and name no further piece of it."""
    if not all(word in bench_words("sort") for word in said):
        return True
    others = set(fold(note.replace(clause, " ")).replace(",", " ").split())
    across = {other for word in said for pair in OPPOSITES if word in pair for other in pair}
    return all(word in SIDES for word in said) and not (across - set(said)) & others


def beside(
    lines: Sequence[Fastener], parsed: Sequence[ParsedLine], asides: Sequence[Aside]
) -> list[Fastener]:
    """The lines with what stood beside them: beside the fastener before it, not its washer."""
    made = list(lines)
    for aside in asides:
        owner, end = 0, len(tidy(aside.before))
        for at, line in enumerate(parsed):
            if line.piece_at + line.start < end and (not line.sits_on or aside.role == "words"):
                owner = at
        said = made[owner]
        if aside.role == "place":
            parts = (said.place, aside.text) if aside.before else (aside.text, said.place)
            made[owner] = msgspec.structs.replace(said, place=", ".join(filter(None, parts)))
        else:
            words = ", ".join(filter(None, (said.words, aside.text)))
            once = said.single_use and not says_reused(aside.text)
            made[owner] = msgspec.structs.replace(said, words=words, single_use=once)
        if len(made) > 1:
            typed = f"{said.typed}, {aside.text}" if aside.before else f"{aside.text}: {said.typed}"
            made[owner] = msgspec.structs.replace(made[owner], typed=typed)
    return made
