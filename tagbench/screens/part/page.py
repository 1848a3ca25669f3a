"""What the part screen says about a part, section by section."""

from __future__ import annotations

from collections.abc import Iterator

from textual.content import Content

from tagbench.records import Change, Part, Tables
from tagbench.rules.care.cautions import DEFER, caution_lines, cautions_for, seen_cautions
from tagbench.rules.care.needs import work_on
from tagbench.rules.count.fastener_lines import lines_of
from tagbench.rules.describe.fact import Fact
from tagbench.rules.describe.part import PartFacts, machine_of
from tagbench.rules.describe.phrases import day
from tagbench.rules.open_questions import open_questions_of
from tagbench.rules.rebuild.guide import LineGuide, line_guide
from tagbench.rules.rebuild.hole_places import gaskets_of
from tagbench.rules.rebuild.steps import bench_tools, off_in
from tagbench.rules.stacks import going_on_lines
from tagbench.screens.widgets.facts import Section
from tagbench.trade.torque.lever import lever_words
from tagbench.trade.torque.passes import torqued_words
from tagbench.trade.torque.wrench import Lever

MEASURES = "T measures what is not yet known"


def heading(facts: PartFacts) -> Content:
    """Code and name, where it came from, when it came off."""
    return Content.from_markup(
        "[bold $primary]$code[/]   [bold]$name[/]\n$from_where\n[$quiet]$when[/]",
        code=facts.code,
        name=facts.name,
        from_where=facts.came_from.words,
        when=facts.came_off.words,
    )


def above(
    facts: PartFacts, part: Part, tables: Tables, lever: Lever | None = None
) -> Iterator[Section]:
    """The sections above the linked parts, those with something in them.

    `lever` is the torque wrench with the extension that is on it.
    """
    yield "Where it is", [facts.where.words]
    if facts.fasteners:
        lines = [line.words for line in facts.fasteners]
        asks = [MEASURES] if open_questions_of([part]) else []
        yield "Fasteners", [*lines, *asks]
        if facts.holes.words:
            yield facts.holes.label.capitalize(), facts.holes.words.split("; ")
        yield from torques(part, tables, lever)
    if facts.stack.words and part.stack:
        yield "Stack", [facts.stack.words, "As it goes on:", *going_on_lines(part)]
    if facts.together.words:
        yield facts.together.label.capitalize(), [facts.together.words]
    if facts.pins or facts.routing.words:
        routing = [f"{facts.routing.label}: {facts.routing.words}"] if facts.routing.words else []
        yield "Wires", [*(pin.boxed for pin in facts.pins), *routing]
    if facts.sits_how.words:
        yield facts.sits_how.label.capitalize(), facts.sits_how.words.splitlines()
    cautions = caution_lines(cautions_for(part, work_on(part)), seen_cautions(part, tables))
    if cautions:
        yield "Caution", cautions


def below(facts: PartFacts, part: Part, tables: Tables, changes: list[Change]) -> Iterator[Section]:
    """The sections below the linked parts."""
    yield from going_back(part, tables)
    told = (
        *(*facts.care, facts.soak, *facts.finish),
        *(facts.verdict, facts.old_piece, *facts.overruled, *facts.errands),
    )
    yield "Care", [_cared(fact) for fact in told if fact.words]
    if facts.readings:
        yield "Readings", [reading.fact.boxed for reading in facts.readings]
    for label, words in facts.others.items():
        yield label.capitalize(), words
    if facts.note.words:
        yield "Note", facts.note.words.splitlines()
    if changes:
        yield "History", [f"{day(change.at)}   {change.words}" for change in changes]


def _cared(fact: Fact) -> str:
    """The words behind their box; what is no step of care says what it is."""
    return fact.boxed if fact.label in ("care", "soak", "finish") else f"{fact.label}: {fact.words}"


NO_LEVER = "Ctrl+W: your torque wrench, and an extension on it"


def guides(part: Part, tables: Tables, lever: Lever | None) -> list[LineGuide]:
    """How each line of its fasteners goes in; `lever` is the wrench with an extension."""
    machine = machine_of(part, tables)
    gaskets = gaskets_of(part, tables.parts.values())
    return [line_guide(line, machine, lever, gaskets) for line in lines_of([part])]


def torques(part: Part, tables: Tables, lever: Lever | None = None) -> Iterator[Section]:
    """Each torque in the person's unit, what to set the wrench to, and what was given."""
    lines = [line for guide in guides(part, tables, lever) for line in torque_lines(guide)]
    if lines and part.fitted != "fitted":
        lines.append(f"With a {lever_words(lever)}; Ctrl+W changes it." if lever else NO_LEVER)
    if lines:
        yield "Torque", lines


def torque_lines(guide: LineGuide) -> Iterator[str]:
    """One line's torque, and under it the wrench and what was given."""
    if not guide.torque:
        return
    yield f"{guide.line.named}: {guide.torque}"
    if guide.wrench and guide.line.part.fitted != "fitted":
        yield f"  {guide.wrench}"
    fastener = guide.line.fastener
    if fastener.torqued is not None and fastener.torque:
        yield f"  {torqued_words(fastener)}"


def going_back(part: Part, tables: Tables) -> Iterator[Section]:
    """How its fasteners go in and the tools for them, as long as it is not fitted and done."""
    if part.fitted == "fitted":
        return
    lines = [line for guide in guides(part, tables, None) for line in fitting_lines(guide)]
    if lines:
        yield "Going back on", [*lines, DEFER]
    if tools := bench_tools(tables, [part]):
        yield "On the bench", tools


def fitting_lines(guide: LineGuide) -> Iterator[str]:
    """A line of fasteners and what to do about it, in order."""
    if guide.steps:
        yield f"{guide.line.named}:"
        yield from (f"  {number}. {step}" for number, step in enumerate(guide.steps, 1))


def off_in_order(part: Part, tables: Tables) -> list[str]:
    """The parts to lay out together with one: those of its assembly that are still off."""
    return off_in(tables, part.machine, part.assembly) if part.assembly else [part.code]
