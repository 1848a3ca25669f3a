"""The count sheet: figures, fasteners by thread, and every open line with room for a reason."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.reports.count_text import count_lines
from tagbench.reports.page import render
from tagbench.reports.request import ReportRequest, Row
from tagbench.rules.bins import kept_in_words
from tagbench.rules.count.closing import open_lines
from tagbench.rules.count.fastener_lines import away, in_bag, lines_of, lost, missing
from tagbench.rules.count.identity import count
from tagbench.rules.count.mixed_threads import mixed_threads
from tagbench.rules.describe.count import NOTHING_OPEN
from tagbench.rules.describe.phrases import day

COLUMNS = (
    *("code", "name", "on", "line", "fastener", "out", "back", "in_bag", "away", "lost"),
    *("single_use", "renewed", "torqued"),
)
"""The columns of the count as CSV: a row a fastener line, one without figures for a bare part."""


def text(request: ReportRequest) -> Iterator[str]:
    """The count in plain lines."""
    yield f"Count sheet, {day(request.printed)}"
    found = count(request.tables, request.machine.mark, request.printed.date())
    yield from count_lines(request.tables, found, request.machine)


def rows(request: ReportRequest) -> Iterator[Row]:
    """Every part and fastener line as a line of CSV."""
    yield COLUMNS
    for part in request.parts:
        for line in lines_of([part]):
            one = line.fastener
            yield (
                *(part.code, part.name, part.fitted, line.number, line.spelled, one.quantity),
                *(one.quantity - missing(one), in_bag(one), away(one), lost(one)),
                *("yes" if one.single_use else "", "yes" if one.renewed else ""),
                "" if one.torqued is None else one.torqued,
            )
        if not part.fasteners:
            yield (part.code, part.name, part.fitted, *[""] * (len(COLUMNS) - 3))


def page(request: ReportRequest) -> str:
    """The count as a page to print."""
    found = count(request.tables, request.machine.mark, request.printed.date())
    return render(
        "count.html",
        request,
        count=found,
        lines=open_lines(found),
        nothing_open=NOTHING_OPEN,
        questions=[one.words for one in found.questions],
        mixed=mixed_threads(thread.thread for thread in found.threads),
        bag_words=lambda code: kept_in_words(code, request.tables.bins),
    )
