"""Refusals that were overruled: each stays open as long as its cause stands."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from tagbench.records import Fastener, Override, Part, Tables, Want
from tagbench.rules.describe.phrases import day, named
from tagbench.rules.rebuild.fit import outside_words
from tagbench.rules.rebuild.held_up import on_machine, open_wants, own_reasons


class OpenOverride(NamedTuple):
    """An overruled refusal whose cause still stands."""

    part: Part
    """The part it was overruled for."""
    number: int
    """Which of the part's overrides, counted from 1."""
    override: Override
    """The override."""
    words: str
    """What stands, as a person reads it."""


def open_overrides(
    tables: Tables, parts: Iterable[Part], today: date | None = None
) -> list[OpenOverride]:
    """The overrides of these parts whose cause still stands, each cause once.

    Buried: a part that was left out is still off. Held up: the part still lacks what it lacked.
    Torque: a torque outside its range still stands.
    """
    wants = None
    found: list[OpenOverride] = []
    for part in parts:
        for number, override in enumerate(part.overrides, 1):
            wants = open_wants(tables) if wants is None else wants
            words = _standing(tables, part, override, wants.get(part.code, []), today)
            again = any(one.part is part and one.words == words for one in found)
            if words and not again:
                found.append(OpenOverride(part, number, override, words))
    return found


def told_overrides(tables: Tables, part: Part, today: date | None = None) -> list[str]:
    """Every refusal of the part that was overruled: what stands of it now, the reason, the day."""
    wants = open_wants(tables).get(part.code, []) if part.overrides else []
    return [
        (_standing(tables, part, one, wants, today) or f"went on {one.what}, put right since")
        + overruled_words(one)
        for one in part.overrides
    ]


def overruled_words(override: Override) -> str:
    """The person's reason and the day: `; overruled 9 Mar 2026: “the seal is late”`."""
    when = f" {day(override.at)}" if override.at else ""
    why = f": “{override.why}”" if override.why else ", no reason given"
    return f"; overruled{when}{why}"


def _standing(
    tables: Tables, part: Part, override: Override, wants: list[Want], today: date | None
) -> str:
    if override.what == "buried":
        inner = [tables.parts[code] for code in override.codes if code in tables.parts]
        over = ", ".join(named(one) for one in inner if not on_machine(one))
        return f"went on over {over}" if over else ""
    if override.what == "torque":
        return "; ".join(filter(None, map(_outside, part.fasteners)))
    reasons = "; ".join(reason.words for reason in own_reasons(part, wants, today))
    return f"went on although {reasons}" if reasons else ""


def _outside(fastener: Fastener) -> str:
    return "" if fastener.torqued is None else outside_words(fastener, fastener.torqued)
