"""A bag prints what is in it now: a fitted part is in no bag, wherever that is asked."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.csv.writer import parts_csv
from tagbench.book.operations import away, building, care
from tagbench.book.operations.away import AwayForm
from tagbench.book.operations.buying import arrive
from tagbench.book.operations.strip import StripForm, edit, strip_part
from tagbench.commands.base import part_json
from tagbench.rules.bin_contents import bin_of, inside
from tagbench.rules.describe.bin import describe_bin
from tagbench.rules.find.index import Index
from tagbench.rules.tag_text import tag_text
from tagbench.trade.fasteners.text import parse_fasteners

NOW = datetime(2031, 3, 9, 18, 30, tzinfo=UTC)


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return Book(tmp_path / "book", now=lambda: NOW)


def bag(book: Book, *names: str, fasteners: str = "") -> list[str]:
    """Parts in one bag, degreased and to be used again."""
    codes = [
        strip_part(book, StripForm(name, bin="bag 3", fasteners=parse_fasteners(fasteners))).code
        for name in names
    ]
    care.tick_off(book, codes, "degreased")
    care.tick_off(book, codes, "reuse")
    return codes


def on_the_tag(book: Book) -> str:
    """What the tag of the bag says is inside."""
    (code,) = book.records.bins
    return "; ".join(line.text for line in tag_text(book.records, code).lines)


def test_the_tag_of_a_bag_says_what_is_in_it_now(book: Book) -> None:
    lever, _ = bag(book, "Lever", "Cam")
    assert on_the_tag(book) == "Lever, Cam"
    building.fit_part(book, lever)
    assert on_the_tag(book) == "Cam"
    building.take_off_again(book, lever)
    assert on_the_tag(book) == "Lever, Cam"


def test_a_fitted_part_is_in_no_bag_anywhere(book: Book) -> None:
    (lever,) = bag(book, "Lever")
    (code,) = book.records.bins
    building.fit_part(book, lever)
    part = book.records.parts[lever]
    assert bin_of(part) == ""
    assert part_json(part, {})["bin"] == ""
    assert describe_bin(book.records, book.records.bins[code]).holds.words == "empty"
    index = Index()
    index.refresh(book.records)
    assert all(not found.kept_in for found in index.find("lever"))
    row = parts_csv(book.records, book.photos).splitlines()[1]
    assert "bag 3" not in row


def test_fasteners_that_stayed_in_the_bag_are_said_as_such(book: Book) -> None:
    (lever,) = bag(book, "Lever", fasteners="2x M6x20; 1x M5x10")
    part = book.records.parts[lever]
    away.send_away(book, [lever], AwayForm("Hill Plating", "zinc plating", due=date(2031, 4, 1)))
    assert on_the_tag(book) == "fasteners of Lever"
    assert part.bin


def test_old_and_new_piece_each_lie_where_they_are(book: Book) -> None:
    (lever,) = bag(book, "Lever")
    care.tick_off(book, [lever], "replace")
    assert on_the_tag(book) == "old Lever"
    (want,) = book.records.wants.values()
    arrive(book, [want.id])
    edit(book, lever, new_bin="bag 3")
    assert on_the_tag(book) == "old Lever, new Lever"
    care.old_piece_gone(book, [lever])
    assert on_the_tag(book) == "new Lever"
    (code,) = book.records.bins
    assert len(inside(code, book.records).parts) == 1
