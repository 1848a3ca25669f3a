"""Bag inserts: an A6 page that goes into a bag, to be read through it."""

from __future__ import annotations

from collections.abc import Iterator

from labels.errors import LabelError
from tagbench.errors import BadInput, NotFound
from tagbench.records import Bin, Part, Tables
from tagbench.reports.contents_sheet import bin_named
from tagbench.reports.paper.blocks import (
    Block,
    Entry,
    Line,
    Sheet,
    Table,
    TypeSizes,
    WholePage,
    facts,
)
from tagbench.reports.part_sheet import part_named
from tagbench.reports.request import ReportRequest, ReportRow
from tagbench.rules.bin_contents import inside
from tagbench.rules.bins import bin_words, kept_in_words
from tagbench.rules.describe.phrases import came_from, counted, day
from tagbench.trade.fasteners.spelling import spell, spell_all

COLUMNS = ("code", "name", "kept", "holds")
"""The columns of the inserts as CSV."""

Insert = Bin | Part
INSERT = TypeSizes(body=10.5, name=16.0, heading=13.0)
"""Large enough to be read through a bag."""


def sheet(request: ReportRequest) -> Sheet:
    """A page for each bag or part that was named, else for each bag with something in it."""
    about = day(request.printed)
    return Sheet("Bag inserts", about, _blocks(request), sizes=INSERT, paper="a6", bare=True)


def rows(request: ReportRequest) -> Iterator[ReportRow]:
    """A line an insert."""
    yield COLUMNS
    for one in inserts(request):
        if isinstance(one, Part):
            kept = kept_in_words(one.bin, request.tables.bins)
            yield one.code, one.name, kept, spell_all(one.fasteners)
        else:
            held = "; ".join(held.words for held in inside(one.code, request.tables).contents)
            yield one.code, one.name, kept_in_words(one.kept_in, request.tables.bins), held


def _blocks(request: ReportRequest) -> Iterator[Block]:
    wanted = inserts(request)
    if not wanted:
        yield Line("No bag has anything in it; name a bag or a part.")
    for done, one in enumerate(wanted, 1):
        yield _of_part(request, one) if isinstance(one, Part) else _of_bin(request, one)
        request.progress(done, len(wanted))


def _of_part(request: ReportRequest, part: Part) -> WholePage:
    told = facts(
        (
            ("from", came_from(part)),
            ("with", list(map(spell, part.fasteners))),
            ("sits how", part.sits_how),
            ("note", part.note),
        )
    )
    return WholePage(
        Entry(counted(part), part.code, facts=tuple(told), pictures=request.shown(part))
    )


def _of_bin(request: ReportRequest, one: Bin) -> WholePage:
    held = inside(one.code, request.tables)
    kept = kept_in_words(one.kept_in, request.tables.bins) if one.kept_in else ""
    rows_ = [
        (f"{content.words}\n{spell_all(content.part.fasteners)}".strip(), content.part.code)
        for content in held.contents
    ]
    rows_ += [(bin_words(other), other.code) for other in held.bins]
    table = Table(("what is in it", "code"), tuple(rows_), (3, 1.5)) if rows_ else None
    pictures = tuple(picture for part in held.parts for picture in request.shown(part))[:1]
    entry = Entry(
        bin_words(one), one.code, facts=tuple(facts((("kept", kept), ("note", one.note)))),
        pictures=pictures,
    )  # fmt: skip
    return WholePage(entry, table)


def inserts(request: ReportRequest) -> list[Insert]:
    """What an insert is made for. Raises NotFound for what there is not."""
    tables = request.tables
    if request.about:
        return [_named(tables, text) for text in request.about]
    bags = [one for one in tables.bins.values() if one.kind == "bag"]
    return [one for one in bags if inside(one.code, tables).parts]


def _named(tables: Tables, text: str) -> Insert:
    """A part by its code, else a bin by code or name."""
    try:
        return part_named(tables, text)
    except (BadInput, NotFound, LabelError):
        return bin_named(tables, text)
