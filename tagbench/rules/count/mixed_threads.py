"""Threads of one machine that start in each other's holes, told before the screws are mixed up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from tagbench.errors import BadInput
from tagbench.records import Part, Tables
from tagbench.trade.threads import Thread, mix_ups, parse_thread, would_start_in


class MixedWith(NamedTuple):
    """A thread of the machine that is mistaken for the one in hand."""

    thread: str
    """The other thread."""
    code: str
    """A part that has it."""
    words: str
    """Which starts in which, in a few words: `starts in #10-32 UNF of TP-012-K`."""
    sentence: str
    """The same in a sentence, with what tells them apart."""


def mixed_threads(threads: Iterable[str]) -> list[str]:
    """A sentence for each pair of threads that are mistaken for one another.

    Names that are no thread (kinds of unthreaded things, text kept as typed) are passed over.
    """
    known = dict.fromkeys(thread.designation for thread in map(_thread, threads) if thread)
    return mix_ups(known)


def new_mix_ups(tables: Tables, part: Part) -> list[str]:
    """A sentence for each pair that a part's fasteners make with what its machine had before."""
    mine = {fastener.thread for fastener in part.fasteners if fastener.thread}
    others = {
        fastener.thread
        for other in tables.parts.values()
        if other.machine == part.machine and other.code != part.code
        for fastener in other.fasteners
        if fastener.thread
    }
    if not mine - others:
        return []
    before = set(mixed_threads(sorted(others)))
    return [said for said in mixed_threads(sorted(others | mine)) if said not in before]


def threads_on(parts: Iterable[Part], but: str = "") -> dict[str, str]:
    """Thread → the code of the first part that has it, leaving out the part with code `but`."""
    found: dict[str, str] = {}
    for part in parts:
        if part.code != but:
            for fastener in part.fasteners:
                found.setdefault(fastener.thread, part.code)
    found.pop("", None)
    return found


def mixed_with(thread: str, others: Mapping[str, str]) -> list[MixedWith]:
    """The threads of `threads_on` that start in this one's hole, or this one in theirs."""
    mine = _thread(thread)
    if mine is None:
        return []
    found = []
    for other, code in others.items():
        if _thread(other) is not None and (said := mix_ups([mine.designation, other])):
            there = would_start_in(mine, other)
            words = f"starts in {other} of {code}" if there else f"{other} of {code} starts in it"
            found.append(MixedWith(other, code, words, said[0]))
    return found


def _thread(text: str) -> Thread | None:
    try:
        return parse_thread(text)
    except BadInput:
        return None
