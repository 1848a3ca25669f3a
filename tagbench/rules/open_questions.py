"""Fasteners whose thread or size is not yet known: open questions that a measurement answers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from tagbench.errors import BadInput
from tagbench.records import Fastener, Part, Tables, replace
from tagbench.rules.count.fastener_lines import FastenerLine, lines_of, missing
from tagbench.rules.describe.phrases import named, plural

THREAD, SIZE = "thread not yet known", "size not yet known"
SIZED_KINDS = frozenset(
    (
        "circlip", "cotter pin", "spring pin", "taper pin", "dowel pin", "grooved pin",
        "clevis pin", "shear pin", "key", "O-ring", "oil seal", "dust seal", "bearing",
        "needle bearing", "taper roller bearing", "thrust bearing", "crush washer",
        "bonded washer", "rivet", "blind rivet", "core plug",
    )
)  # fmt: skip
"""Kinds without a thread that are bought and put back by their size."""


class OpenQuestion(NamedTuple):
    """A line of fasteners that nobody has named the thread or size of yet."""

    line: FastenerLine
    """The line."""

    @property
    def code(self) -> str:
        """Code of the part."""
        return self.line.part.code

    @property
    def key(self) -> str:
        """Its name on lists: `thread:TP-017-K/1`."""
        return f"thread:{self.line.key}"

    @property
    def words(self) -> str:
        """`cover TP-017-K: 2x screw (long), thread not yet known`."""
        return f"{named(self.line.part)}: {spelled(self.line.fastener)}"


def open_question(fastener: Fastener) -> str:
    """What is not yet known of a line: its thread, or the size of what has none; else empty."""
    if fastener.thread:
        return ""
    from tagbench.trade.fasteners.vocabulary import open_thread

    if open_thread(fastener):
        return THREAD
    size = fastener.diameter or fastener.length or fastener.number
    return SIZE if fastener.kind in SIZED_KINDS and not size else ""


def spelled(fastener: Fastener) -> str:
    """The line in its short form, and behind it what is not yet known of it."""
    from tagbench.trade.fasteners.spelling import spell

    return ", ".join(filter(None, [spell(fastener), open_question(fastener)]))


def open_questions_of(parts: Iterable[Part]) -> list[OpenQuestion]:
    """The open questions of some parts, in their order; what is all back is asked no more."""
    return open_questions_in(line for line in lines_of(parts) if missing(line.fastener))


def open_questions_in(lines: Iterable[FastenerLine]) -> list[OpenQuestion]:
    """The open questions of some lines, in their order."""
    return [OpenQuestion(line) for line in lines if open_question(line.fastener)]


def open_questions(tables: Tables, mark: str) -> list[OpenQuestion]:
    """The open questions of a machine."""
    return open_questions_of(tables.parts_of(mark))


def how_many_open(found: Iterable[OpenQuestion]) -> str:
    """`6 fasteners in 3 lines to be measured`; empty for none."""
    fasteners = [one.line.fastener for one in found]
    if not fasteners:
        return ""
    many = plural(sum(one.quantity for one in fasteners), "fastener")
    within = f" in {len(fasteners)} lines" if len(fasteners) > 1 else ""
    return f"{many}{within} to be measured"


def answered(fastener: Fastener, text: str) -> Fastener:
    """The line with what was measured: a thread such as M6, or a size such as 3.2x32.

    The kept words that the measurement answers go; all else that was said stays. BadInput for a
    text that names no thread, or no size of that kind.
    """
    from tagbench.trade.fasteners.vocabulary import open_thread

    found = (_with_thread if open_thread(fastener) else _with_size)(fastener, text)
    left = fastener.words
    for word in _answered_words(fastener, found):
        left = " ".join(left.replace(word, " ", 1).split())
    return replace(found, words=left)


def measured_lines(part: Part, found: Mapping[int, str]) -> tuple[Fastener, ...]:
    """The lines of a part with what was measured of some of them, by their numbers from 1.

    A line that says the same already stays as it is. BadInput for a number without a line, a line
    that asks nothing, and a text that is no thread or size; nothing is answered then.
    """
    lines = list(part.fasteners)
    for number, text in found.items():
        if not 1 <= number <= len(lines):
            raise BadInput(f"{named(part)} has no line {number} of fasteners.")
        fastener = lines[number - 1]
        if open_question(fastener):
            lines[number - 1] = answered(fastener, text)
        elif not _says_so(fastener, text):
            raise BadInput(
                f"{spelled(fastener)} of {named(part)} is known; edit {part.code} --fasteners "
                "writes the lines anew."
            )
    return tuple(lines)


def _says_so(fastener: Fastener, text: str) -> bool:
    """Whether a line that is known says just what was measured."""
    try:
        return (_with_thread if fastener.thread else _with_size)(fastener, text) == fastener
    except BadInput:
        return False


def _with_thread(fastener: Fastener, designation: str) -> Fastener:
    from tagbench.trade.threads.designation import parse_thread

    thread = parse_thread(designation).designation
    unit = fastener.length_unit if fastener.length is not None else "mm"
    return replace(fastener, thread=thread, diameter=None, length_unit=unit)


def _with_size(fastener: Fastener, size: str) -> Fastener:
    from tagbench.trade.fasteners.reading import read_fasteners

    lines = read_fasteners(f"{fastener.kind} {size}").lines
    read = lines[0] if len(lines) == 1 else Fastener()
    if read.kind != fastener.kind or read.words or open_question(read):
        raise BadInput(f"“{size.strip()}” is not a size of a {fastener.kind}; type it as 3.2x32.")
    return replace(
        fastener,
        diameter=read.diameter,
        length=read.length,
        thickness=read.thickness,
        length_unit=read.length_unit,
        number=read.number,
    )


def _answered_words(fastener: Fastener, found: Fastener) -> Iterator[str]:
    """The kept words in doubt of which one reading is what was measured."""
    from tagbench.trade.fasteners.reading import read_fasteners

    for choice in read_fasteners(fastener.typed).asks if fastener.words else ():
        meant = any(one.meaning == f"thread:{found.thread}" for one in choice.options)
        if meant and choice.token in fastener.words:
            yield choice.token
