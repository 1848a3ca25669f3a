"""Where a part is besides its bag, by keys: sent and back, lost and found, never off."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.rules.whereabouts import whereabouts
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.part.whereabouts import WhereaboutsDialog
from tests.screens.driver import LARGE, at_the_bench


async def test_a_part_goes_comes_back_is_lost_found_and_stays_on(brake: Book) -> None:
    """One card for all of it; the page says where the part is."""
    drum = brake.records.parts_of("TP")[0].code
    async with at_the_bench(brake, LARGE) as driver:
        await driver.scan(drum)
        await driver.press("ctrl+u")
        assert driver.at(WhereaboutsDialog)
        await driver.fill(who="Hill Plating", due="in 2 weeks")
        await driver.press("enter")
        assert driver.at(PartScreen)
        assert "with Hill Plating" in driver.shown
        await driver.press("ctrl+u", "enter")
        assert whereabouts(brake.records.parts[drum]) == "here"
        await driver.press("ctrl+u")
        await driver.fill(seen="window shelf")
        await driver.press("ctrl+l")
        assert "last seen window shelf" in driver.shown
        await driver.press("ctrl+u", "enter")
        assert whereabouts(brake.records.parts[drum]) == "here"
        await driver.press("ctrl+u", "ctrl+o")
        assert "on the machine, never taken off" in driver.shown
