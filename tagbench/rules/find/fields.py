"""What a part is found by: its words by field, each with how much the field says about it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache

from tagbench.records import Bin, Fastener, Part
from tagbench.rules.bin_contents import bin_of
from tagbench.rules.bins import bins_around
from tagbench.rules.find.pairs import phrases_in
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
    "kind": 0.5,
    "code": 0.5,
    "bin": 0.5,
    "sits how": 0.35,
    "note": 0.35,
}
"""Field → how much a word found in it counts; a name says most."""

Forms = Mapping[str, str]


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
    yield "code", str(int(part.code.split("-")[1]))
    if part.quantity > 1:
        yield "count", str(part.quantity)
    for text in bin_texts(bin_of(part), bins):
        yield "bin", text
    for number in part.part_numbers:
        yield "part number", number.number
        yield "part number", number.superseded_by
    for photo in part.photos:
        yield "note", photo.caption
    for line in part.fasteners:
        yield from fastener_fields(line, tools)


def bin_texts(code: str, bins: Mapping[str, Bin]) -> Iterator[str]:
    """What a bin and all that holds it are called, with their kinds."""
    return (f"{one.kind} {one.name}" for one in bins_around(code, bins))


def fastener_fields(line: Fastener, tools: bool = True) -> Iterator[tuple[str, str]]:
    """The (field, text) pairs of one line of fasteners; `tools`: the spanners for it too."""
    yield "count", str(line.quantity)
    yield "thread", line.thread
    if line.thread.endswith("LH"):
        yield "thread", LEFT_HAND
    if tools:
        fitting = _spanners(line.kind, line.thread, line.head, line.drive, line.tool)
        yield "thread", " ".join(fitting)
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
def _spanners(kind: str, thread: str, head: str, drive: str, tool: str) -> tuple[str, ...]:
    """The words for the spanners that fit a line, as said or else by its thread."""
    if said := re.findall(r"spanner ([0-9/.]+)", tool):
        return tuple(map(spanner_word, said))
    from tagbench.trade.tools.bench import tools_for

    line = Fastener(kind=kind, thread=thread, head=head, drive=drive)
    found = [one for one in tools_for(line) if one.tool == "spanner"]
    sizes = (re.match(r"([0-9/.]+) (?:mm|in)", one.size) for one in found)
    return tuple(spanner_word(size[1]) for size in sizes if size)


def thread_word(designation: str) -> str:
    """One word for a whole thread in its standard spelling, marked so that nobody types it."""
    return f"⌀{fold(designation)}"


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
