"""Threads of one machine that start in each other's holes, told before the screws are mixed up."""

from __future__ import annotations

from collections.abc import Iterable

from tagbench.errors import BadInput
from tagbench.records import Part, Tables
from tagbench.trade.threads import Thread, mix_ups, parse_thread


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


def _thread(text: str) -> Thread | None:
    try:
        return parse_thread(text)
    except BadInput:
        return None
