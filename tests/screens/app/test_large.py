"""Large keys and codes on a high terminal: one setting, remembered."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.widgets.bars import KeyBar
from tagbench.screens.widgets.big_code import BigCode
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench


async def choose_large(hands: ScreenDriver) -> None:
    """From the list of actions."""
    await hands.press("ctrl+g")
    await hands.write("codes large")
    await hands.press("enter")


async def test_keys_have_two_lines_and_codes_are_large(brake: Book) -> None:
    """Both lines of a key can be clicked; the next evening is the same; and back again."""
    code = brake.records.parts_of("TP")[0].code
    async with at_the_bench(brake, LARGE) as hands:
        await choose_large(hands)
        assert "drawn large" in hands.said
        bar = hands.screen.query_one("#keys-anywhere", KeyBar).region
        assert bar.height == 2
        keys, words = hands.shown.splitlines()[bar.y : bar.bottom]
        assert keys.index("F3") == words.index("Find")
        await hands.pilot.click(offset=(words.index("Find") + 1, bar.y + 1))
        await hands.settle()
        assert "FIND" in hands.shown
    async with at_the_bench(brake, LARGE) as hands:
        await hands.app.open_code(code)
        await hands.settle()
        large = hands.at(PartScreen).query_one(BigCode)
        assert large.display
        assert large.code == code
        await choose_large(hands)
        assert not large.display


async def test_a_low_terminal_keeps_its_lines(brake: Book) -> None:
    """It is said from how many lines on it shows."""
    async with at_the_bench(brake) as hands:
        await choose_large(hands)
        assert "lines on" in hands.said
        assert hands.screen.query_one("#keys-anywhere", KeyBar).region.height == 1
