"""The count sheet: figures, fasteners by thread, and every open line with room for a reason."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.reports.paper.blocks import Block, Care, Heading, Line, Sheet, Table
from tagbench.reports.request import ReportRequest, ReportRow
from tagbench.rules.bins import kept_in_words
from tagbench.rules.count.fastener_lines import count_away, count_lost, in_bag, lines_of, missing
from tagbench.rules.count.identity import Count, machine_count
from tagbench.rules.count.mixed_threads import mixed_threads
from tagbench.rules.describe.count import NOTHING_OPEN, describe_count
from tagbench.rules.describe.phrases import day, moment

COLUMNS = (
    *("code", "name", "on", "line", "fastener", "out", "back", "in_bag", "away", "lost"),
    *("single_use", "renewed", "torqued"),
)
"""The columns of the count as CSV: a row a fastener line, one without figures for a bare part."""


def rows(request: ReportRequest) -> Iterator[ReportRow]:
    """Every part and fastener line as a line of CSV."""
    yield COLUMNS
    for part in request.parts:
        for line in lines_of([part]):
            one = line.fastener
            yield (
                *(part.code, part.name, part.fitted, line.number, line.spelled, one.quantity),
                *(one.quantity - missing(one), in_bag(one), count_away(one), count_lost(one)),
                *("yes" if one.single_use else "", "yes" if one.renewed else ""),
                "" if one.torqued is None else one.torqued,
            )
        if not part.fasteners:
            yield (part.code, part.name, part.fitted, *[""] * (len(COLUMNS) - 3))


def sheet(request: ReportRequest) -> Sheet:
    """The count on paper."""
    found = machine_count(request.tables, request.machine.mark, request.printed.date())
    title = f"Count sheet — {request.machine_words}"
    return Sheet(title, day(request.printed), _blocks(request, found))


def _blocks(request: ReportRequest, found: Count) -> Iterator[Block]:
    facts = describe_count(found, request.machine)
    yield Line(facts.parts.words)
    yield Line(facts.fasteners.words)
    if facts.together.words:
        yield Line(f"in one piece, not counted apart: {facts.together.words}")
    if found.threads:
        figures = (
            (one.thread, one.out, one.back, one.in_bag, one.away, one.lost) for one in found.threads
        )
        yield Table(
            ("", "out", "back", "in the bag", "away", "lost"),
            tuple(tuple(str(cell) for cell in row) for row in figures),
            (3, 1, 1, 1.2, 1, 1),
            right=frozenset(range(1, 6)),
        )
    mixed = tuple(mixed_threads(thread.thread for thread in found.threads))
    if mixed:
        yield Care(tuple(f"Take care: {sentence}" for sentence in mixed))
    yield Heading("Open")
    if facts.lines:
        yield Table(
            ("what is open", "reason, if it is closed all the same"),
            tuple((line.words, line.reason or "________________") for line in facts.lines),
            (3, 2),
            tick=True,
        )
    else:
        yield Line(NOTHING_OPEN)
    if found.questions:
        yield Heading("To measure")
    yield from (Line(question.words, tick=True) for question in found.questions)
    if request.machine.closed:
        yield Line(f"Closed on {moment(request.machine.closed)}.")
    if found.bags:
        yield Heading("Bags that are not empty")
    for bag in found.bags:
        names = ", ".join(part.name for part in bag.parts)
        yield Line(f"{kept_in_words(bag.bin, request.tables.bins)}: {names}", tick=True)
