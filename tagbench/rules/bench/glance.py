"""The machine at a glance: counts by state and progress by assembly, in one pass."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from tagbench.records import Part, Tables
from tagbench.records.care_steps import CLEANING
from tagbench.rules.care.pieces import done, soaking
from tagbench.rules.paths import SEPARATOR, spell_path


@dataclass(slots=True)
class AssemblyProgress:
    """How far an assembly is; each part counts once, for the furthest it has come."""

    assembly: str
    """Its name, the first step of the path; empty for parts of no assembly."""
    first_off: int
    """Removal order of its first part."""
    parts: int = 0
    """How many parts came from it."""
    fitted: int = 0
    """On the machine, snug or done."""
    clean: int = 0
    """Cleaned and not yet on the machine."""


@dataclass(slots=True)
class Glance:
    """How many parts of a machine are in which state, and the progress of its assemblies."""

    parts: int = 0
    """All parts."""
    clean: int = 0
    """Cleaned, and not in the soak."""
    undecided: int = 0
    """Without a verdict."""
    replace: int = 0
    """To be replaced."""
    snug: int = 0
    """On the machine finger tight."""
    fitted: int = 0
    """On the machine and done."""
    assemblies: list[AssemblyProgress] = field(default_factory=list)
    """In the order in which they were first taken apart."""


def glance(tables: Tables, mark: str) -> Glance:
    """The machine with this mark at a glance; linear in its parts."""
    begin = f"{mark}-"
    return glance_at(part for part in tables.parts.values() if part.code.startswith(begin))


def glance_at(parts: Iterable[Part]) -> Glance:
    """Some parts at a glance."""
    now = Glance()
    by_path: dict[str, AssemblyProgress] = {}
    by_name: dict[str, AssemblyProgress] = {}
    for part in parts:
        progress = by_path.get(part.assembly)
        if progress is None:
            name = outermost(part.assembly)
            progress = by_name.setdefault(name, AssemblyProgress(name, part.order))
            by_path[part.assembly] = progress
        _count(now, progress, part)
    now.assemblies = sorted(by_name.values(), key=lambda progress: progress.first_off)
    return now


def _count(now: Glance, progress: AssemblyProgress, part: Part) -> None:
    soaks = part.soak is not None and soaking(part) is not None
    clean = bool(part.care) and not soaks and done(part, CLEANING.name)
    now.parts += 1
    now.clean += clean
    now.undecided += part.verdict == "undecided"
    now.replace += part.verdict == "replace"
    now.snug += part.fitted == "snug"
    now.fitted += part.fitted == "fitted"
    progress.parts += 1
    progress.first_off = min(progress.first_off, part.order)
    progress.fitted += part.fitted != "off"
    progress.clean += clean and part.fitted == "off"


def outermost(assembly: str) -> str:
    """The first step of an assembly's path: `Front wheel` of `Front wheel / Brake`."""
    return spell_path(assembly).split(SEPARATOR, 1)[0]
