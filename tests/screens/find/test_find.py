"""Find: as one types, best first, with where it is."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.screens.find.screen import FindScreen
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.widgets.rows import Rows
from tests.screens.driver import ScreenDriver, at_the_bench


def found(driver: ScreenDriver) -> list[str]:
    """The names that were found, best first."""
    return [answer.part.name for answer in driver.screen.query_one("#answers", Rows).items]


async def test_half_remembered_words_find_the_screws(brake: Book) -> None:
    """A number word, a slip of the finger, another order."""
    async with at_the_bench(brake) as driver:
        await driver.press("f3")
        await driver.write("plate bakcing four screws")
        assert found(driver)[0] == "backing plate screws"
        assert "→ in Bag 7, in Box 2, on Shelf A" in driver.shown


async def test_the_arrows_choose_while_the_field_keeps_the_focus(brake: Book) -> None:
    """Down, then Enter opens the second answer."""
    async with at_the_bench(brake) as driver:
        await driver.press("f3")
        await driver.write("backing plate")
        second = found(driver)[1]
        await driver.press("down", "enter")
        assert brake.records.parts[driver.at(PartScreen).code].name == second


async def test_what_was_just_written_down_is_found(brake: Book) -> None:
    """The answers follow the book."""
    async with at_the_bench(brake) as driver:
        await driver.press("f3")
        await driver.write("kick start lever")
        assert "kick start lever" not in found(driver)
        strip_part(brake, StripForm(name="kick start lever"))
        driver.app.book_changed()
        await driver.settle()
        assert found(driver)[0] == "kick start lever"


async def test_nothing_found_is_said(brake: Book) -> None:
    """With a way on."""
    async with at_the_bench(brake) as driver:
        await driver.press("f3")
        await driver.write("zzzzqqq")
        assert "Try fewer words" in driver.shown


async def test_an_assembly_of_the_bench_is_looked_for(brake: Book) -> None:
    """Enter on a bar of the bench."""
    async with at_the_bench(brake) as driver:
        await driver.tab_to("assemblies")
        await driver.press("enter")
        assert driver.at(FindScreen)
        assert driver.field("words") == "Front wheel"
        assert len(found(driver)) == 3


async def test_a_code_that_no_part_has_is_told(brake: Book) -> None:
    """In words and at Enter, which opens nothing; with its mark where no machine has that."""
    async with at_the_bench(brake) as driver:
        await driver.press("f3")
        await driver.write("qq-053")
        told = "No part has the code QQ-053; nothing here has the mark QQ."
        assert told in driver.shown
        await driver.press("enter")
        driver.at(FindScreen)
        assert driver.said == told
        await driver.press("backspace")
        assert driver.said == ""


async def test_enter_without_an_answer_says_so(brake: Book) -> None:
    async with at_the_bench(brake) as driver:
        await driver.press("f3")
        await driver.write("zzzzqqq")
        await driver.press("enter")
        assert "Try fewer words" in driver.said
