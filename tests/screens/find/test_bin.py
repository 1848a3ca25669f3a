"""Bin: its name, changed where it is looked at."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.screens.find.bin import BinScreen
from tests.screens.driver import at_the_bench


async def test_a_bin_gets_another_name(brake: Book) -> None:
    """Ctrl+E; a name that stands there already is refused, and nothing is lost."""
    bag = next(one for one in brake.records.bins.values() if one.name == "Bag 7")
    async with at_the_bench(brake) as driver:
        await driver.app.open_code(bag.code)
        await driver.settle()
        driver.at(BinScreen)
        await driver.press("ctrl+e", "ctrl+u")
        await driver.write("Bag 7 / 8")
        await driver.press("enter")
        assert "one name" in driver.said
        await driver.press("ctrl+u")
        await driver.write("Brake bag")
        await driver.press("enter")
        assert brake.records.bins[bag.code].name == "Brake bag"
        assert "Brake bag" in driver.shown
