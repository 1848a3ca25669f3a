"""A hand scanner works on any screen, in any field, and leaves the field as it was."""

from __future__ import annotations

import pytest
from textual.widgets import Input

from tagbench.book import Book
from tagbench.screens.bench.machine import MachineDialog
from tagbench.screens.bench.screen import BenchScreen
from tagbench.screens.find.bin import BinScreen
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.strip.screen import StripScreen
from tests.screens.driver import at_the_bench


def drum(book: Book) -> str:
    """The code of the brake drum."""
    return book.records.parts_of("TP")[0].code


@pytest.mark.parametrize("end", ["enter", "tab", "ctrl+j", ""])
async def test_a_scan_opens_the_record_whatever_ends_it(brake: Book, end: str) -> None:
    """Carriage return, line feed, tab or nothing."""
    async with at_the_bench(brake) as driver:
        await driver.scan(drum(brake), end)
        assert driver.at(PartScreen).code == drum(brake)


async def test_a_scan_in_the_middle_of_a_text_leaves_the_field_as_it_was(brake: Book) -> None:
    """Text, cursor and form are the same; nothing was saved by the scanner's Enter."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(note="two washers")
        await driver.press("home", "right", "right", "right")
        await driver.scan(f"HTTP://GARAGE.LOCAL:8017/{drum(brake)}")
        assert driver.at(PartScreen)
        await driver.press("escape")
        assert driver.at(StripScreen)
        assert driver.field("note") == "two washers"
        assert driver.screen.query_one("#note", Input).cursor_position == 3
        assert len(brake.records.parts) == 3


async def test_a_scan_over_a_selection_leaves_it_selected(brake: Book) -> None:
    """The first letter of the scan had replaced the selected text."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(name="hub nut")
        await driver.press("shift+home")
        await driver.scan(drum(brake))
        await driver.press("escape")
        field = driver.screen.query_one("#name", Input)
        assert (field.value, field.selected_text) == ("hub nut", "hub nut")


async def test_a_field_that_takes_only_figures_is_left_as_it_was(brake: Book) -> None:
    """The field had taken some characters of the scan and not the others."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(quantity="2")
        await driver.scan(drum(brake))
        await driver.press("escape")
        assert driver.field("quantity") == "2"


async def test_a_scan_in_a_card_opens_over_it(brake: Book) -> None:
    """The card is still there afterwards, with what was typed."""
    async with at_the_bench(brake) as driver:
        await driver.press("ctrl+n", "ctrl+n")
        await driver.write("Second machine")
        await driver.scan(drum(brake))
        assert driver.at(PartScreen)
        await driver.press("escape")
        assert driver.at(MachineDialog)
        assert driver.field("machine-name") == "Second machine"


async def test_a_slow_scanner_is_understood(brake: Book) -> None:
    """30 ms a key."""
    async with at_the_bench(brake) as driver:
        await driver.scan(drum(brake), gap=0.03)
        assert driver.at(PartScreen)


async def test_a_typed_code_is_no_scan(brake: Book) -> None:
    """A person may type a code into a field."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(behind=drum(brake))
        assert driver.field("behind") == drum(brake)
        assert driver.at(StripScreen)


async def test_the_same_tag_twice_within_a_moment_opens_once(brake: Book) -> None:
    """A shaking hand pulls the trigger twice; the field is still left alone."""
    async with at_the_bench(brake) as driver:
        await driver.scan(drum(brake))
        await driver.press("escape")
        driver.clock.now -= 1.0
        await driver.scan(drum(brake))
        assert driver.at(BenchScreen)


async def test_the_tag_of_a_bin_shows_what_is_inside(brake: Book) -> None:
    """Bag 7 holds the drum and the screws."""
    bag = next(one for one in brake.records.bins.values() if one.name == "Bag 7")
    async with at_the_bench(brake) as driver:
        await driver.scan(bag.code)
        assert driver.at(BinScreen)
        assert "brake drum" in driver.shown
        assert "in Box 2, on Shelf A" in driver.shown
        await driver.press("down", "enter")
        assert driver.at(PartScreen)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("TP-001-A", "wrong check character"),
        ("HTTP://SHOP.EXAMPLE/SALE", "no tag code"),
        ("TP-900-3", "never gave it out"),
        ("ZZ-001-N", "not in this book"),
    ],
)
async def test_a_bad_scan_says_what_is_wrong(brake: Book, text: str, says: str) -> None:
    """One sentence, and the field is as it was."""
    from labels.code import make_code

    if says in {"never gave it out", "not in this book"}:
        mark, serial, _ = text.split("-")
        text = make_code(mark, int(serial))
    async with at_the_bench(brake) as driver:
        await driver.press("f3")
        await driver.write("drum")
        await driver.scan(text)
        assert says in driver.said
        assert driver.field("words") == "drum"
