"""What a part still needs in its care: marks, lists, what comes next, and that in one phrase."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator
from datetime import datetime
from typing import NamedTuple

from tagbench.records import Part, Tables
from tagbench.records.care_steps import CARE, CLEANING, CareKind
from tagbench.rules.care.inspecting import part_kind
from tagbench.rules.care.pieces import done, is_scrap, needs_washing, soaking
from tagbench.rules.describe.care import soaking_shortly, verdict_words
from tagbench.rules.whereabouts import elsewhere_words

BEFORE_VERDICT = tuple(kind for kind in CARE if not kind.after_verdict)
AFTER_VERDICT = tuple(kind for kind in CARE if kind.after_verdict)
"""The steps of care before and after it is decided whether the part is used again."""

FILTERS = (
    "all",
    CLEANING.open_list,
    "soaking",
    *(kind.open_list for kind in BEFORE_VERDICT if kind.open_list and kind is not CLEANING),
    "undecided",
    *(kind.open_list for kind in AFTER_VERDICT if kind.open_list),
    "waiting",
)
"""The lists of the clean screen, in the order of the work."""

JOBS = (
    *(kind.job for kind in BEFORE_VERDICT),
    "decide",
    "make",
    *(kind.job for kind in AFTER_VERDICT),
)
"""What can come next for a part, in the order of the work; `next_step` gives them."""

_WORK = {
    **{kind.job: kind.name for kind in CARE},
    "wait for the soak": "soak",
    "decide": BEFORE_VERDICT[-1].name,
}
"""What comes next for a part → the step of work that cautions are asked for."""


def step_letters(part: Part) -> str:
    """`D I L` with a dot for each step not done, and `~` for a part that soaks: `D · ·`."""
    return " ".join(_letter(part, kind) for kind in CARE)


def _letter(part: Part, kind: CareKind) -> str:
    if kind is CLEANING and soaking(part):
        return "~"
    return kind.key.upper() if done(part, kind.name) else "·"


def wants_step(part: Part, kind: CareKind) -> bool:
    """Whether the part still wants a step of care; a step after the verdict only once clean."""
    if kind.wanted_by == "nothing" or done(part, kind.name):
        return False
    if kind.wanted_by == "used pieces" and part.verdict == "replace":
        return False
    if kind.wanted_by == "kinds that are lubed":
        known = part_kind(part)
        if known is None or not known.lube:
            return False
    dirty = needs_washing(part) or soaking(part) is not None or is_scrap(part)
    return not (kind.after_verdict and dirty)


def waiting_codes(tables: Tables) -> frozenset[str]:
    """Codes of the parts that an open want names."""
    return frozenset(
        code for want in tables.wants.values() if want.arrived is None for code in want.parts
    )


def waits(part: Part, wanted: Collection[str]) -> bool:
    """Whether the part waits for something to arrive; `wanted` as from `waiting_codes`."""
    return part.code in wanted or (_new_one_missing(part) and part.make is None)


def _new_one_missing(part: Part) -> bool:
    return part.verdict == "replace" and part.replacement == "wanted"


def lists_with(part: Part, wanted: Collection[str]) -> list[str]:
    """The lists of `FILTERS` that the part is in; `wanted` as from `waiting_codes`.

    On the machine, with someone else or lost it is in `all` only.
    """
    if part.fitted != "off" or elsewhere_words(part):
        return ["all"]
    lists = {"all", *_lists(part, wanted)}
    return [name for name in FILTERS if name in lists]


def _lists(part: Part, wanted: Collection[str]) -> Iterator[str]:
    for kind in CARE:
        if kind.open_list and wants_step(part, kind):
            yield kind.open_list
    if soaking(part) is not None:
        yield "soaking"
    if part.verdict == "undecided":
        yield "undecided"
    if waits(part, wanted):
        yield "waiting"


def filtered(parts: Iterable[Part], name: str, tables: Tables) -> list[Part]:
    """The parts of one list of `FILTERS`, those on the machine left out unless it is `all`."""
    wanted = waiting_codes(tables)
    return [part for part in parts if name == "all" or name in lists_with(part, wanted)]


def count_by_filter(parts: Iterable[Part], tables: Tables) -> dict[str, int]:
    """How many parts each of `FILTERS` has."""
    wanted = waiting_codes(tables)
    found = Counter(name for part in parts for name in lists_with(part, wanted))
    return {name: found[name] for name in FILTERS}


def next_step(part: Part, wanted: Collection[str]) -> str:
    """What to do next with the part: degrease, inspect, decide, make, lube, wait, or nothing."""
    if part.fitted != "off" or elsewhere_words(part):
        return ""
    if soaking(part) and not is_scrap(part):
        return "wait for the soak"
    if job := _first_wanted(part, BEFORE_VERDICT):
        return job
    if part.verdict == "undecided":
        return "decide"
    if _new_one_missing(part) and part.make is not None:
        return "make"
    if waits(part, wanted):
        return "wait for the new one"
    return _first_wanted(part, AFTER_VERDICT)


def _first_wanted(part: Part, kinds: Iterable[CareKind]) -> str:
    return next((kind.job for kind in kinds if wants_step(part, kind)), "")


def work_on(part: Part) -> str:
    """The step of work that comes next, as the cautions call it."""
    if part.fitted == "snug":
        return "torque"
    return _WORK.get(next_step(part, frozenset()), "fit")


def standing_in_care(part: Part, now: datetime, wanted: Collection[str]) -> str:
    """Where the part stands, in one phrase: `still dirty`, `soaking 26 h, 2 h over`, `reuse`, …

    `wanted` as from `waiting_codes`.
    """
    if part.fitted != "off":
        return f"on the machine, {part.fitted}"
    if elsewhere := elsewhere_words(part):
        return elsewhere
    job = next_step(part, wanted)
    if job == "wait for the soak":
        return soaking_shortly(part, now)
    if job == "make":
        return "gasket to make"
    for kind in CARE:
        if job == kind.job:
            return _open_words(part, kind)
    if waits(part, wanted) and part.verdict == "reuse":
        return "reuse, waits for a want"
    return verdict_words(part)


def _open_words(part: Part, kind: CareKind) -> str:
    words = kind.open_list or f"to {kind.job}"
    if not kind.after_verdict:
        return words
    return f"new one {words}" if part.verdict == "replace" else f"reuse, {words}"


class AssemblyParts(NamedTuple):
    """The parts of one assembly."""

    assembly: str
    """The assembly; empty for parts of none."""
    parts: tuple[Part, ...]
    """The parts in removal order."""

    @property
    def clean(self) -> int:
        """How many of them are clean."""
        return sum(done(part, CLEANING.name) for part in self.parts)


def by_assembly(parts: Iterable[Part]) -> list[AssemblyParts]:
    """Parts by assembly, the assembly that was begun first coming first."""
    found: dict[str, list[Part]] = {}
    for part in parts:
        found.setdefault(part.assembly, []).append(part)
    return [AssemblyParts(assembly, tuple(group)) for assembly, group in found.items()]
