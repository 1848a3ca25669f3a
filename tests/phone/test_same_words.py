"""The phone page says of every record what every other front end says."""

from __future__ import annotations

import msgspec
import pytest

from tagbench.book import Book
from tagbench.phone.cache import Snapshot
from tagbench.phone.list_views import bin_view, bins_used_last, count_view, settings_view
from tagbench.phone.part_view import part_view
from tagbench.phone.templates import render
from tagbench.records import Part, Tables, replace
from tagbench.rules.count.identity import machine_count
from tagbench.rules.describe.bin import describe_bin
from tagbench.rules.describe.count import describe_count
from tagbench.rules.describe.part import describe_part
from tagbench.rules.describe.setting import describe_state
from tagbench.rules.settings.standing import settings_of
from tests.rules.describe.books import (
    NOW,
    missing_words,
    not_said,
    plain_text,
    random_book,
    words_of_bin,
    words_of_count,
    words_of_setting,
)

BOOKS = [range(first, first + 10) for first in range(0, 100, 10)]


def part_page(snapshot: Snapshot, part: Part) -> str:
    """The page of a part as a person reads it."""
    view = part_view(snapshot, part, NOW)
    bins = bins_used_last(snapshot.tables, part.machine)
    return plain_text(render("part.html", typed={}, anyway="", view=view, bins=bins))


def check(tables: Tables, mark: str) -> None:
    """Nothing of any part, bin or setting is left out or worded in another way."""
    tables = msgspec.structs.replace(tables, desk=replace(tables.desk, machine=mark))
    snapshot = Snapshot(tables, NOW.date())
    for part in tables.parts_of(mark):
        facts = describe_part(tables, part, NOW, snapshot.goes_on_after(part))
        assert not missing_words(facts, part_page(snapshot, part)), part.code
    for one in tables.bins.values():
        shown = render("bin.html", typed={}, anyway="", view=bin_view(tables, one), bins=())
        assert not not_said(words_of_bin(describe_bin(tables, one)), plain_text(shown)), one.code
    settings = plain_text(render("settings.html", typed={}, view=settings_view(tables)))
    for state in settings_of(tables, mark):
        assert not not_said(words_of_setting(describe_state(tables, state)), settings)
    counted = describe_count(machine_count(tables, mark, NOW.date()), tables.machines[mark])
    if len(counted.lines) <= 100:  # of more the page says how many there are
        page = plain_text(render("count.html", view=count_view(tables, NOW.date())))
        assert not not_said(words_of_count(counted), page)


def test_of_everything_in_the_demo(demo_book: Book) -> None:
    """Every part, bin, setting and open line."""
    check(demo_book.records, demo_book.records.desk.machine)


@pytest.mark.sampled(10)
@pytest.mark.parametrize("seeds", BOOKS, ids=str)
def test_of_everything_in_random_books(seeds: range) -> None:
    """Every kind of fact in every mix."""
    for seed in seeds:
        check(random_book(seed), "TP")
