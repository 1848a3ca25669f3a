"""What is said after a part went on, and what getting back to one undoes, in plain lines."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.records import Part, Tables
from tagbench.reports.build_text import listed, piece_lines
from tagbench.rules.bolt_card import holes_in_words
from tagbench.rules.count.fastener_lines import renewed_items
from tagbench.rules.describe.part import still_open
from tagbench.rules.describe.phrases import named
from tagbench.rules.describe.where import where_fact
from tagbench.rules.rebuild.guide import FitGuide
from tagbench.rules.rebuild.held_up import on_machine
from tagbench.rules.rebuild.reach import Undoing
from tagbench.rules.settings.standing import setting_state

STATES = {"off": "off the machine", "snug": "snug", "fitted": "fitted"}
"""State of a part → how it is said."""


def fitted_lines(tables: Tables, part: Part) -> Iterator[str]:
    """How the part stands now, and what is still open about it."""
    yield f"{part.code}  {part.said}: {STATES[part.fitted]}"
    if part.fitted == "off":
        return
    yield from (f"  {fact.words}" for fact in still_open(tables, part))
    for setting in tables.settings.values():
        state = setting_state(setting, tables.parts)
        if part.code in setting.after and state.open:
            yield f"  setting {setting.id}, {setting.what}: {state.words}"


def guide_lines(guide: FitGuide) -> Iterator[str]:
    """How a part goes on: what stands in the way, where it is, its fasteners, the cautions."""
    part = guide.step.part
    yield f"{part.code}  {part.said}: {STATES[part.fitted]}"
    # What is deeper is told once, as the burial.
    lacking = (one for one in guide.reasons if one.kind not in ("deeper", "buried"))
    yield from (f"  held up: {reason.words}" for reason in lacking)
    if guide.burial:
        yield f"  too early: {guide.burial.words}"
    yield from piece_lines(guide.step)
    yield from listed("sits how", filter(None, [part.sits_how]))
    yield from listed("tools", guide.step.tools)
    yield from listed("grease", guide.step.grease)
    for line in guide.lines:
        yield f"  {line.line.number}: {line.line.spelled}"
        told = [f"torque {line.torque}" if line.torque else "", line.wrench, *line.steps]
        yield from (f"     {words}" for words in told if words)
    yield from listed("holes", holes_in_words(part))
    yield from listed("twin", guide.step.beside)
    yield from listed("stack", guide.step.stack)
    yield from (f"  {caution}" for caution in guide.cautions)


def reach_lines(tables: Tables, part: Part, undoing: Undoing) -> Iterator[str]:
    """What must come off, numbered in order, and what is then to be done again."""
    off = away_from_machine(tables, part)
    if off:
        yield f"{named(part)} {off}."
    what = "its place" if off else named(part)
    if not undoing.take_off:
        yield f"Nothing is in the way of {what}."
        return
    yield f"To get at {what}, take off in this order:"
    for number, code in enumerate(undoing.take_off, 1):
        yield f"{number:4}. {code}  {tables.parts[code].said}"
    yield from undone_lines(undoing)


def away_from_machine(tables: Tables, part: Part) -> str:
    """`is not on the machine: lost since 3 Nov 2025`, with where it is; empty for one that is."""
    return "" if on_machine(part) else f"is not on the machine: {where_fact(tables, part).words}"


def undone_lines(undoing: Undoing) -> Iterator[str]:
    """What is to be done again afterwards; nothing when there is nothing."""
    for line in undoing.untorqued:
        yield f"  torque again: {line.part.said}, {line.spelled}"
    for line in undoing.to_renew:
        yield f"  renew again: {line.part.said}, {', '.join(renewed_items(line))}"
    for setting in undoing.unsettled:
        yield f"  measure again: {setting.what}"
