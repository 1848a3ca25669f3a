"""The screws of a bag from one picture, on Strip: confirmed, changed, left out, written down."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.screens.measure.laid import LaidDialog
from tagbench.screens.strip.screen import StripScreen
from tests.measure.conftest import laid_picture
from tests.screens.driver import LARGE, SMALL, ScreenDriver, at_the_bench

__all__ = ["laid_picture"]  # a rendered picture


async def laid(driver: ScreenDriver, picture: Path) -> LaidDialog:
    """Opens the card on Strip with a picture."""
    await driver.press("f2", "f11", "ctrl+u")
    await driver.fill(typed=str(picture))
    await driver.press("enter")
    card = driver.at(LaidDialog)
    await driver.until(lambda: "Measuring" not in driver.shown and "…" not in card.progress)
    await driver.settle()
    return card


@pytest.mark.parametrize("size", [SMALL, pytest.param(LARGE, marks=pytest.mark.long)])
async def test_groups_are_confirmed_with_one_key_each_and_say_where_they_come_from(
    brake: Book,
    laid_picture: Path,
    size: tuple[int, int],
    shoot: Callable[[ScreenDriver, str], None],
) -> None:
    """Six groups: one left out, one corrected, four confirmed; the record tells which is which."""
    async with at_the_bench(brake, size=size) as driver:
        await laid(driver, laid_picture)
        assert "6 pieces in 6 groups; 6 to look at" in driver.shown
        assert "caliper" in driver.shown
        await driver.press("delete")
        await driver.press("ctrl+e", "ctrl+u")
        await driver.fill(**{"laid-text": "2x M6x1x50 hex"})
        await driver.press("enter")
        await driver.press("down", *["enter"] * 4)
        assert "0 to look at" in driver.shown
        shoot(driver, "laid")
        await driver.press("enter")
        driver.at(StripScreen)
        await driver.fill(name="Cover", assembly="Engine")
        await driver.press("enter")
        part = brake.records.parts_of("TP")[-1]
        assert part.name == "Cover"
        assert len(part.fasteners) == 5
        assert 2 in [one.quantity for one in part.fasteners if one.length == 50]
        measured = [one for one in part.fasteners if one.measured]
        assert all(one.measured.startswith("measured from a picture: ") for one in measured)
        assert all("±" in one.measured for one in measured if one.kind != "nut")
        await driver.scan(part.code)
        shoot(driver, "laid-part")
        assert "measured from a picture" in driver.shown.replace("\n", " ")


async def test_an_escape_takes_nothing_and_no_picture_says_so(brake: Book, tmp_path: Path) -> None:
    """Nothing is written down that nobody confirmed."""
    words = tmp_path / "words.jpg"
    words.write_text("no picture")
    async with at_the_bench(brake) as driver:
        await laid(driver, words)
        assert "is not a picture" in driver.shown
        await driver.press("ctrl+o")
        assert "Confirm at least one" in driver.shown
        await driver.press("escape")
        driver.at(StripScreen)
        assert driver.field("fasteners") == ""
