"""Each state that a part, a fastener or an order can be in, by keys."""

from __future__ import annotations

import pytest

from tagbench.book import Book
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.trade.fasteners.text import parse_fasteners
from tests.screens.away.verbs import (
    batch_out_and_back,
    found_and_explained,
    open_away,
    sent_lost_finished_tried_on,
    sound,
    twin_stack_pins_and_apart,
    wrong_one_and_reuse,
)
from tests.screens.driver import LARGE, SMALL, at_the_bench


@pytest.fixture
def book(empty: Book) -> Book:
    """A book; its machine makes itself."""
    return empty


@pytest.fixture
def bags(book: Book) -> list[str]:
    """Three parts in bags: a bracket, a cover with long and short screws, a cylinder."""
    told = (
        ("Bracket", "left", "4x M6x20 hex"),
        ("Cover", "", "M6 hex: 2x45 at 12 and 6, 3x20 else"),
        ("Wheel cylinder", "left", "2x M5x12 pan"),
    )
    return [
        strip_part(
            book,
            StripForm(
                name,
                assembly="Brakes",
                position=side,
                fasteners=parse_fasteners(text),
                bin=f"bag {at}",
                sits_how="nipple at 2 o'clock",
            ),
        ).code
        for at, (name, side, text) in enumerate(told, 1)
    ]


async def test_a_batch_goes_comes_back_short_and_is_sorted_bag_by_bag(
    book: Book, bags: list[str]
) -> None:
    bracket, cover, _ = bags
    async with at_the_bench(book) as driver:
        await batch_out_and_back(driver, bracket, cover)


async def test_something_found_is_written_down_from_anywhere_and_explained(
    book: Book, bags: list[str]
) -> None:
    async with at_the_bench(book) as driver:
        await driver.press("f2")
        await driver.write("half a word")
        await found_and_explained(driver)
        await driver.press("f2")
        assert driver.field("name") == "half a word"


async def test_sent_lost_found_finished_and_tried_on(book: Book, bags: list[str]) -> None:
    async with at_the_bench(book) as driver:
        await sent_lost_finished_tried_on(driver, *bags)
    sound(book)


async def test_twin_stack_own_parts_and_pins_in_one_card(book: Book, bags: list[str]) -> None:
    async with at_the_bench(book) as driver:
        await twin_stack_pins_and_apart(driver, bags[2])


async def test_a_wrong_one_came_went_back_and_the_right_one_is_reused_in_the_end(
    book: Book, bags: list[str]
) -> None:
    async with at_the_bench(book) as driver:
        await wrong_one_and_reuse(driver, bags[0])


async def test_the_next_evening_one_key_goes_on(book: Book, bags: list[str]) -> None:
    async with at_the_bench(book) as driver:
        assert "last, today: took off Wheel cylinder" in driver.shown
        await driver.press("ctrl+o")
        assert driver.app.screen.screen_name == "strip"  # type: ignore[attr-defined]


async def test_a_machine_is_set_aside_and_another_worked_on(book: Book, bags: list[str]) -> None:
    from tagbench.book.operations.machines import add, choose

    add(book, "Mower", "MW")
    choose(book, "A")
    async with at_the_bench(book) as driver:
        await driver.press("ctrl+n", "ctrl+o")
        assert book.records.machines["A"].aside is not None
        assert book.records.desk.machine == "MW"
        choose(book, "A")
    assert book.records.machines["A"].aside is None


@pytest.mark.parametrize("size", [SMALL, LARGE])
async def test_the_lists_fit_the_terminal(
    book: Book, bags: list[str], size: tuple[int, int]
) -> None:
    from tagbench.book.operations import batches
    from tagbench.book.operations.away import AwayForm, send_away

    send_away(book, [bags[2]], AwayForm("Weirside Works", "rebore"))
    batches.pack(book, AwayForm("Hill Plating", "zinc plating"), [bags[0], bags[1]])
    async with at_the_bench(book, size) as driver:
        await open_away(driver)
        assert "Weirside Works" in driver.shown
        await driver.press("right", "enter")
        assert "into the bag of Bracket" in driver.shown
