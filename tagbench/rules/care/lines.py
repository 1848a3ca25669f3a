"""One phrase for where a part stands in its care, what was done to it, and parts by assembly."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime
from typing import NamedTuple

from tagbench.records import CareStep, Part, Tables
from tagbench.rules.care.inspecting import kind_of
from tagbench.rules.care.pieces import done
from tagbench.rules.care.words import next_step, waits
from tagbench.rules.describe.care import soaking_shortly, verdict_words
from tagbench.rules.whereabouts import elsewhere_words

_NEXT = {
    "degrease": "still dirty",
    "inspect": "not inspected",
    "decide": "undecided",
    "make": "gasket to make",
    "lube": "reuse, to lube",
}


def standing_in_care(part: Part, now: datetime, wanted: Collection[str]) -> str:
    """Where the part stands, in one phrase: `still dirty`, `soaking 26 h, 2 h over`, `reuse`, …

    `wanted` as from `waiting_codes`.
    """
    if part.fitted != "off":
        return f"on the machine, {part.fitted}"
    if elsewhere := elsewhere_words(part):
        return elsewhere
    step = next_step(part, wanted)
    if step == "wait for the soak":
        return soaking_shortly(part, now)
    if step == "lube" and part.verdict == "replace":
        return "new one to lube"
    if step in _NEXT:
        return _NEXT[step]
    if waits(part, wanted) and part.verdict == "reuse":
        return "reuse, waits for a want"
    return verdict_words(part)


class Group(NamedTuple):
    """The parts of one assembly."""

    assembly: str
    """The assembly; empty for parts of none."""
    parts: tuple[Part, ...]
    """The parts in removal order."""

    @property
    def clean(self) -> int:
        """How many of them are degreased."""
        return sum(done(part, "degreased") for part in self.parts)


def by_assembly(parts: Iterable[Part]) -> list[Group]:
    """Parts by assembly, the assembly that was begun first coming first."""
    found: dict[str, list[Part]] = {}
    for part in parts:
        found.setdefault(part.assembly, []).append(part)
    return [Group(assembly, tuple(group)) for assembly, group in found.items()]


def used_last(tables: Tables, step: str, parts: Collection[Part]) -> str | None:
    """What a step is done with unless the person says otherwise; None when that must be asked.

    Degreased: what all of them soak in, else what was used last. Lubed: what was last used on
    that kind of part, so parts of several kinds are asked about.
    """
    if step == "degreased":
        baths = {part.soak.with_what for part in parts if part.soak is not None}
        if baths:
            return baths.pop() if len(baths) == 1 else None
        return next(iter(tables.desk.used_with.get(step, ())), None)
    if step != "lubed":
        return ""
    kinds = {kind.name if (kind := kind_of(part)) is not None else "" for part in parts}
    return _lubed_before(tables, kinds.pop()) if len(kinds) == 1 else None


def _lubed_before(tables: Tables, kind: str) -> str | None:
    """What was last used on parts of a kind; None for no kind, or when none was lubed yet."""
    last: CareStep | None = None
    for part in tables.parts.values() if kind else ():
        for step in part.care:
            if step.step == "lubed" and step.at and (last is None or _after(step, last)):
                found = kind_of(part)
                last = step if found is not None and found.name == kind else last
    return last.with_what or None if last is not None else None


def _after(step: CareStep, other: CareStep) -> bool:
    return step.at is not None and other.at is not None and step.at > other.at
