"""Fasteners whose thread is not yet known: open questions that a measuring card answers later."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from tagbench.records import Fastener, Part, Tables
from tagbench.trade.fasteners.reading import open_thread
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.threads.designation import parse_thread


class OpenThread(msgspec.Struct, frozen=True):
    """A line of fasteners with a thread that nobody has named yet."""

    code: str
    """Code of the part."""
    part: str
    """Name of the part."""
    line: int
    """Which of its lines of fasteners, from 0."""
    fastener: Fastener
    """The line itself."""

    @property
    def words(self) -> str:
        """`2x screw (long); thread not yet known`."""
        return thread_words(self.fastener)


def thread_words(fastener: Fastener) -> str:
    """The line as it is spelled, with the open question behind it when there is one."""
    question = "; thread not yet known" if open_thread(fastener) else ""
    return f"{spell(fastener)}{question}"


def open_threads_of(parts: Iterable[Part]) -> list[OpenThread]:
    """The open questions of some parts, in their order: for Strip, Part and Buy."""
    return [
        OpenThread(part.code, part.name, at, fastener)
        for part in parts
        for at, fastener in enumerate(part.fasteners)
        if open_thread(fastener)
    ]


def open_threads(tables: Tables, mark: str) -> list[OpenThread]:
    """The open questions of a machine: for Count."""
    return open_threads_of(tables.parts_of(mark))


def how_many_open(found: Iterable[OpenThread]) -> str:
    """`6 fasteners in 2 lines have a thread not yet known`; empty for none."""
    lines = list(found)
    if not lines:
        return ""
    pieces = sum(one.fastener.quantity for one in lines)
    fasteners = "1 fastener has" if pieces == 1 else f"{pieces} fasteners have"
    within = "" if len(lines) == pieces or len(lines) == 1 else f" in {len(lines)} lines"
    verb, _, have = fasteners.rpartition(" ")
    return f"{verb}{within} {have} a thread not yet known"


def with_thread(fastener: Fastener, designation: str, doubtful: str = "") -> Fastener:
    """The line with its thread as it was measured; `doubtful` is the kept word that it answers.

    BadInput for a designation that names no thread.
    """
    thread = parse_thread(designation).designation
    words = (
        " ".join(fastener.words.replace(doubtful, " ", 1).split()) if doubtful else fastener.words
    )
    plain = msgspec.structs.replace(fastener, thread=thread, diameter=None, words=words)
    if fastener.length is None:
        return msgspec.structs.replace(plain, length_unit="mm")
    return plain
