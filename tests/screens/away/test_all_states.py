"""The whole job by keys, through every state that a part, a fastener or an order can be in."""

from __future__ import annotations

import pytest

from tagbench.book import Book
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.records import Part, Tables
from tagbench.rules.batches import left_away
from tagbench.rules.count.identity import machine_count
from tagbench.rules.whereabouts import whereabouts
from tagbench.trade.fasteners.text import parse_fasteners
from tests.screens.driver import LARGE, SMALL, ScreenDriver, at_the_bench


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


def sound(book: Book) -> None:
    """Every part and every fastener is in exactly one place."""
    tables: Tables = book.records
    for mark in tables.machines:
        now = machine_count(tables, mark)
        assert sum(now.places.values()) == now.parts == len(tables.parts_of(mark))
        for row in now.threads:
            assert row.out == row.back + row.in_bag + row.away + row.lost
            assert min(row[1:]) >= 0


async def open_away(driver: ScreenDriver) -> None:
    """To the list of what is with someone else, by the list of all that can be done."""
    await driver.press("ctrl+g")
    await driver.write("batches to sort")
    await driver.press("enter")


async def test_a_batch_goes_comes_back_short_and_is_sorted_bag_by_bag(
    book: Book, bags: list[str]
) -> None:
    bracket, cover, _ = bags
    async with at_the_bench(book) as driver:
        await open_away(driver)
        await driver.press("n")
        await driver.write("M6x1x20")
        await driver.press("ctrl+o", "tab")
        await driver.write("Hill Plating")
        await driver.press("tab")
        await driver.write("zinc plating")
        await driver.press("tab")
        await driver.write("in 2 weeks")
        await driver.press("enter")
        (batch,) = book.records.batches.values()
        assert (batch.who, batch.what_for) == ("Hill Plating", "zinc plating")
        assert sum(piece.quantity for piece in batch.pieces) == 7
        sound(book)
        threads = machine_count(book.records, "A").threads
        assert [row.away for row in threads if row.thread == "M6x1"] == [7]

        await driver.press("right", "enter")
        await driver.write("6")
        await driver.press("enter")  # six of seven came back
        assert list(book.records.batches["1"].counted.values()) == [6]
        await driver.press("enter")  # the bag of the bracket
        await driver.write("2")
        await driver.press("enter")  # two of three into that of the cover
        sound(book)
        assert [left for _, left in left_away(book.records.batches["1"])] == [1]
        await driver.press("ctrl+o", "enter")
    assert book.records.batches["1"].closed is not None
    lines = book.records.parts[cover].fasteners
    assert [(line.away, line.short) for line in lines] == [(0, 0), (0, 1)]
    assert book.records.parts[bracket].fasteners[0].away == 0
    sound(book)


async def test_something_found_is_written_down_from_anywhere_and_explained(
    book: Book, bags: list[str]
) -> None:
    async with at_the_bench(book) as driver:
        await driver.press("f2")
        await driver.write("half a word")
        await driver.press("ctrl+q")
        await driver.write("M6 bolt 20 long, bench floor")
        assert "Bracket" in driver.shown
        await driver.press("enter")
        (item,) = book.records.loose.values()
        assert (item.what, item.where) == ("M6 bolt 20 long", "bench floor")
        assert "half a word" in driver.shown
        assert [one.id for one in machine_count(book.records, "A").loose] == [1]
        await open_away(driver)
        await driver.press("left", "enter")
        await driver.write("of the mower")
        await driver.press("enter")
    assert book.records.loose["1"].explained == "of the mower"
    assert not machine_count(book.records, "A").loose


async def test_sent_lost_found_finished_and_tried_on(book: Book, bags: list[str]) -> None:
    bracket, cover, cylinder = bags

    def part(code: str) -> Part:
        return book.records.parts[code]

    async with at_the_bench(book) as driver:
        await driver.scan(cylinder)
        await driver.press("ctrl+u")
        await driver.write("Weirside Works")
        await driver.press("enter")
        assert whereabouts(part(cylinder)) == "away"
        sound(book)
        await open_away(driver)
        await driver.press("h")
        assert whereabouts(part(cylinder)) == "here"

        await driver.scan(cover)
        await driver.press("ctrl+u", "ctrl+l")
        assert whereabouts(part(cover)) == "lost"
        sound(book)
        await driver.press("ctrl+u", "enter")
        assert whereabouts(part(cover)) == "here"

        await driver.scan(bracket)
        await driver.press("ctrl+y", "f")
        await driver.write("blasted")
        await driver.press("enter", "f")
        await driver.write("painted")
        await driver.press("tab")
        await driver.write("RAL 5014")
        await driver.press("tab")
        await driver.write("threads")
        await driver.press("ctrl+p", "f", "ctrl+o")
        done = part(bracket)
        assert [(one.what, one.at is not None) for one in done.finishes] == [
            ("blasted", True),
            ("painted", False),
        ]
        assert (done.finishes[1].with_what, done.finishes[1].masked) == ("RAL 5014", "threads")
        assert len(done.dry_fits) == 1
        assert done.fitted == "off"
    sound(book)


async def test_twin_stack_own_parts_and_pins_in_one_card(book: Book, bags: list[str]) -> None:
    _, _, cylinder = bags
    async with at_the_bench(book) as driver:
        await driver.scan(cylinder)
        await driver.press("m", "ctrl+n")
        twin = book.records.parts[book.records.parts[cylinder].twin]
        assert (twin.position, twin.sits_how) == ("right", "nipple at 10 o'clock")
        await driver.scan(cylinder)
        await driver.press("m")
        await driver.write("from the nut: shim 0.3; cup 12.5")
        await driver.press("tab")
        await driver.write("piston; 2x cup seal; bleed nipple: 1x M6x10")
        await driver.press("tab")
        await driver.write("1 BN stop switch; 2 BK earth")
        await driver.press("enter")
        now = book.records.parts[cylinder]
        assert now.stack is not None
        assert now.wiring is not None
        assert now.together
        assert [one.name for one in now.own_parts] == ["piston", "cup seal", "bleed nipple"]
        assert "12.8 mm together" in driver.shown
        sound(book)
        before = machine_count(book.records, "A").fasteners_out
        await driver.press("m", "ctrl+o")
    assert len(book.records.parts) == 7
    assert machine_count(book.records, "A").fasteners_out == before + 1
    sound(book)


async def test_a_wrong_one_came_went_back_and_the_right_one_is_reused_in_the_end(
    book: Book, bags: list[str]
) -> None:
    bracket = bags[0]
    async with at_the_bench(book) as driver:
        await driver.scan(bracket)
        await driver.press("ctrl+y", "r", "f6", "o")
        await driver.write("spares circle")
        await driver.press("enter", "w")
        await driver.write("right-hand one")
        await driver.press("enter", "w", "enter", "w", "ctrl+o")
        (want,) = book.records.wants.values()
        (wrong,) = want.wrong
        assert (wrong.what, wrong.settled) == ("right-hand one", "replaced")
        assert wrong.sent_back is not None
        await driver.press("p", "ctrl+y", "u")
        assert "on order" in driver.shown
        await driver.press("k")
    assert book.records.parts[bracket].verdict == "reuse"
    assert book.records.wants["1"].parts == ()
    assert book.records.wants["1"].ordered is not None


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
    from tagbench.book.operations import away, batches
    from tagbench.book.operations.away import AwayForm

    away.send_away(book, [bags[2]], AwayForm("Weirside Works", "rebore"))
    batches.pack(book, AwayForm("Hill Plating", "zinc plating"), [bags[0], bags[1]])
    async with at_the_bench(book, size) as driver:
        await open_away(driver)
        assert "Weirside Works" in driver.shown
        await driver.press("right", "enter")
        assert "into the bag of Bracket" in driver.shown
