"""How many there are is asked where a note says what is at one of several: `per leg 1 seal`.

Said before the things it holds for all of them, said behind one for that one. The number as it
was typed stays in the record until somebody has said how many there are in all.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from tagbench.trade.fasteners.parsed_line import ParsedLine, line_text
from tagbench.trade.fasteners.patterns import SMALL_COUNT
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.tokens import tokens
from tagbench.trade.fasteners.vocabulary import bench_words, count_said, fold, look_up

_NUMBER = r"(?P<many>[2-9]|two|three|four|five|six|zwei|drei|vier|deux|trois|quatre|dos|tres)"
#: Each of them, one of them by its name, and all of so many.
_SAID = re.compile(
    r"\b(?:on\s|in\s|at\s|for\s)?(?:each|every|per|chaque|cada|ogni|pro|jede[rsn]?)\s"
    r"(?P<one>[^\W\d_]{3,})"
    r"|\b(?P<named>[^\W\d_]{3,}),?\s\(?(?:each|every one|jeweils)\b\)?(?=\s?:|$)"
    rf"|\ball\s{_NUMBER}\s(?P<all>[^\W\d_]{{3,}})"
    r"|\b(?P<places>[2-9])\s(?:legs|drums|hubs|wheels|cylinders|brakes|forks)"
    r"(?=\s?(?::|,?\seach))",
    re.IGNORECASE,
)
#: Of these there are two on a machine.
_TWO = frozenset(
    ("leg", "legs", "fork", "forks", "side", "sides", "end", "ends", "arm", "arms", "seite",
     "ende", "cote", "bout", "lado", "lato", "bein", "beine", "holm", "jambe", "fourreau")
)  # fmt: skip
#: What follows names no place: each of them, each one, one per bolt.
_NO_PLACE = frozenset(
    ("of", "one", "ones", "head", "them", "with", "has", "does", "time", "way", "other")
)
_COUNT = re.compile(r"(?<![\w.])[1-9][0-9]?(?![\w.,/])|\b(?:two|three|four|five|six)\b")


_LAST_NUMBER = re.compile(rf"\b({SMALL_COUNT})\s?$", re.IGNORECASE)


def ask_multiplied(note: str, lines: Sequence[ParsedLine]) -> None:
    """Writes the question into each line that a `per leg` of the note holds for."""
    if same := _SAME.search(note):
        _ask_twice(same, lines)
        return
    said = next(filter(_is_place, _SAID.finditer(note)), None)
    if said is None:
        _ask_each_of(note, lines)
        return
    first = not _COUNT.search(note[: said.start()])
    before = _LAST_NUMBER.search(note[: said.start()])
    for line in lines:
        if line.asked is not None or line.per_side is not None or not line.thing:
            continue
        many = line.count or 1
        if before and many > (share := count_said(before[1])) and not many % share:
            continue  # 18 balls (9 per side): all of them are counted
        if first or said[0] in line.text[line.start : line.end]:
            label = said[0].strip() if line is lines[0] else line.kind_words or line_text(line)
            line.asked = label, tuple(times * many for times in (*_times(said), 1))


#: All but one of them.
_EXCEPT = re.compile(
    r"\b(?:except|apart from|but not|ausser|außer|bis auf|sauf|excepto|salvo|menos|tranne|eccetto"
    r"|meno)\b"
    r"(?:\s(?:for|on|under|at|by|in|where|sous|sur|en|sotto))?\s"
    r"(?:the|one|1|a|top|bottom|left|right|front|rear|middle|last|first|eine[rsmn]?|une?|una|la|le|el|il)\b",
    re.IGNORECASE,
)


def ask_excepted(note: str, lines: Sequence[ParsedLine]) -> None:
    """`4 nuts, washers under all except the one by the plug`: three washers, or four."""
    said = _EXCEPT.search(note)
    pieces = [at for at, line in enumerate(lines) if line.sits_on]
    if said is None or not pieces:
        return
    last, holders = lines[pieces[-1]], [line for line in lines[: pieces[-1]] if not line.sits_on]
    many = last.sits_on * (holders[-1].count or 0) if holders else 0
    if many > 1 and last.asked is None and last.per_side is None:
        last.asked = said[0], (many - 1, many)


#: One more than there should be, or than were counted.
_EXTRA = re.compile(
    r"(?:one|1)\s(?P<what>(?:[^\W\d_]+\s){1,3})(?:extra|over|left\sover|too\smany|spare)[?!\s]*",
    re.IGNORECASE,
)


def ask_extra(remarks: Sequence[str], lines: Sequence[ParsedLine]) -> None:
    """`5 snap rings, 1 snap ring extra??`: five with that one, or six."""
    for said in remarks:
        found = _EXTRA.fullmatch(said.strip(" ."))
        kinds = {one.entry.kind for one in tokens(found["what"]) if one.entry} if found else set()
        for line in lines:
            if line.kind and line.kind in kinds and line.count and line.asked is None:
                line.asked = said, (line.count, line.count + 1)


#: So many of them are good: `1 bolt sheared, 3 ok`.
_GOOD = re.compile(r"([1-9][0-9]?)\s(?:are\s)?(?:ok|okay|good|fine|usable)", re.IGNORECASE)


def ask_good_ones(remarks: Sequence[str], lines: Sequence[ParsedLine]) -> None:
    """More good ones than were counted are more of them, or all there are."""
    if len(lines) != 1 or lines[0].asked is not None or not lines[0].count:
        return
    for said in remarks:
        found = _GOOD.fullmatch(said.strip(" ."))
        if found and int(found[1]) > lines[0].count:
            many = lines[0].count + int(found[1])
            lines[0].asked = said, (many, int(found[1]), lines[0].count)


#: What was said before is on the other side as well.
_SAME = re.compile(
    r"\bsame\s(?:again\s?,?\s?)?(?:on|for|at|in)?\s?(?:the\s)?other\s(?:end|side|one)\b"
    r"|\bother\s(?:end|side)(?:\sis)?\s(?:the\s)?same\b|\bsame\sagain\b"
    r"|\b(?:rh|lh|left|right|o/s|n/s|offside|nearside|rear|front)\s(?:(?:side|one|hub|leg)\s)?(?:the\s)?same\b",
    re.IGNORECASE,
)


def _ask_twice(said: re.Match[str], lines: Sequence[ParsedLine]) -> None:
    """`bearing 6004 and circlip 42, same again other end`: two of each, or one."""
    for at, line in enumerate(lines):
        behind = line.piece_at + line.start > said.start()
        if line.asked is None and line.per_side is None and line.thing and not behind:
            many = line.count or 1
            label = said[0] if not at else line.kind_words or line_text(line)
            line.asked = label, (2 * many, many)


_EACH = re.compile(r"\beach\b|\bea\b|\ba\s(?P<one>[^\W\d_]{3,})(?=\s?(?:$|[,;]))", re.IGNORECASE)


def _ask_of_parts(said: str, lines: Sequence[ParsedLine]) -> None:
    """`rear lamps 2 screws each`: as many at each of several parts, which nobody counted."""
    line = lines[0]
    named = [word for place in line.place for word in place.split()]
    several = any(map(is_plural, named)) and line.thing and bool(line.count)
    if several and line.count and line.asked is None and line.per_side is None:
        line.asked = said, tuple(times * line.count for times in (2, 3, 4, 1))


def _ask_each_of(note: str, lines: Sequence[ParsedLine]) -> None:
    """`2 cups, 1 screw each`, `2 caps, 2 nuts a cap`: as many at each of the things counted."""
    said = _EACH.search(note)
    things = [line for line in lines if line.kind == "other" and (line.count or 0) > 1]
    if said is not None and not things and not said["one"]:
        _ask_of_parts(said[0], lines)
    if said is None or len(things) != 1 or things[0].count is None:
        return
    if said["one"] and fold(said["one"]) not in fold(line_text(things[0])):
        return
    for line in lines:
        near = line.kind != "other" and line.asked is None and line.per_side is None
        if near and line.thing and line.text[line.start : line.end] in note:
            many = line.count or 1
            line.asked = line.kind_words or line_text(line), (many * things[0].count, many)


def _is_place(said: re.Match[str]) -> bool:
    noun = fold(said["one"] or said["named"] or said["all"] or said["places"])
    if noun.isdecimal():
        return True
    if noun in _NO_PLACE or any(noun in bench_words(role) for role in ("verb", "negation")):
        return False
    known = look_up((noun,))
    return known is None or not known[1].kind


def _times(said: re.Match[str]) -> tuple[int, ...]:
    """How many of what each is said of there may be."""
    many = said["many"] or said["places"]
    if many:
        return (count_said(many, 2),)
    return (2,) if fold(said["one"] or said["named"]) in _TWO else (2, 3, 4)
