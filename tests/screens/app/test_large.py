"""Large keys and codes on a high terminal: one setting, remembered."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.book.operations.strip import edit
from tagbench.screens.frame.registry import FIT
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.widgets.bars import KeyBar
from tagbench.screens.widgets.big_code import BigCode, BigFact, big, large_lines
from tagbench.trade.fasteners.text import parse_fasteners
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench


async def choose_large(driver: ScreenDriver) -> None:
    """From the list of actions."""
    await driver.press("ctrl+g")
    await driver.write("main facts large")
    await driver.press("enter")


async def test_keys_have_two_lines_and_codes_are_large(brake: Book) -> None:
    """Both lines of a key can be clicked; the next evening is the same; and back again."""
    code = brake.records.parts_of("TP")[0].code
    async with at_the_bench(brake, LARGE) as driver:
        await choose_large(driver)
        assert "drawn large" in driver.said
        bar = driver.screen.query_one("#keys-anywhere", KeyBar).region
        assert bar.height == 2
        keys, words = driver.shown.splitlines()[bar.y : bar.bottom]
        assert keys.index("F3") == words.index("Find")
        await driver.pilot.click(offset=(words.index("Find") + 1, bar.y + 1))
        await driver.settle()
        assert "FIND" in driver.shown
    async with at_the_bench(brake, LARGE) as driver:
        await driver.app.open_code(code)
        await driver.settle()
        large = driver.at(PartScreen).query_one(BigCode)
        assert large.display
        assert large.code == code
        await choose_large(driver)
        assert not large.display


async def test_the_main_facts_of_part_build_and_fit_grow(brake: Book) -> None:
    """Where it is; on the fit card the torque that is given next, as it was typed."""
    drum, screws, plate = brake.records.parts_of("TP")
    edit(brake, plate.code, fasteners=parse_fasteners("2x M6x1x16 hex, 7-10 N·m"))
    edit(brake, screws.code, name="screws")
    async with at_the_bench(brake, LARGE) as driver:
        await choose_large(driver)
        await driver.app.open_code(drum.code)
        await driver.settle()
        fact = driver.screen.query_one(BigFact)
        assert fact.display
        assert fact.fact == "Bag 7"
        assert big("BAG 7")[0] in driver.shown
        await driver.app.open_screen("build")
        await driver.press("right", "right")
        await driver.until(lambda: bool(driver.screen.query_one("#pane-fact", BigFact).fact))
        assert driver.screen.query_one("#pane-fact", BigFact).display
        await driver.press("escape")
        driver.at(PartScreen).open_card(FIT(plate.code))
        await driver.settle()
        assert driver.screen.query_one(BigFact).fact == "7–10 N·m"
        assert big("7–10 N·M")[0] in driver.shown


def test_words_without_room_stay_as_they_are() -> None:
    """Two lines at the most, whole words, and no sign that is not drawn."""
    assert large_lines("BAG PLATE SCREWS", 60) == ["BAG PLATE", "SCREWS"]
    assert large_lines("BAG PLATE SCREWS", 30) == []
    assert large_lines("BAG Ø", 60) == []


async def test_a_low_terminal_keeps_its_lines(brake: Book) -> None:
    """It is said from how many lines on it shows."""
    async with at_the_bench(brake) as driver:
        await choose_large(driver)
        assert "lines or more" in driver.said
        assert driver.screen.query_one("#keys-anywhere", KeyBar).region.height == 1
