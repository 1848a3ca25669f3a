"""Where the sizes of a line come from, kept while the line is edited and means the same piece."""

from __future__ import annotations

from collections.abc import Iterable

from tagbench.records import Fastener, replace


def keep_measured(before: Iterable[Fastener], now: Iterable[Fastener]) -> tuple[Fastener, ...]:
    """The lines as they are now; those of the same kind and sizes as one before that was measured
    say so still, however they are spelled and however many they are."""
    known = [one for one in before if one.measured]
    kept = []
    for line in now:
        same = None if line.measured else next((one for one in known if _same(one, line)), None)
        source = same or next((one for one in known if one == line), None)
        if source is not None:
            known.remove(source)
        kept.append(replace(line, measured=same.measured) if same is not None else line)
    return tuple(kept)


def _same(one: Fastener, other: Fastener) -> bool:
    return _sizes(one) == _sizes(other)


def _sizes(line: Fastener) -> tuple[object, ...]:
    return line.kind, line.thread, line.diameter, line.length, line.thickness, line.length_unit
