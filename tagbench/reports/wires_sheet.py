"""Connectors and cables: a table of pins each, as found against as the diagram says."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.records import Part
from tagbench.reports.paper.blocks import Block, Entry, Line, Sheet, Table, facts
from tagbench.reports.request import ReportRequest, ReportRow
from tagbench.rules.describe.phrases import came_from, day
from tagbench.rules.wiring import pin_rows, wired_parts

COLUMNS = (
    *("code", "name", "assembly", "position", "pin", "found", "colour", "diagram", "differs"),
    *("goes_to", "routing", "source"),
)
"""The columns of the table as CSV."""
NONE_YET = "No connector or cable is written down."


def rows(request: ReportRequest) -> Iterator[ReportRow]:
    """A line of CSV for each pin; a cable without pins has one for its routing."""
    yield COLUMNS
    for part in _parts(request):
        wiring = part.wiring
        if wiring is None:
            continue
        first = (part.code, part.name, part.assembly, part.position)
        last = (wiring.routing, wiring.diagram)
        for row in pin_rows(wiring):
            differs = "yes" if row.differs else ""
            yield (*first, row.pin, row.found, row.words, row.drawn, differs, row.goes_to, *last)
        if not wiring.pins:
            yield (*first, "", "", "", "", "", "", *last)


def _parts(request: ReportRequest) -> list[Part]:
    return wired_parts(request.tables, request.machine.mark)


def sheet(request: ReportRequest) -> Sheet:
    """The tables on paper."""
    return Sheet(f"Wires — {request.machine_words}", day(request.printed), _blocks(request))


def _blocks(request: ReportRequest) -> Iterator[Block]:
    parts = _parts(request)
    if not parts:
        yield Line(NONE_YET)
    for part in parts:
        wiring = part.wiring
        if wiring is None:
            continue
        told = facts((("came from", came_from(part)), ("runs", wiring.routing),
                      ("diagram", wiring.diagram)))  # fmt: skip
        yield Entry(part.said, part.code, facts=tuple(told))
        lines = tuple(
            (row.pin, row.found, row.words, row.drawn or "–", row.goes_to,
             "≠ diagram" if row.differs else "")
            for row in pin_rows(wiring)
        )  # fmt: skip
        if lines:
            head = ("pin", "found", "colour", "diagram", "to", "")
            yield Table(head, lines, (1, 1.2, 4, 1.4, 4, 1.7), tick=True)
