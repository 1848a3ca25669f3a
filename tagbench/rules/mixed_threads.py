"""Threads of one machine that start in each other's holes, told before the screws are mixed up."""

from __future__ import annotations

from collections.abc import Iterable

from tagbench.errors import BadInput
from tagbench.trade.threads import Thread, mix_ups, parse_thread


def mixed_threads(threads: Iterable[str]) -> list[str]:
    """A sentence for each pair of threads that are mistaken for one another.

    Names that are no thread (kinds of unthreaded things, text kept as typed) are passed over.
    """
    known = dict.fromkeys(thread.designation for thread in map(_thread, threads) if thread)
    return mix_ups(known)


def _thread(text: str) -> Thread | None:
    try:
        return parse_thread(text)
    except BadInput:
        return None
