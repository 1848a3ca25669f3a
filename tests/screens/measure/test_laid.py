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


async def laid(hands: ScreenDriver, picture: Path) -> LaidDialog:
    """Opens the card on Strip with a picture."""
    await hands.press("f2", "f11", "ctrl+u")
    await hands.fill(typed=str(picture))
    await hands.press("enter")
    card = hands.at(LaidDialog)
    await hands.until(lambda: "Measuring" not in hands.shown and "…" not in card.progress)
    await hands.settle()
    return card


@pytest.mark.parametrize("size", [SMALL, pytest.param(LARGE, marks=pytest.mark.slow)])
async def test_groups_are_confirmed_with_one_key_each_and_say_where_they_come_from(
    brake: Book,
    laid_picture: Path,
    size: tuple[int, int],
    shoot: Callable[[ScreenDriver, str], None],
) -> None:
    """Six groups: one left out, one corrected, four confirmed; the record tells which is which."""
    async with at_the_bench(brake, size=size) as hands:
        await laid(hands, laid_picture)
        assert "6 pieces in 6 groups; 6 to look at" in hands.shown
        assert "caliper" in hands.shown
        await hands.press("delete")
        await hands.press("ctrl+e", "ctrl+u")
        await hands.fill(**{"laid-text": "2x M6x1x50 hex"})
        await hands.press("enter")
        await hands.press("down", *["enter"] * 4)
        assert "0 to look at" in hands.shown
        shoot(hands, "laid")
        await hands.press("enter")
        hands.at(StripScreen)
        await hands.fill(name="Cover", assembly="Engine")
        await hands.press("enter")
        part = brake.records.parts_of("TP")[-1]
        assert part.name == "Cover"
        assert len(part.fasteners) == 5
        typed = [one for one in part.fasteners if not one.measured]
        assert [one.quantity for one in typed] == [2]
        measured = [one for one in part.fasteners if one.measured]
        assert all(one.measured.startswith("measured from a picture: ") for one in measured)
        assert all("±" in one.measured for one in measured if one.kind != "nut")
        await hands.scan(part.code)
        shoot(hands, "laid-part")
        assert "measured from a picture" in hands.shown.replace("\n", " ")


async def test_an_escape_takes_nothing_and_no_picture_says_so(brake: Book, tmp_path: Path) -> None:
    """Nothing is written down that nobody confirmed."""
    words = tmp_path / "words.jpg"
    words.write_text("no picture")
    async with at_the_bench(brake) as hands:
        await laid(hands, words)
        assert "is not a picture" in hands.shown
        await hands.press("ctrl+o")
        assert "Confirm at least one" in hands.shown
        await hands.press("escape")
        hands.at(StripScreen)
        assert hands.field("fasteners") == ""
