"""The whole book of a machine: every part with all that is known about it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime

from tagbench.reports.paper import blocks
from tagbench.reports.paper.blocks import Block, Entry, Line, Sheet
from tagbench.reports.request import ReportRequest, ReportRow
from tagbench.rules.bin_contents import bin_of
from tagbench.rules.bins import path_words
from tagbench.rules.describe.fact import Fact
from tagbench.rules.describe.part import PartFacts, describe_part
from tagbench.rules.describe.phrases import day, plural
from tagbench.rules.rebuild.links import links_of
from tagbench.trade.fasteners.spelling import spell_all

COLUMNS = (
    *("code", "name", "quantity", "assembly", "position", "order", "removed", "kept_in"),
    *("fasteners", "sits_how", "behind", "care", "verdict", "readings", "part_numbers"),
    *("fitted", "fitted_at", "photos", "note"),
)
"""The columns of the book as CSV; `export` writes the columns that `import` reads."""


def rows(request: ReportRequest) -> Iterator[ReportRow]:
    """Every part as a line of CSV."""
    yield COLUMNS
    for part, facts in zip(request.parts, described(request), strict=True):
        yield (
            *(part.code, part.name, part.quantity, part.assembly, part.position, part.order),
            *(_moment(part.removed), path_words(bin_of(part), request.tables.bins)),
            *(spell_all(part.fasteners), part.sits_how, "; ".join(part.behind)),
            *(_joined(step for step in facts.care if step.state == "done"), facts.verdict.words),
            *(_joined(one.fact for one in facts.readings), _joined(facts.part_numbers)),
            *(part.fitted, _moment(part.fitted_at)),
            *("; ".join(photo.file for photo in part.photos), part.note),
        )


def described(request: ReportRequest) -> Iterator[PartFacts]:
    """What is said about each part, in removal order; reports each as it is reached."""
    links = links_of(request.tables, request.machine.mark)
    for place, part in enumerate(links.parts):
        first = [links.parts[inner] for inner in links.deeper[place]]
        yield describe_part(request.tables, part, request.printed, first)
        request.progress(place + 1, len(links.parts))


def _joined(facts: Iterable[Fact]) -> str:
    return "; ".join(fact.words for fact in facts)


def _moment(when: datetime | None) -> str:
    return when.isoformat() if when else ""


def sheet(request: ReportRequest) -> Sheet:
    """Every part on paper, with its symbol and, when wanted, its pictures."""
    about = f"{day(request.printed)}, {plural(len(request.parts), 'part')}"
    return Sheet(f"The book — {request.machine_words}", about, _blocks(request))


def _blocks(request: ReportRequest) -> Iterator[Block]:
    if not request.parts:
        yield Line("No part is written down yet.")
    for part, told in zip(request.parts, described(request), strict=True):
        yield Entry(
            told.name, part.code, facts=told_facts(told.facts()), pictures=request.shown(part)
        )


def told_facts(told: Iterable[Fact]) -> tuple[blocks.FactBlock, ...]:
    """Facts for paper: those of one label under one another, with boxes where they can be
    ticked."""
    found: list[blocks.FactBlock] = []
    for fact in told:
        lines = tuple(fact.boxed.splitlines())
        if found and found[-1].label == fact.label:
            found[-1] = blocks.FactBlock(fact.label, (*found[-1].lines, *lines))
        else:
            found.append(blocks.FactBlock(fact.label, lines))
    return tuple(found)
