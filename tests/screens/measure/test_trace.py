"""A gasket traced on its screen: seen with its figures, mended by keys, kept and printed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.screens.measure.trace import TraceScreen
from tests.measure.conftest import gasket_picture
from tests.screens.driver import LARGE, SMALL, ScreenDriver, at_the_bench

__all__ = ["gasket_picture"]  # a rendered picture


async def traced(driver: ScreenDriver, code: str, picture: Path) -> TraceScreen:
    """Opens the screen from Part and traces a picture."""
    await driver.scan(code)
    await driver.press("f11", "ctrl+p", "ctrl+u")
    await driver.fill(typed=str(picture))
    await driver.press("enter")
    screen = driver.at(TraceScreen)
    await rested(driver, screen)
    return screen


def holes(screen: TraceScreen) -> int:
    """How many bolt holes are shown."""
    return len(screen.outline.holes) if screen.outline else 0


async def rested(driver: ScreenDriver, screen: TraceScreen) -> None:
    """Waits until the picture has been followed."""
    await driver.until(lambda: not screen.busy)
    await driver.settle()


@pytest.mark.parametrize("size", [SMALL, pytest.param(LARGE, marks=pytest.mark.long)])
async def test_a_gasket_is_traced_mended_by_keys_kept_and_printed_again(
    brake: Book,
    gasket_picture: Path,
    size: tuple[int, int],
    tmp_path: Path,
    shoot: Callable[[ScreenDriver, str], None],
) -> None:
    """Drop a hole, type a size, mirror, offset, another threshold, keep; a file months later."""
    code = brake.records.parts_of("TP")[0].code
    async with at_the_bench(brake, size=size) as driver:
        screen = await traced(driver, code, gasket_picture)
        assert screen.outline is not None
        assert holes(screen) == 8
        shown = driver.shown
        shoot(driver, "trace")
        assert "not kept yet" in shown
        assert "caliper" in shown
        assert any("\u2800" < sign < "\u2900" for sign in shown)  # the outline itself
        await driver.press("right")
        await rested(driver, screen)
        assert "threshold 0.55" in driver.shown
        assert holes(screen) == 8
        await driver.press("delete")
        assert holes(screen) == 7
        await driver.press("enter")
        await driver.fill(asked="all=7")
        await driver.press("enter")
        assert {hole.diameter_mm for hole in screen.outline.holes} == {7.0}
        await driver.press("ctrl+f", "ctrl+y")
        await driver.fill(asked="-0.5 mm")
        await driver.press("enter")
        assert len(screen.outline.adjusted) == 4
        assert brake.records.parts[code].make is None
        await driver.press("ctrl+o")
        kept = brake.records.parts[code].make
        assert kept is not None
        assert kept.outline is not None
        assert kept.outline == screen.outline
        await driver.press("ctrl+w", "ctrl+u")
        await driver.fill(file=str(tmp_path / "g.dxf"))
        await driver.press("enter")
        assert (tmp_path / "g.dxf").stat().st_size > 1000
    async with at_the_bench(brake, size=size) as driver:
        await driver.scan(code)
        await driver.press("f11")
        assert "kept with the part" in driver.shown
        assert driver.at(TraceScreen).outline == kept.outline


async def test_what_is_no_picture_is_refused_in_a_sentence(brake: Book, tmp_path: Path) -> None:
    """The screen stays, and says what to do."""
    words = tmp_path / "words.jpg"
    words.write_text("no picture")
    code = brake.records.parts_of("TP")[0].code
    async with at_the_bench(brake) as driver:
        screen = await traced(driver, code, words)
        assert "is not a picture" in driver.shown
        assert screen.outline is None
        await driver.press("right")
        assert "Ctrl+P" in driver.shown
