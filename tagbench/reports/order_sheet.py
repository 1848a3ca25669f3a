"""An order sheet an assembly: pictures and codes in the order in which the parts go on, and arrows
for what covers what."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.errors import NotFound
from tagbench.records import Part, replace
from tagbench.reports.paper.blocks import Block, Heading, Line, NewPage, Order, OrderCard, Sheet
from tagbench.reports.request import ReportRequest, ReportRow
from tagbench.rules.describe.phrases import NO_ASSEMBLY, counted, day, named, plural
from tagbench.rules.paths import within
from tagbench.rules.rebuild.links import Links, links_of
from tagbench.rules.rebuild.order import rebuild_order
from tagbench.trade.fasteners.spelling import spell_all

COLUMNS = ("assembly", "number", "code", "name", "position", "fasteners", "covers", "fitted")
"""The columns of the sheet as CSV."""
LEGEND = "An arrow leads from a part to the one that covers it and goes on after it."


def sheet(request: ReportRequest) -> Sheet:
    """Every assembly, or those that were named with all that is within them, on its own pages."""
    chosen = list(_assemblies(request))
    names = ", ".join(name or NO_ASSEMBLY for name, _ in chosen) if request.about else ""
    about = f"{day(request.printed)}, {plural(sum(len(parts) for _, parts in chosen), 'part')}"
    title = f"Order of assembly — {names or request.machine_words}"
    return Sheet(title, f"{request.machine_words}, {about}" if names else about, _blocks(request))


def rows(request: ReportRequest) -> Iterator[ReportRow]:
    """A line a part."""
    yield COLUMNS
    links = links_of(request.tables, request.machine.mark)
    for assembly, parts in _assemblies(request):
        for number, part in enumerate(parts, 1):
            covered = [links.parts[at].code for at in links.deeper[links.at(part.code)]]
            yield (
                *(assembly, number, part.code, part.name, part.position),
                *(spell_all(part.fasteners), "; ".join(covered), part.fitted),
            )


def _blocks(request: ReportRequest) -> Iterator[Block]:
    links = links_of(request.tables, request.machine.mark)
    chosen = list(_assemblies(request))
    if not chosen:
        yield Line("No part is written down yet.")
    done = 0
    total = sum(len(parts) for _, parts in chosen)
    for at, (assembly, parts) in enumerate(chosen):
        if at:
            yield NewPage()
        yield Heading(assembly or NO_ASSEMBLY.capitalize())
        cards = tuple(_cards(request, links, parts))
        if any(card.covers for card in cards):
            yield Line(LEGEND)
        yield Order(cards)
        done += len(parts)
        request.progress(done, total)


def _cards(request: ReportRequest, links: Links, parts: list[Part]) -> Iterator[OrderCard]:
    number_of = {part.code: number for number, part in enumerate(parts, 1)}
    for number, part in enumerate(parts, 1):
        deeper = [links.parts[at] for at in links.deeper[links.at(part.code)]]
        here = tuple(number_of[one.code] for one in deeper if one.code in number_of)
        outside = [one for one in deeper if one.code not in number_of]
        words = [part.position] if part.position else []
        screws = [replace(line, torque=None, note="") for line in part.fasteners]
        words += [spell_all(screws)] if screws else []
        words += [f"also covers {named(one)} ({one.assembly or NO_ASSEMBLY})" for one in outside]
        picture = next((file for _, file in request.pictures(part)), None)
        yield OrderCard(number, counted(part), part.code, tuple(words), picture, here)


def _assemblies(request: ReportRequest) -> Iterator[tuple[str, list[Part]]]:
    """Each assembly wanted with its parts in the order in which they go on."""
    links = links_of(request.tables, request.machine.mark)
    parts = [links.parts[at] for at in rebuild_order(links)]
    if not request.about:
        for assembly in dict.fromkeys(part.assembly for part in parts):
            yield assembly, [part for part in parts if part.assembly == assembly]
        return
    for wanted in request.about:
        found = [part for part in parts if part.assembly and within(part.assembly, wanted)]
        if not found:
            known = ", ".join(sorted({part.assembly for part in parts if part.assembly}))
            raise NotFound(f"No part came from “{wanted}”; there is {known or 'nothing yet'}.")
        yield wanted, found
