"""The whole main job by keys alone: strip, print, scan, find."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import zxingcpp

from tagbench.book import Book
from tagbench.screens.bench.screen import BenchScreen
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.strip.screen import StripScreen
from tests.screens.driver import ScreenDriver, at_the_bench


async def strip_screws(driver: ScreenDriver) -> str:
    """Writes down the backing plate screws; gives their code."""
    await driver.press("f2")
    await driver.fill(
        assembly="Front wheel / Brake",
        bin="Shelf A / Box 2 / Bag 7",
        name="backing plate screws",
        fasteners="4x M5x0.8x12 pan",
    )
    await driver.press("enter")
    return next(iter(driver.app.book.records.parts))


async def print_tags(driver: ScreenDriver, file: Path) -> None:
    """Prints what waits to a file."""
    await driver.press("f4")
    driver.app.screen.query_one("#target").value = ""  # type: ignore[attr-defined]
    await driver.fill(target=str(file))
    await driver.press("ctrl+p")
    await driver.until(file.exists)
    await driver.until(lambda: "on paper" in driver.shown)
    await driver.press("enter")
    await driver.until(lambda: "noted as printed" in driver.said)


def decoded(file: Path) -> list[str]:
    """What an independent reader (zxing-cpp) reads from the printed pages."""
    page = pypdfium2.PdfDocument(file)[0]
    return sorted(found.text for found in zxingcpp.read_barcodes(page.render(scale=4).to_pil()))


async def test_strip_print_scan_find(empty: Book, tmp_path: Path) -> None:
    """From an empty book to the four screws found again, without a mouse."""
    async with at_the_bench(empty) as driver:
        assert driver.at(BenchScreen)
        code = await strip_screws(driver)
        part = empty.records.parts[code]
        assert (part.name, part.assembly) == ("backing plate screws", "Front wheel / Brake")
        assert part.fasteners[0].thread == "M5x0.8"

        await print_tags(driver, tmp_path / "tags.pdf")
        printed = decoded(tmp_path / "tags.pdf")
        assert code in printed
        assert not any(tag.queued for tag in empty.records.tags.values())

        await driver.press("f3")
        await driver.scan(code)
        assert driver.at(PartScreen).code == code

        await driver.press("escape", "ctrl+n")
        await driver.write("4 screws bakcing plate")
        assert "in Bag 7, in Box 2, on Shelf A" in driver.shown
        await driver.press("enter")
        assert driver.at(PartScreen).code == code
        assert "4x M5x0.8x12 pan" in driver.shown


async def test_escape_leads_back_to_the_bench(brake: Book) -> None:
    """Every way ends at the bench, which is the last."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        assert driver.at(StripScreen)
        await driver.press("escape", "escape", "escape")
        assert driver.at(BenchScreen)


async def test_what_was_typed_stays_when_another_screen_is_opened(brake: Book) -> None:
    """A half-filled form is still there after a look elsewhere."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(name="brake shoe")
        await driver.press("f3", "f4", "f2")
        assert driver.field("name") == "brake shoe"
