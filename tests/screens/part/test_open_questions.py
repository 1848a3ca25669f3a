"""A thread nobody has named yet is shown on Strip, Part, Buy and Count, and measured from there."""

from __future__ import annotations

import pytest

from tagbench.book import Book
from tagbench.book.operations.machines import add
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.book.operations.wanting import WantForm, add_want
from tagbench.records import Fastener
from tagbench.screens.shared.measure_open import (
    NameSizeDialog,
    NameThreadDialog,
    OpenQuestionsDialog,
)
from tagbench.trade.fasteners.text import parse_fasteners
from tests.screens.driver import LARGE, SMALL, ScreenDriver, at_the_bench


@pytest.fixture
def cover(empty: Book) -> str:
    """A cover held by four screws of an unknown thread in two lines, and a pin of unknown size."""
    add(empty, "Tarnbrook Packman", "TP")
    lines = parse_fasteners("3 long screws 1 short; split pin")
    return strip_part(empty, StripForm(name="points cover", fasteners=lines)).code


def line(book: Book, code: str, at: int) -> Fastener:
    return book.records.parts[code].fasteners[at]


async def measure(driver: ScreenDriver) -> None:
    """An M6 screw by the caliper."""
    await driver.write("5.92")
    await driver.press("tab")
    await driver.write("1")
    await driver.press("enter")


async def test_strip_says_what_is_to_be_measured_later(empty: Book) -> None:
    add(empty, "Tarnbrook Packman", "TP")
    async with at_the_bench(empty, LARGE) as driver:
        await driver.press("f2")
        await driver.fill(name="points cover", fasteners="3 long screws 1 short; split pin")
        assert driver.shown.count("thread not yet known") == 2
        assert "size not yet known" in " ".join(driver.shown.split())
        await driver.press("enter")
        assert "5 fasteners in 3 lines to be measured" in driver.said


async def test_part_shows_and_measures_with_one_key(empty: Book, cover: str) -> None:
    async with at_the_bench(empty) as driver:
        await driver.scan(cover)
        assert "3x screw, long, thread not yet known" in driver.shown
        assert "T measures what is not yet known" in driver.shown
        await driver.press("t")
        driver.at(OpenQuestionsDialog)
        await driver.press("enter")
        card = driver.at(NameThreadDialog)
        assert "3x screw (long) of points cover" in card.heading
        await measure(driver)
        assert "Written down: 3x M6x1 (long) of points cover" in driver.said
        assert line(empty, cover, 0).thread == "M6x1"
        assert line(empty, cover, 0).quantity == 3


async def test_the_thread_is_named_where_a_nut_told_it(empty: Book, cover: str) -> None:
    """A thread that is known needs no caliper; a word that is none is refused and stays."""
    async with at_the_bench(empty) as driver:
        await driver.scan(cover)
        await driver.press("t", "enter")
        await driver.fill(known="banana")
        await driver.press("enter")
        assert "banana" in driver.said
        driver.at(NameThreadDialog)
        await driver.press(*["backspace"] * 6)
        await driver.write("2BA")
        await driver.press("enter")
        assert line(empty, cover, 0).thread == "2BA"


async def test_buy_shows_and_measures_with_one_key(empty: Book, cover: str) -> None:
    add_want(empty, WantForm(what="screws", codes=(cover,)))
    async with at_the_bench(empty) as driver:
        await driver.press("f6")
        assert "5 fasteners in 3 lines to be measured" in driver.shown
        assert "measure" in driver.shown
        await driver.press("t")
        await driver.write("split pin")
        await driver.press("enter")
        driver.at(NameSizeDialog)
        await driver.write("3.2x32")
        await driver.press("enter")
        assert (line(empty, cover, 2).diameter, line(empty, cover, 2).length) == (3.2, 32)
        assert "4 fasteners in 2 lines to be measured" in driver.shown


async def test_count_shows_and_measures_with_one_key(empty: Book, cover: str) -> None:
    """The pieces are counted rightly all the same: three long, one short and a pin."""
    async with at_the_bench(empty, SMALL) as driver:
        await driver.press("f8")
        assert "5 fasteners out" in driver.shown
        assert "5 fasteners in 3 lines to be measured" in driver.shown
        assert "Thread or size not yet known   (3)" in driver.shown
        await driver.press("down", "down")
        await driver.press("enter")
        driver.at(NameThreadDialog)
        await measure(driver)
        assert line(empty, cover, 0).thread == "M6x1"
        await driver.press("t")
        driver.at(OpenQuestionsDialog)


async def test_where_all_is_known_it_is_said(brake: Book) -> None:
    async with at_the_bench(brake) as driver:
        await driver.press("f8", "t")
        assert "Every thread and size is known" in driver.said
