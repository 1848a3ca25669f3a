"""What one sees in the middle of the job: nothing cut off or overlapping, few parts or many."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from demo.writer import write_demo
from tagbench.book import Book
from tagbench.records import Machine, Part
from tests.screens.app.test_look import Way, pressing, scrolls, seen
from tests.screens.conftest import NOW
from tests.screens.dirty import dirty_table
from tests.screens.driver import LARGE, SMALL, ScreenDriver, at_the_bench

SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x23", "120x36"])


def going(place: str, *keys: str) -> Way:
    """A screen by its name, then some keys."""

    async def go(driver: ScreenDriver) -> None:
        await driver.app.go(place)
        await driver.settle()
        await driver.settle()
        await driver.press(*keys)

    return go


WAYS: dict[str, Way] = {
    "clean": pressing("f5"),
    "clean, marked": pressing("f5", "m"),
    "clean, a list": pressing("f5", "right", "right"),
    "step": pressing("f5", "w"),
    "soak": pressing("f5", "s"),
    "inspect": pressing("f5", "enter"),
    "reading": pressing("f5", "enter", "enter"),
    "kind": pressing("f5", "enter", "k"),
    "numbers": pressing("f5", "enter", "n"),
    "gasket": pressing("f5", "enter", "g"),
    "photos": pressing("f5", "enter", "p"),
    "cautions": going("cautions"),
    "buy": going("buy"),
    "want": going("buy", "a"),
    "change a want": going("buy", "enter"),
    "ordered": going("buy", "o"),
    "here": going("buy", "h"),
    "stock": going("stock"),
    "drawer": going("stock", "a"),
    "shop list": going("shop"),
    "folder": going("photos"),
}


async def looked_at(driver: ScreenDriver, way: Way) -> None:
    """Everything that is shown lies on the screen, beside and not over its neighbours."""
    await way(driver)
    await driver.settle()
    shown = [widget for widget in seen(driver) if not scrolls(widget)]
    assert shown
    for widget in shown:
        assert driver.screen.region.contains_region(widget.region), widget
    for at, one in enumerate(shown):
        for other in shown[at + 1 :]:
            assert not one.region.intersection(other.region).area, (one, other)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """The demo book, sixty parts and a few; written once, since looking changes nothing."""
    with write_demo(tmp_path_factory.mktemp("demo"), now=lambda: NOW) as book:
        yield book


@pytest.mark.sampled(9)
@SIZES
@pytest.mark.parametrize("way", WAYS.values(), ids=WAYS)
async def test_nothing_is_cut_off_with_sixty_parts(
    demo: Book, way: Way, size: tuple[int, int]
) -> None:
    """The demo book."""
    async with at_the_bench(demo, size) as driver:
        await looked_at(driver, way)


@pytest.mark.sampled(3)
@pytest.mark.parametrize("way", ["clean", "inspect", "buy", "stock", "shop list"])
async def test_nothing_is_cut_off_with_a_handful(empty: Book, way: str) -> None:
    """A few parts leave no hole where something should be said."""
    dirty_table(empty)
    async with at_the_bench(empty) as driver:
        await looked_at(driver, WAYS[way])


@pytest.fixture
def large(empty: Book) -> Book:
    """Two thousand parts in thirty assemblies, each behind the one before."""
    with empty.change("a large machine") as transaction:
        transaction.put(Machine(mark="TP", name="Tarnbrook Packman"))
        before: tuple[str, ...] = ()
        for order in range(1, 2001):
            part = Part(
                code=transaction.new_code("TP"),
                name=("brake shoe", "chain", "oil seal", "oddment")[order % 4],
                assembly=f"Frame / Section {order % 30}",
                order=order,
                removed=NOW,
                behind=before,
                verdict="replace" if order % 10 == 0 else "undecided",
                replacement="wanted" if order % 10 == 0 else "",
            )
            before = (part.code,)
            transaction.put(part)
    return empty


@SIZES
async def test_two_thousand_parts_are_no_more_crowded(large: Book, size: tuple[int, int]) -> None:
    """The same screens, and a key on all of them is one step."""
    async with at_the_bench(large, size) as driver:
        for way in ("clean", "inspect", "buy", "stock"):
            await looked_at(driver, WAYS[way])
        await driver.press("f5", "m", "i")
        assert driver.said == "Inspected: 2000 parts."
        await driver.press("b")
        assert "Took back" in driver.said or "Nothing" in driver.said


async def test_the_page_of_a_part_leads_to_its_care_and_back(empty: Book) -> None:
    """One key there, Escape back."""
    codes = dirty_table(empty)
    async with at_the_bench(empty) as driver:
        await driver.app.open_code(codes["chain"])
        await driver.settle()
        await driver.press("ctrl+y")
        assert "INSPECT" in driver.shown
        await driver.press("escape")
        assert "PART" in driver.shown


async def test_pictures_last(demo: Book, tmp_path: Path) -> None:
    """Each screen can be drawn as a picture in both themes."""
    async with at_the_bench(demo) as driver:
        for way in ("clean", "buy", "stock", "cautions"):
            await WAYS[way](driver)
            for _ in range(2):
                await driver.press("ctrl+l")
                drawn = Path(driver.app.save_screenshot(str(tmp_path / f"{way}.svg"))).read_text()
                assert way.upper() in drawn
