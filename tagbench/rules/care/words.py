"""Care as words and marks, what to do next, and the lists of parts that wait for something."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from types import MappingProxyType

from tagbench.records import CARE_STEPS, Desk, Part, Tables, replace
from tagbench.rules.care.inspecting import kind_of
from tagbench.rules.care.pieces import done, is_scrap, needs_washing, soaking
from tagbench.rules.whereabouts import elsewhere_words

FILTERS = ("all", "still dirty", "soaking", "not inspected", "undecided", "to lube", "waiting")
"""The lists of the clean screen, in the order of the work."""

USUAL_WITH: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "degreased": (
            *("kerosene", "water-based degreaser", "hot water and detergent", "mineral spirits"),
            *("citrus cleaner", "water mist and cloth"),
        ),
        "inspected": (),
        "lubed": ("brake grease", "bearing grease", "gear oil", "engine oil", "chain oil"),
    }
)
"""Care step → what it is usually done with; common practice, no source."""

MOST_REMEMBERED = 12


def marks(part: Part) -> str:
    """`D I L` with a dot for each step not done, and `~` for a part that soaks: `D · ·`."""
    letters = [step[0].upper() if done(part, step) else "·" for step in CARE_STEPS]
    if soaking(part):
        letters[0] = "~"
    return " ".join(letters)


def to_lube(part: Part) -> bool:
    """Whether the part is of a kind that is lubed, clean enough for it, and not lubed yet."""
    kind = kind_of(part)
    wanted = kind is not None and bool(kind.lube)
    clean = not needs_washing(part) and not soaking(part) and not is_scrap(part)
    return wanted and clean and not done(part, "lubed")


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
    answers = (
        True,
        needs_washing(part),
        soaking(part) is not None,
        _to_inspect(part),
        part.verdict == "undecided",
        to_lube(part),
        waits(part, wanted),
    )
    return [name for name, holds in zip(FILTERS, answers, strict=True) if holds]


def _to_inspect(part: Part) -> bool:
    """Whether it is still to be looked at; a new piece was when it was bought or made."""
    return part.verdict != "replace" and not done(part, "inspected")


def filtered(parts: Iterable[Part], name: str, tables: Tables) -> list[Part]:
    """The parts of one list of `FILTERS`, those on the machine left out unless it is `all`."""
    wanted = waiting_codes(tables)
    return [part for part in parts if name == "all" or name in lists_with(part, wanted)]


def counted(parts: Iterable[Part], tables: Tables) -> dict[str, int]:
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
    if needs_washing(part):
        return "degrease"
    if _to_inspect(part):
        return "inspect"
    if part.verdict == "undecided":
        return "decide"
    if _new_one_missing(part) and part.make is not None:
        return "make"
    if waits(part, wanted):
        return "wait for the new one"
    return "lube" if to_lube(part) else ""


WORK = {
    "degrease": "degreased",
    "wait for the soak": "soak",
    "inspect": "inspected",
    "decide": "inspected",
    "lube": "lubed",
}
"""What comes next for a part → the step of work that cautions are asked for."""


def work_on(part: Part) -> str:
    """The step of work that comes next, as the cautions call it."""
    if part.fitted == "snug":
        return "torque"
    return WORK.get(next_step(part, frozenset()), "fit")


def offered(desk: Desk, step: str, part: Part | None = None) -> tuple[str, ...]:
    """What a step may be done with: what suits the kind of part, lately used, then usual."""
    kind = kind_of(part) if part is not None and step == "lubed" else None
    suits = (kind.lube,) if kind is not None and kind.lube else ()
    every = (*suits, *desk.used_with.get(step, ()), *USUAL_WITH.get(step, ()))
    once: dict[str, str] = {}
    for what in every:
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
