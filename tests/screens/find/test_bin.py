"""Bin: its name, changed where it is looked at."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.screens.find.bin import BinScreen
from tests.screens.driver import at_the_bench


async def test_a_bin_gets_another_name(brake: Book) -> None:
    """Ctrl+E; a name that stands there already is refused, and nothing is lost."""
    bag = next(one for one in brake.records.bins.values() if one.name == "Bag 7")
    async with at_the_bench(brake) as hands:
        await hands.app.open_code(bag.code)
        await hands.settle()
        hands.at(BinScreen)
        await hands.press("ctrl+e", "ctrl+u")
        await hands.write("Bag 7 / 8")
        await hands.press("enter")
        assert "one name" in hands.said
        await hands.press("ctrl+u")
        await hands.write("Brake bag")
        await hands.press("enter")
        assert brake.records.bins[bag.code].name == "Brake bag"
        assert "Brake bag" in hands.shown
