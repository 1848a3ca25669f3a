"""One part on one page, with its picture as large as there is room for."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.records import Part, Tables
from tagbench.reports import book_sheet
from tagbench.reports.book_sheet import told_facts
from tagbench.reports.paper.blocks import Block, Entry, Sheet, WholePage
from tagbench.reports.request import ReportRequest, ReportRow
from tagbench.rules.describe.part import describe_part
from tagbench.rules.describe.phrases import day, named, plural
from tagbench.rules.scan import part_with, typed_part


def sheet(request: ReportRequest) -> Sheet:
    """A page for each part that was named."""
    parts = parts_named(request)
    one = named(parts[0]) if len(parts) == 1 else plural(len(parts), "part")
    title = f"{one} — {request.machine_words}"
    return Sheet(title, day(request.printed), _blocks(request, parts))


def rows(request: ReportRequest) -> Iterator[ReportRow]:
    """The columns of the whole book, for these parts."""
    wanted = {part.code for part in parts_named(request)}
    head, *every = book_sheet.rows(request)
    yield head
    yield from (row for row in every if row[0] in wanted)


def _blocks(request: ReportRequest, parts: list[Part]) -> Iterator[Block]:
    for done, part in enumerate(parts, 1):
        told = describe_part(request.tables, part, request.printed)
        yield WholePage(
            Entry(
                told.title, part.code, facts=told_facts(told.facts()), pictures=request.shown(part)
            )
        )
        request.progress(done, len(parts))


def parts_named(request: ReportRequest) -> list[Part]:
    """The parts that the report is about; NotFound or BadInput for a code that is none."""
    return [part_named(request.tables, text) for text in request.about]


def part_named(tables: Tables, text: str) -> Part:
    """The part with that code, in any spelling."""
    exact = tables.parts.get(text.strip().upper())
    return exact or part_with(tables, typed_part(tables, text))
