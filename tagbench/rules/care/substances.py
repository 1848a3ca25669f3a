"""What steps of care are done with: what is offered, what is remembered, what was used last."""

from __future__ import annotations

from collections.abc import Collection

from tagbench.records import CareStep, Desk, Part, Tables, replace
from tagbench.records.care_steps import CLEANING, LUBING, care_kind
from tagbench.rules.care.inspecting import part_kind

MOST_REMEMBERED = 12


def substances_for(desk: Desk, step: str, part: Part | None = None) -> tuple[str, ...]:
    """What a step may be done with: what suits the kind of part, lately used, then usual."""
    step_kind = care_kind(step)
    kind = part_kind(part) if part is not None and step_kind is LUBING else None
    suits = (kind.lube,) if kind is not None and kind.lube else ()
    usual = step_kind.usual_with if step_kind is not None else ()
    once: dict[str, str] = {}
    for what in (*suits, *desk.used_with.get(step, ()), *usual):
        once.setdefault(what.casefold(), what)
    return tuple(once.values())


def remember(desk: Desk, step: str, with_what: str) -> Desk:
    """The desk with what a step was done with at the head of its list."""
    with_what = " ".join(with_what.split())
    if not with_what:
        return desk
    others = [w for w in desk.used_with.get(step, ()) if w.casefold() != with_what.casefold()]
    latest = (with_what, *others)[:MOST_REMEMBERED]
    return replace(desk, used_with={**desk.used_with, step: latest})


def used_last(tables: Tables, step: str, parts: Collection[Part]) -> str | None:
    """What a step is done with unless the person says otherwise; None when that must be asked.

    Cleaning: what all of them soak in, else what was used last. Lubing: what was last used on
    that kind of part, so parts of several kinds are asked about. Nothing for what takes nothing.
    """
    kind = care_kind(step)
    if kind is None or not kind.usual_with:
        return ""
    if kind is LUBING:
        kinds = {known.name if (known := part_kind(part)) is not None else "" for part in parts}
        return _lubed_before(tables, kinds.pop()) if len(kinds) == 1 else None
    baths = {part.soak.with_what for part in parts if kind is CLEANING and part.soak is not None}
    if baths:
        return baths.pop() if len(baths) == 1 else None
    return next(iter(tables.desk.used_with.get(step, ())), None)


def _lubed_before(tables: Tables, kind: str) -> str | None:
    """What was last used on parts of a kind; None for no kind, or when none was lubed yet."""
    last: CareStep | None = None
    for part in tables.parts.values() if kind else ():
        for step in part.care:
            if step.step == LUBING.name and step.at and (last is None or _after(step, last)):
                found = part_kind(part)
                last = step if found is not None and found.name == kind else last
    return last.with_what or None if last is not None else None


def _after(step: CareStep, other: CareStep) -> bool:
    return step.at is not None and other.at is not None and step.at > other.at
