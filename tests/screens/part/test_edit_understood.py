"""The card that mends a part says all that was understood of its fasteners, however many."""

from __future__ import annotations

import pytest

from tagbench.book import Book
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.screens.part.edit import EditDialog
from tagbench.screens.widgets.understood import Understood
from tagbench.trade.fasteners.text import parse_fasteners
from tests.screens.driver import LARGE, SMALL, at_the_bench
from tests.screens.strip.test_understood import LINES, QUESTION, has_focus, hidden, understood

SIZES = pytest.mark.parametrize("size", [SMALL, (80, 24), LARGE], ids=["80x23", "80x24", "120x36"])


@SIZES
async def test_many_fasteners_are_counted_and_shown(brake: Book, size: tuple[int, int]) -> None:
    """Those that were written down before; the arrows go through them."""
    texts = [f"{many}x M{many}x{10 * many} hex" for many in (3, 4, 5, 6, 8, 10, 12)] * 3
    part = strip_part(brake, StripForm(name="cover", fasteners=parse_fasteners("; ".join(texts))))
    async with at_the_bench(brake, size) as driver:
        await driver.scan(part.code)
        await driver.press("ctrl+e")
        await driver.tab_to("fasteners")
        seen = set(understood(driver))
        assert (hidden(driver) > 0) == (size != LARGE)
        while "↑" in understood(driver)[-1]:
            await driver.press("up")
            assert has_focus(driver, "fasteners")
            seen |= set(understood(driver))
        for many in (3, 4, 5, 6, 8, 10, 12):
            assert any(f"= {many}x M{many}x" in row for row in seen), many


@SIZES
async def test_the_fields_below_a_long_note_can_be_gone_to(
    brake: Book, size: tuple[int, int]
) -> None:
    """The form goes on behind its edge; the card and its keys stay on the screen."""
    code = brake.records.parts_of("TP")[1].code
    async with at_the_bench(brake, size) as driver:
        await driver.scan(code)
        await driver.press("ctrl+e")
        await driver.tab_to("fasteners")
        await driver.press("ctrl+u")
        await driver.write("; ".join(typed for typed, _ in LINES))
        assert QUESTION in understood(driver)
        card = driver.at(EditDialog)
        assert card.region.contains_region(card.query_one("#card").region)
        assert "Enter Save" in driver.shown
        for name in ("position", "sits", "behind", "number", "note"):
            await driver.tab_to(name)
            form, field = card.query_one("#part-form"), card.query_one(f"#{name}")
            assert form.region.contains_region(field.region), name
        assert card.query_one(Understood).size.height > 1
        await driver.press("enter")
        assert len(brake.records.parts[code].fasteners) == len(LINES) - 1
