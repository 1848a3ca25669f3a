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


async def traced(hands: ScreenDriver, code: str, picture: Path) -> TraceScreen:
    """Opens the screen from Part and traces a picture."""
    await hands.scan(code)
    await hands.press("f11", "ctrl+p", "ctrl+u")
    await hands.fill(typed=str(picture))
    await hands.press("enter")
    screen = hands.at(TraceScreen)
    await rested(hands, screen)
    return screen


def holes(screen: TraceScreen) -> int:
    """How many bolt holes are shown."""
    return len(screen.outline.holes) if screen.outline else 0


async def rested(hands: ScreenDriver, screen: TraceScreen) -> None:
    """Waits until the picture has been followed."""
    await hands.until(lambda: not screen.busy)
    await hands.settle()


@pytest.mark.parametrize("size", [SMALL, pytest.param(LARGE, marks=pytest.mark.slow)])
async def test_a_gasket_is_traced_mended_by_keys_kept_and_printed_again(
    brake: Book,
    gasket_picture: Path,
    size: tuple[int, int],
    tmp_path: Path,
    shoot: Callable[[ScreenDriver, str], None],
) -> None:
    """Drop a hole, type a size, mirror, offset, another threshold, keep; a file months later."""
    code = brake.records.parts_of("TP")[0].code
    async with at_the_bench(brake, size=size) as hands:
        screen = await traced(hands, code, gasket_picture)
        assert screen.outline is not None
        assert holes(screen) == 8
        shown = hands.shown
        shoot(hands, "trace")
        assert "not kept yet" in shown
        assert "caliper" in shown
        assert any("\u2800" < sign < "\u2900" for sign in shown)  # the outline itself
        await hands.press("right")
        await rested(hands, screen)
        assert "threshold 0.55" in hands.shown
        assert holes(screen) == 8
        await hands.press("delete")
        assert holes(screen) == 7
        await hands.press("enter")
        await hands.fill(asked="all=7")
        await hands.press("enter")
        assert {hole.diameter_mm for hole in screen.outline.holes} == {7.0}
        await hands.press("ctrl+f", "ctrl+y")
        await hands.fill(asked="-0.5 mm")
        await hands.press("enter")
        assert len(screen.outline.adjusted) == 4
        assert brake.records.parts[code].make is None
        await hands.press("ctrl+o")
        kept = brake.records.parts[code].make
        assert kept is not None
        assert kept.outline is not None
        assert kept.outline == screen.outline
        await hands.press("ctrl+w", "ctrl+u")
        await hands.fill(file=str(tmp_path / "g.dxf"))
        await hands.press("enter")
        assert (tmp_path / "g.dxf").stat().st_size > 1000
    async with at_the_bench(brake, size=size) as hands:
        await hands.scan(code)
        await hands.press("f11")
        assert "kept with the part" in hands.shown
        assert hands.at(TraceScreen).outline == kept.outline


async def test_what_is_no_picture_is_refused_in_a_sentence(brake: Book, tmp_path: Path) -> None:
    """The screen stays, and says what to do."""
    words = tmp_path / "words.jpg"
    words.write_text("no picture")
    code = brake.records.parts_of("TP")[0].code
    async with at_the_bench(brake) as hands:
        screen = await traced(hands, code, words)
        assert "is not a picture" in hands.shown
        assert screen.outline is None
        await hands.press("right")
        assert "Ctrl+P" in hands.shown
