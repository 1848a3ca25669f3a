"""Flag labels for wires, cables and hoses: folded round them, the same code at both ends."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.errors import BadInput
from tagbench.reports.paper.blocks import Block, Flags, Line, Sheet
from tagbench.reports.part_sheet import parts_named
from tagbench.reports.request import ReportRequest, ReportRow
from tagbench.rules.describe.phrases import day

COLUMNS = ("code", "name", "position", "around_mm")
"""The columns of the flags as CSV."""
LEAST_MM, MOST_MM = 1.0, 40.0
"""Thickness of what a flag folds round; a thicker hose takes a label as it is."""
WORDS = (
    "Cut along the outlines, fold at the dashed lines round the wire, and stick the two ends "
    "together back to back."
)


def sheet(request: ReportRequest) -> Sheet:
    """A strip for each part, each place round it as long as the wire is thick."""
    if not LEAST_MM <= request.around_mm <= MOST_MM:
        raise BadInput(
            f"A flag folds round {LEAST_MM:g} to {MOST_MM:g} mm, not {request.around_mm:g} mm."
        )
    about = f"{day(request.printed)}, round {request.around_mm:g} mm"
    return Sheet("Flag labels", about, _blocks(request))


def rows(request: ReportRequest) -> Iterator[ReportRow]:
    """A line a flag."""
    yield COLUMNS
    for part in parts_named(request):
        yield part.code, part.name, part.position, request.around_mm


def _blocks(request: ReportRequest) -> Iterator[Block]:
    yield Line(WORDS)
    named = parts_named(request)
    words = ((part.code, ", ".join(filter(None, [part.name, part.position]))) for part in named)
    yield Flags(tuple(words), request.around_mm)
