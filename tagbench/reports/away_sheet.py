"""Packing lists: what is with someone else, batch by batch by size and bag, and part by part."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.records import Batch, Part, Tables
from tagbench.reports.paper.blocks import Block, Heading, Line, Sheet, Table
from tagbench.reports.request import ReportRequest, ReportRow
from tagbench.rules.batches import BatchRow, packing_rows
from tagbench.rules.describe.away import away_fact, bag_words, describe_batch
from tagbench.rules.describe.phrases import day, named

COLUMNS = (
    *("batch", "who", "what_for", "sent", "due", "size", "out", "came_back", "short"),
    *("code", "name", "line", "quantity", "sorted"),
)
"""The columns as CSV; a part that went by itself has no batch and no size."""


def rows(request: ReportRequest) -> Iterator[ReportRow]:
    """A line of CSV for each bag of each size, then for each part."""
    yield COLUMNS
    tables = request.tables
    for batch in _batches(request):
        head = (batch.id, batch.who, batch.what_for, batch.sent or "", batch.due or "")
        for row in packing_rows(tables, batch):
            came = "" if row.counted is None else row.counted
            for code, line, quantity, back in row.bags:
                name = tables.parts[code].said
                size = (row.size, row.out, came, row.short)
                yield (*head, *size, code, name, line or "", quantity, back)
    for part in _parts(request):
        errand = part.away
        if errand is not None:
            days = (errand.sent or "", errand.due or "")
            blank = ("", "", "", "")
            yield (
                "",
                errand.who,
                errand.what_for,
                *days,
                *blank,
                part.code,
                part.said,
                "",
                part.quantity,
                "",
            )


def sheet(request: ReportRequest) -> Sheet:
    """The lists on paper, with room for what came back and a box for each bag."""
    title = f"Packing lists — {request.machine_words}"
    return Sheet(title, day(request.printed), _blocks(request))


def _blocks(request: ReportRequest) -> Iterator[Block]:
    tables, today = request.tables, request.printed.date()
    for batch in _batches(request):
        told = describe_batch(tables, batch, today)
        yield Heading(told.title.capitalize())
        yield Line(told.stands.words)
        rows_ = tuple(
            (
                row.size,
                str(row.out),
                "______" if row.counted is None else _came(row),
                "\n".join(_bag(tables, bag) for bag in row.bags),
            )
            for row in told.rows
        )
        yield Table(("size", "went", "came", "back into"), rows_, (3, 0.8, 1, 5))
    for part in _parts(request):
        yield Line(f"{named(part)}: {away_fact(part, today).words}", tick=True)
    if not _parts(request) and not _batches(request):
        yield Line("Everything is here.")


def _came(row: BatchRow) -> str:
    return f"{row.counted}, {row.short} short" if row.short else f"{row.counted}"


def _bag(tables: Tables, bag: tuple[str, int, int, int]) -> str:
    quantity, back = bag[2:]
    return f"{'[ ] ' if back < quantity else ''}{bag_words(tables, bag)}"


def _batches(request: ReportRequest) -> list[Batch]:
    mark = request.machine.mark
    return [
        one for one in request.tables.batches.values() if one.machine == mark and not one.closed
    ]


def _parts(request: ReportRequest) -> list[Part]:
    return [part for part in request.parts if part.away is not None and not part.away.batch]
