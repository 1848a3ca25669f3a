"""The bolt card from the page of a part, by keys alone."""

from __future__ import annotations

from pathlib import Path

from textual.widgets import Input

from tagbench.book import Book
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.screens.part.bolt_card import BoltCardDialog
from tagbench.trade.fasteners.text import parse_fasteners
from tests.labels import raster
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench

SCREWS = "3x M6x1x45 hex (12, 4 and 8 o'clock); 2x M6x1x20 hex (2 and 10 o'clock)"


def cover(book: Book, fasteners: str) -> str:
    """The code of a crankcase cover held by these fasteners."""
    form = StripForm(name="crankcase cover", fasteners=parse_fasteners(fasteners))
    return strip_part(book, form).code


async def set_to(driver: ScreenDriver, name: str, text: str) -> None:
    """Puts a text into a field of the card."""
    driver.app.screen.query_one(f"#{name}", Input).value = text
    await driver.settle()


async def test_the_card_shows_its_figure_and_is_printed(brake: Book, tmp_path: Path) -> None:
    """Holes from the places of the screws; numbers in the order of tightening."""
    code = cover(brake, SCREWS)
    file = tmp_path / "card.pdf"
    async with at_the_bench(brake) as driver:
        await driver.scan(code)
        await driver.press("ctrl+k")
        assert driver.at(BoltCardDialog)
        assert "1  A  12 o'clock: M6x1x45 hex" in driver.shown
        assert "▲" in driver.shown
        await set_to(driver, "card-to", str(file))
        await driver.press("enter")
        assert "Print at 100 %" in driver.said
    [(width, height)] = raster.page_sizes_mm(file)
    assert (round(width), round(height)) == (120, 70)


async def test_holes_may_be_typed_and_a_bad_one_says_why(brake: Book) -> None:
    code = cover(brake, "2x M6x1x45 hex")
    async with at_the_bench(brake, size=LARGE) as driver:
        await driver.scan(code)
        await driver.press("ctrl+k")
        assert "Name each hole and its screw" in driver.shown
        await set_to(driver, "card-holes", "6 o'clock")
        assert "is not a hole" in driver.shown
        await driver.press("enter")
        assert driver.at(BoltCardDialog)
        await set_to(driver, "card-holes", "0 0: M6x45; 80 0: M6x45; 80 40: M6x20")
        assert "M6x20" in driver.shown
