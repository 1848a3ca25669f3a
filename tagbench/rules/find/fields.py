"""What a part is found by: its words by field, each with how much the field says about it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache

from tagbench.records import Bin, Fastener, Part
from tagbench.rules.bin_contents import bin_of
from tagbench.rules.bins import bins_around
from tagbench.rules.find.pairs import phrases_in
from tagbench.rules.find.standing import standing_text
from tagbench.rules.find.words import (
    LEFT_HAND,
    NUMBER_WORDS,
    figure,
    fold,
    spanner_word,
    split,
    stem,
)

WEIGHTS: Mapping[str, float] = {
    "name": 1.0,
    "part number": 0.9,
    "thread": 0.8,
    "fasteners": 0.75,
    "count": 0.7,
    "position": 0.7,
    "assembly": 0.65,
    "state": 0.6,
    "kind": 0.5,
    "another spanner": 0.5,
    "code": 0.5,
    "bin": 0.5,
    "own part": 0.45,
    "wiring": 0.4,
    "sits how": 0.35,
    "note": 0.35,
}
"""Field → how much a word found in it counts; a name says most."""

THREAD_SIGN = "⌀"
"""Stands before a whole thread, so that it is never taken for a typed word."""


def fields(part: Part, bins: Mapping[str, Bin], tools: bool = True) -> Iterator[tuple[str, str]]:
    """All (field, text) pairs of a part; a field may come more than once.

    `tools`: the spanners for its fasteners too.
    """
    yield "name", part.name
    yield "assembly", part.assembly
    yield "position", part.position
    yield "kind", part.kind
    yield "sits how", part.sits_how
    yield "note", part.note
    yield "state", standing_text(part)
    yield "code", str(int(part.code.split("-")[1]))
    if part.quantity > 1:
        yield "count", str(part.quantity)
    for field, text in bin_texts(bin_of(part), bins):
        yield field, text
    for field, text in inner_texts(part):
        yield field, text
    for number in part.part_numbers:
        yield "part number", number.number
        yield "part number", number.superseded_by
    for photo in part.photos:
        yield "note", photo.caption
    for line in part.fasteners:
        yield from fastener_fields(line, tools)


def bin_texts(code: str, bins: Mapping[str, Bin]) -> Iterator[tuple[str, str]]:
    """The (field, text) pairs of a bin and all that holds it: its name with its kind, its note."""
    for one in bins_around(code, bins):
        yield "bin", f"{one.kind} {one.name}"
        if one.note:
            yield "note", one.note


def inner_texts(part: Part) -> Iterator[tuple[str, str]]:
    """The (field, text) pairs of what a part is made of: its own parts, its stack, its wires."""
    for own in part.own_parts:
        yield "own part", f"{own.name} {own.sits_how}"
    for piece in part.stack.pieces if part.stack is not None else ():
        yield "own part", piece.what
    if part.wiring is not None:
        yield "wiring", f"wiring wire {part.wiring.routing}"
        for pin in part.wiring.pins:
            yield "wiring", pin.goes_to


def fastener_fields(line: Fastener, tools: bool = True) -> Iterator[tuple[str, str]]:
    """The (field, text) pairs of one line of fasteners; `tools`: the spanners for it too."""
    yield "count", str(line.quantity)
    yield "thread", line.thread
    if line.thread.endswith("LH"):
        yield "thread", LEFT_HAND
    if line.thread:
        yield "thread", thread_family(line.thread)
    if tools:
        fitting, others = _spanners(line.kind, line.thread, line.head, line.drive, line.tool)
        yield "thread", " ".join(fitting)
        yield "another spanner", " ".join(others)
    yield "fasteners", line.kind
    yield "fasteners", f"{line.called} {line.number} {line.standard} {line.words}"
    yield "fasteners", " ".join((line.head, line.drive, line.grade, line.material))
    yield "fasteners", " ".join((line.place, *line.locking))
    yield "note", line.note
    for size in (line.length, line.diameter):
        if size:
            yield "thread", _size(size, line.length_unit)
    if not line.thread and line.diameter:
        yield "thread", " ".join(figure(str(size)) for size in (line.diameter, line.length) if size)


@lru_cache(maxsize=4096)
def thread_family(designation: str) -> str:
    """What people call the threads of its kind: `metric`, `inch`, `Whitworth inch`, `BA`."""
    words = designation.removesuffix(" LH").split()
    for word in (words[0], words[-1]):
        if word in _FAMILIES:
            return _FAMILIES[word]
    return "BA" if words[0].endswith("BA") else "metric" if words[0][0] == "M" else ""


_FAMILIES: Mapping[str, str] = (
    dict.fromkeys(("UNC", "UNF", "UNEF", "UNS", "BSF"), "inch")
    | {"BSW": "Whitworth inch", "BSC": "cycle inch"}
    | dict.fromkeys(("G", "R", "Rp", "Rc"), "BSP pipe inch")
    | {"NPT": "pipe inch"}
)
"""How a designation begins or ends → what people call such threads (common practice, no source)."""


@lru_cache(maxsize=4096)
def _spanners(
    kind: str, thread: str, head: str, drive: str, tool: str
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The words for the spanners that fit a line, as said or else by its thread.

    Apart, those that fit where it was made to another standard.
    """
    if said := re.findall(r"spanner ([0-9/.]+)", tool):
        return tuple(map(spanner_word, said)), ()
    from tagbench.trade.tools.bench import tools_for

    line = Fastener(kind=kind, thread=thread, head=head, drive=drive)
    found = [one for one in tools_for(line) if one.tool == "spanner"]
    return (
        tuple(spanner_word(size) for one in found for size in _flats(one.size)),
        tuple(
            spanner_word(size) for one in found for other in one.others for size in _flats(other)
        ),
    )


def _flats(spanner: str) -> Iterator[str]:
    """The size over flats of a spanner: `13` of `13 mm on DIN 934`."""
    if size := re.match(r"([0-9/.]+) (?:mm|in)", spanner):
        yield size[1]


def thread_word(designation: str) -> str:
    """One word for a whole thread in its standard spelling, marked so that nobody types it."""
    return f"{THREAD_SIGN}{fold(designation)}"


def _size(size: float, unit: str) -> str:
    """A length as it is typed: `12mm`, `3/4`, `0.8`."""
    if unit == "mm":
        return f"{figure(str(size))}mm"
    top = round(size * 32)
    if abs(top / 32 - size) > 1e-3 or not top:
        return figure(str(size))
    bottom = 32
    while top % 2 == 0 and bottom > 1:
        top, bottom = top // 2, bottom // 2
    whole, rest = divmod(top, bottom)
    return f"{whole or ''} {rest}/{bottom}".strip() if rest else f"{whole} in"


@lru_cache(maxsize=65536)
def index_words(text: str) -> tuple[tuple[str, str], ...]:
    """The (typed form, compared form) of every word and trade phrase of a text."""
    found = [(word, stem(word)) for word in split(text)]
    found += [(digit, digit) for word, digit in found if word in NUMBER_WORDS]
    if not text.isascii():
        found += [(umlaut, stem(umlaut)) for umlaut in _spelled_out(text)]
    compared = [stemmed for _, stemmed in found]
    found += [(phrase, phrase) for _, _, phrase in phrases_in(compared)]
    return tuple(found)


def _spelled_out(text: str) -> Iterator[str]:
    """Words with ä, ö, ü, å as some people must type them: Kettenrad-Hülse → huelse."""
    lower = text.casefold()
    if any(letter in lower for letter in "äöüå"):
        for letter, spelled in (("ä", "ae"), ("ö", "oe"), ("ü", "ue"), ("å", "aa")):
            lower = lower.replace(letter, spelled)
        plain = set(split(text))
        yield from (word for word in split(fold(lower)) if word not in plain)


def part_words(part: Part, bins: Mapping[str, Bin]) -> dict[str, float]:
    """Compared form → the weight of the best field of the part that it stands in."""
    best = {thread_word(line.thread): WEIGHTS["thread"] for line in part.fasteners if line.thread}
    for field, text in fields(part, bins):
        weight = WEIGHTS[field]
        for _, word in index_words(text):
            if best.get(word, 0.0) < weight:
                best[word] = weight
    return best
