"""What is proposed to complete a field: from the book first, then from common names."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from tagbench.records import Part, Tables
from tagbench.rules.bins import typed_path
from tagbench.rules.table import read_table

SHORTEST_TAIL = 2
"""So many letters of a last word must stand before the rest of it is proposed."""


@cache
def common_names(field: str) -> tuple[str, ...]:
    """The common names for a field, in the order of the table."""
    return tuple(row["words"] for row in read_table("common_names") if row["field"] == field)


def known_texts(tables: Tables, parts: Iterable[Part]) -> dict[str, list[str]]:
    """Field → what can complete it: what was typed last first, then the common names."""
    latest = sorted(parts, key=lambda part: -part.order)
    typed = {
        "assembly": [part.assembly for part in latest],
        "bin": [typed_path(code, tables.bins) for code in [*tables.bins][::-1]],
        "name": [part.name for part in latest],
        "position": [part.position for part in latest],
        "sits": [part.sits_how for part in latest],
        "behind": [f"{part.said} {part.position}".rstrip() for part in latest],
    }
    return {
        field: [*dict.fromkeys(filter(None, [*texts, *common_names(field)]))]
        for field, texts in typed.items()
    }


def complete(typed: str, known: Iterable[str]) -> str:
    """The whole text that is proposed for what was typed; empty when nothing fits.

    First a known text that begins like that; else the rest of the last step of a path or of the
    last words, as in `left brake sh` → `left brake shoe`. The letters stay as they were typed.
    """
    known = list(known)
    if not typed.strip():
        return ""
    known += [text.rpartition("/")[2].lstrip() for text in known if "/" in text]
    for tail in _tails(typed):
        found = next((text for text in known if _goes_on(text, tail)), "")
        if found:
            return typed + found[len(tail) :]
    return ""


def _goes_on(text: str, start: str) -> bool:
    return len(text) > len(start) and text.casefold().startswith(start.casefold())


def _tails(typed: str) -> Iterable[str]:
    """What was typed, then ever less of its end: the last step, the last words."""
    yield typed
    step = typed.rpartition("/")[2].lstrip()
    if step != typed and step:
        yield step
    words = step.split(" ")
    for at in range(1, len(words)):
        tail = " ".join(words[at:])
        if len(tail) >= SHORTEST_TAIL:
            yield tail
