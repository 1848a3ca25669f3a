"""A photograph that a phone sent: Bench says that it waits, one key opens it, Strip takes it."""

from __future__ import annotations

from pathlib import Path

from tagbench.book import Book
from tagbench.measure.lay.groups import LaidGroups, PieceGroup
from tagbench.measure.lay.laid import Unclear
from tagbench.measure.waiting import keep, keep_result, waiting
from tagbench.screens.measure.laid import LaidDialog
from tagbench.screens.strip.screen import StripScreen
from tests.screens.conftest import NOW
from tests.screens.driver import at_the_bench


async def test_what_a_phone_sent_waits_on_bench_and_goes_to_strip(
    brake: Book, picture: Path
) -> None:
    """Opened by one key; once taken it waits no more."""
    found = LaidGroups(
        (PieceGroup(3, "M6x1x25 hex", "25.1 ±0.2 mm long"),), (Unclear(3, 4, "cut off"),)
    )
    keep_result(keep(brake.folder, picture, NOW), found)
    async with at_the_bench(brake) as driver:
        assert "1 photograph of the mat wait" in driver.shown
        await driver.press("f11")
        card = driver.at(LaidDialog)
        await driver.until(lambda: "…" not in card.progress)
        await driver.settle()
        assert "cut off" in driver.shown
        await driver.press("enter", "enter")
        driver.at(StripScreen)
        assert driver.field("fasteners") == "3x M6x1x25 hex"
        assert waiting(brake.folder) == []
        await driver.fill(name="Cover", assembly="Engine")
        await driver.press("enter")
        (line,) = brake.records.parts_of("TP")[-1].fasteners
        assert line.measured.startswith("measured from a picture: 25.1 ±0.2 mm long; ")
        assert line.measured.endswith("check one with the caliper")
        await driver.press("escape")
        assert "of the mat" not in driver.shown
