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
    async with at_the_bench(brake, LARGE) as hands:
        await hands.scan(drum)
        await hands.press("ctrl+u")
        assert hands.at(WhereaboutsDialog)
        await hands.fill(who="Hill Plating", due="in 2 weeks")
        await hands.press("enter")
        assert hands.at(PartScreen)
        assert "with Hill Plating" in hands.shown
        await hands.press("ctrl+u", "enter")
        assert whereabouts(brake.records.parts[drum]) == "here"
        await hands.press("ctrl+u")
        await hands.fill(seen="window shelf")
        await hands.press("ctrl+l")
        assert "last seen window shelf" in hands.shown
        await hands.press("ctrl+u", "enter")
        assert whereabouts(brake.records.parts[drum]) == "here"
        await hands.press("ctrl+u", "ctrl+o")
        assert "on the machine, never taken off" in hands.shown
