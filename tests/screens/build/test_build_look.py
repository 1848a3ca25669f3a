"""The screens and cards of the rebuild at 80 × 23: nothing is cut off, nothing overlaps."""

from __future__ import annotations

import pytest

from tagbench.book import Book
from tagbench.book.operations.building import FitForm, fit_part
from tests.screens.app.test_look import scrolls, seen
from tests.screens.driver import LARGE, SMALL, at_the_bench
from tests.screens.rebuild_bench import clutch, go_to_build

WAYS: dict[str, tuple[str, ...]] = {
    "build": (),
    "held up": ("right", "right"),
    "order by assembly": ("left", "a"),
    "lay out": ("l",),
    "reach": ("r",),
    "links": ("k", "up", "up"),
    "build sheet": ("p",),
    "fit": ("enter",),
    "fit too early": ("left", "end", "enter"),
    "stopped": ("left", "end", "enter", "f"),
    "torque": ("enter", "t"),
    "missing": ("enter", "m"),
    "wrench": ("enter", "w"),
    "count": ("f8",),
    "threads": ("f8", "right"),
    "bags": ("f8", "left"),
    "found": ("f8", "f", "M", "6"),
    "closing": ("f8", "c"),
    "settings": ("f9",),
    "measure": ("f9", "enter"),
    "setting": ("f9", "e"),
    "recheck": ("f9", "r"),
}
"""What is looked at → the keys from Build on."""


@pytest.mark.sampled(5)
@pytest.mark.parametrize(
    ("keys", "size"),
    [
        *[pytest.param(keys, SMALL, id=f"{name} 80x23") for name, keys in WAYS.items()],
        *[pytest.param(WAYS[name], LARGE, id=f"{name} 120x36") for name in ("build", "fit")],
    ],
)
async def test_nothing_is_cut_off_and_nothing_overlaps(
    empty: Book, keys: tuple[str, ...], size: tuple[int, int]
) -> None:
    """Every widget lies on the screen, beside and not over its neighbours."""
    codes = clutch(empty)
    fit_part(empty, codes.hub, FitForm(snug=True))
    async with at_the_bench(empty, size) as driver:
        await go_to_build(driver)
        await driver.press(*keys)
        shown = [widget for widget in seen(driver) if not scrolls(widget)]
        assert shown
        for widget in shown:
            assert driver.screen.region.contains_region(widget.region), widget
        for at, one in enumerate(shown):
            for other in shown[at + 1 :]:
                assert not one.region.intersection(other.region).area, (one, other)
