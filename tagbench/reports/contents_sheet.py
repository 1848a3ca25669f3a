"""The contents of a box or shelf on a page, with its tag: what is in it, bag by bag."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.errors import NotFound
from tagbench.records import Bin, Tables, replace
from tagbench.reports.paper.blocks import Block, Entry, Line, Sheet, Table, WholePage, facts
from tagbench.reports.request import ReportRequest, ReportRow
from tagbench.rules.bin_contents import inside
from tagbench.rules.bins import bin_words
from tagbench.rules.describe.bin import describe_bin
from tagbench.rules.describe.part import came_off_words
from tagbench.rules.describe.phrases import came_from, day, plural
from tagbench.rules.scan import typed_code
from tagbench.trade.fasteners.spelling import spell_all

COLUMNS = ("bin", "bin_name", "code", "name", "quantity", "came_from", "fasteners", "came_off")
"""The columns of the contents as CSV: a row a part."""


def sheet(request: ReportRequest) -> Sheet:
    """A page for each bin that was named, else for each that is kept in no other."""
    bins = bins_named(request)
    what = bin_words(bins[0]) if len(bins) == 1 else plural(len(bins), "bin")
    return Sheet(f"Contents — {what}", day(request.printed), _blocks(request, bins))


def rows(request: ReportRequest) -> Iterator[ReportRow]:
    """A line a part, with the bag it lies in."""
    yield COLUMNS
    for outer in bins_named(request):
        for one in [outer, *bins_within(outer, request.tables)]:
            for content in inside(one.code, request.tables).contents:
                part = content.part
                yield (
                    *(one.code, bin_words(one), part.code, content.words, part.quantity),
                    *(came_from(part), spell_all(part.fasteners), came_off_words(part)),
                )


def _blocks(request: ReportRequest, bins: list[Bin]) -> Iterator[Block]:
    if not bins:
        yield Line("There is no bin yet.")
    for done, one in enumerate(bins, 1):
        told = describe_bin(request.tables, one)
        entry = Entry(
            told.name, one.code,
            facts=tuple(facts(((told.where.label, told.where.words),
                               (told.holds.label, told.holds.words), ("note", one.note)))),
        )  # fmt: skip
        yield WholePage(entry, _table(one, request.tables))
        request.progress(done, len(bins))


def _table(outer: Bin, tables: Tables) -> Table | None:
    lines: list[tuple[str, ...]] = []
    for one in [outer, *bins_within(outer, tables)]:
        held = inside(one.code, tables)
        if one is not outer:
            lines.append((f"— {bin_words(one)}:", one.code, "" if held.contents else "empty", ""))
        for content in held.contents:
            part = content.part
            screws = [replace(line, torque=None, note="") for line in part.fasteners]
            lines.append((content.words, part.code, came_from(part), spell_all(screws)))
    head = ("what", "code", "came from", "fasteners")
    return Table(head, tuple(lines), (4, 1.7, 3, 3.4), tick=True) if lines else None


def bins_within(outer: Bin, tables: Tables) -> Iterator[Bin]:
    """All bins in a bin, each behind the one that holds it; a loop in damaged data ends."""
    seen = {outer.code}

    def walk(one: Bin) -> Iterator[Bin]:
        for inner in inside(one.code, tables).bins:
            if inner.code not in seen:
                seen.add(inner.code)
                yield inner
                yield from walk(inner)

    yield from walk(outer)


def bins_named(request: ReportRequest) -> list[Bin]:
    """The bins that the report is about. Raises NotFound for one that there is not."""
    tables = request.tables
    if not request.about:
        outermost = [one for one in tables.bins.values() if one.kept_in not in tables.bins]
        return sorted(outermost, key=lambda one: one.name.casefold())
    return [bin_named(tables, text) for text in request.about]


def bin_named(tables: Tables, text: str) -> Bin:
    """The bin with that code or name."""
    wanted = " ".join(text.split()).casefold()
    named = [one for one in tables.bins.values() if one.name.casefold() == wanted]
    if len(named) == 1:
        return named[0]
    if len(named) > 1:
        codes = ", ".join(one.code for one in named)
        raise NotFound(f"Several bins are called “{text}”: {codes}; name one by its code.")
    code = typed_code(tables, text, among=tables.bins)
    if code not in tables.bins:
        raise NotFound(f"No bin goes by “{text}”; the command bins lists them.")
    return tables.bins[code]
