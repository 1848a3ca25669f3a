"""The usual cautions, shown where the work is done; they never stand in the way of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache, lru_cache
from types import MappingProxyType
from typing import NamedTuple

from tagbench.errors import NotFound
from tagbench.records import Fastener, Machine, Part, Tables, replace
from tagbench.records.care_steps import care_kind
from tagbench.rules.care.inspecting import part_kind
from tagbench.rules.find.words import stems
from tagbench.rules.table import read_table
from tagbench.trade.torque.safety import danger_of

DEFER = "Follow the maker's manual and local rules; have a qualified person check it."
"""The second line of every caution."""
DEFER_WHOLE = (
    "These are the usual cautions, not all of them. Follow the maker's manual and local rules; "
    "have safety-critical work checked by a qualified person."
)
"""What stands under the page of all cautions."""


class CautionRow(NamedTuple):
    """One caution at full length."""

    id: str
    """Its row in the table, `SAF-05`."""
    words: str
    """The caution in our own words."""
    source: str
    """The documents it comes from, or `common practice, no source`."""


class Caution(NamedTuple):
    """A caution as it is shown at the work: one line, the line that defers, the rows behind it."""

    id: str
    """What it is about, `brake dust`; acknowledged by this name."""
    line: str
    """The caution in one line of an 80 column screen."""
    rows: tuple[CautionRow, ...]
    """All that is said about it, with sources."""

    @property
    def lines(self) -> tuple[str, str]:
        """The two lines that are shown."""
        return self.line, DEFER


@cache
def all_cautions() -> Mapping[str, Caution]:
    """Every caution by its id, most telling first."""
    rows = _rows()
    return MappingProxyType(
        {
            line["id"]: Caution(
                line["id"], line["line"], tuple(rows[row] for row in line["rows"].split("|"))
            )
            for line in read_table("caution_lines")
        }
    )


@cache
def _rows() -> Mapping[str, CautionRow]:
    documents = {row["id"]: row["document"] for row in read_table("caution_sources")}
    return {
        row["id"]: CautionRow(row["id"], row["caution_own_words"], _source(row, documents))
        for row in read_table("safety_cautions")
    }


def _source(row: Mapping[str, str], documents: Mapping[str, str]) -> str:
    named = "; ".join(documents[number] for number in row["source"].split(",") if number)
    if not named:
        return row["provenance"]
    return named + (" (in part from memory)" if "memory" in row["provenance"] else "")


def cautions_for(part: Part, step: str, with_what: str = "") -> list[Caution]:
    """The cautions for one step of work on a part.

    `step`: strip, soak, reuse, replace, fit, torque or a step of care; `with_what`: what it is
    done with.
    """
    care = care_kind(step)
    steps = frozenset((step, care.cautions_of) if care is not None else (step,))
    kind = part_kind(part)
    called = (*stems(part.name), "", *stems(part.kind or (kind.name if kind else "")))
    place, using = stems(part.assembly), stems(with_what)
    texts = (part.name, part.kind, part.assembly)
    dangers = frozenset(found.group for text in texts if (found := danger_of(text)))
    return [
        all_cautions()[line["id"]]
        for line in read_table("caution_lines")
        if _fits(line, part.fasteners, steps, called, place, using, dangers)
    ]


def cautions_for_all(parts: Iterable[Part], step: str, with_what: str = "") -> list[Caution]:
    """The cautions for one step of work on several parts, each once."""
    found = {c.id: c for part in parts for c in cautions_for(part, step, with_what)}
    return [caution for name, caution in all_cautions().items() if name in found]


def _fits(
    line: Mapping[str, str],
    fasteners: Sequence[Fastener],
    steps: frozenset[str],
    called: tuple[str, ...],
    place: tuple[str, ...],
    using: tuple[str, ...],
    dangers: frozenset[str],
) -> bool:
    if line["steps"] and steps.isdisjoint(line["steps"].split("|")):
        return False
    if _met(line["unless"], called) or _met(line["unless_with"], using):
        return False
    if not any(line[on] for on in ("names", "assemblies", "with", "needs", "groups")):
        return True
    return (
        _met(line["names"], called)
        or _met(line["assemblies"], place)
        or not dangers.isdisjoint(line["groups"].split("|") if line["groups"] else ())
        or _met(line["with"], using)
        or any(_has(fastener, line["needs"]) for fastener in fasteners)
    )


@lru_cache(maxsize=16384)
def _met(terms: str, words: tuple[str, ...]) -> bool:
    """Whether one of the terms stands in the words."""
    said = f" {' '.join(words)} "
    return any(f" {' '.join(stems(term))} " in said for term in terms.split("|") if term)


def _has(fastener: Fastener, need: str) -> bool:
    if need == "estimate":
        return fastener.torque is not None and fastener.torque.estimate
    if need == "grade":
        return fastener.grade.casefold() in {"10.9", "12.9", "grade 8"}
    return need == "circlip" and fastener.kind in {"circlip", "snap ring", "retaining ring"}


def caution_lines(cautions: Iterable[Caution], seen: Iterable[str] = ()) -> list[str]:
    """What is shown: each caution's line, the line that defers once, and those seen before shortly.

    `seen` as `Machine.cautions_seen`.
    """
    known = set(seen)
    cautions = list(cautions)
    fresh = [caution.line for caution in cautions if caution.id not in known]
    old = [caution.id for caution in cautions if caution.id in known]
    lines = [*fresh, DEFER] if fresh else []
    return [*lines, f"Seen before: {', '.join(old)}."] if old else lines


def seen_cautions(part: Part, tables: Tables) -> tuple[str, ...]:
    """The cautions that were acknowledged for the machine of a part."""
    machine = tables.machines.get(part.machine)
    return machine.cautions_seen if machine else ()


def acknowledge(machine: Machine, ids: Iterable[str]) -> Machine:
    """The machine with cautions acknowledged, so that they are shown shortly from now on."""
    seen = dict.fromkeys([*machine.cautions_seen, *map(known_caution, ids)])
    return replace(machine, cautions_seen=tuple(seen))


def show_again(machine: Machine, ids: Iterable[str] = ()) -> Machine:
    """The machine with these cautions (all without any) shown at full length again."""
    again = set(map(known_caution, ids)) or set(machine.cautions_seen)
    kept = tuple(one for one in machine.cautions_seen if one not in again)
    return replace(machine, cautions_seen=kept)


def known_caution(text: str) -> str:
    """The id of a caution as typed; NotFound names those there are."""
    name = " ".join(text.split()).casefold()
    if name not in all_cautions():
        raise NotFound(f"No caution is called {text}; there are {', '.join(all_cautions())}.")
    return name
