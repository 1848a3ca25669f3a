"""What one sees: nothing is cut off or overlaps, words can be read, and there is a way out."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from textual.color import Color
from textual.widget import Widget

from tagbench.book import Book
from tagbench.book.operations.photos import attach
from tagbench.screens.app.too_small import TooSmall
from tagbench.screens.frame.theme import DARK, LIGHT
from tests.screens.driver import LARGE, SMALL, ScreenDriver, at_the_bench

Way = Callable[[ScreenDriver], Awaitable[None]]


async def open_part(driver: ScreenDriver) -> None:
    """The page of the screws."""
    await driver.scan(driver.app.book.records.parts_of("TP")[1].code)


async def open_bin(driver: ScreenDriver) -> None:
    """What is in the box."""
    await driver.scan(min(driver.app.book.records.bins))


async def open_edit(driver: ScreenDriver) -> None:
    """The form of the screws."""
    await open_part(driver)
    await driver.press("ctrl+e")


def pressing(*keys: str) -> Way:
    """Some keys in a row."""

    async def press(driver: ScreenDriver) -> None:
        await driver.press(*keys)

    return press


WAYS: dict[str, Way] = {
    "bench": pressing(),
    "strip": pressing("f2"),
    "find": pressing("f3"),
    "tags": pressing("f4"),
    "part": open_part,
    "bin": open_bin,
    "edit": open_edit,
    "help": pressing("f1"),
    "go": pressing("ctrl+g"),
    "history": pressing("ctrl+t"),
    "machine": pressing("ctrl+n"),
    "new machine": pressing("ctrl+n", "ctrl+n"),
    "leave": pressing("ctrl+c"),
    "bins": pressing("f2", "ctrl+b"),
    "photo": pressing("f2", "ctrl+p"),
    "measure thread": pressing("f2", "ctrl+r"),
    "stock": pressing("f4", "ctrl+b"),
    "spare": pressing("f4", "ctrl+n"),
    "one tag": pressing("f4", "ctrl+o"),
    "phone": pressing("f10"),
    "answer": pressing("f10", "ctrl+o"),
}


def seen(driver: ScreenDriver) -> list[Widget]:
    """The widgets that are shown and have no others inside."""
    return [
        widget
        for widget in driver.screen.walk_children(Widget)
        if widget.display
        and widget.region.area
        and not any(child.display for child in widget.children)
        and all(parent.display for parent in widget.ancestors if isinstance(parent, Widget))
    ]


def scrolls(widget: Widget) -> bool:
    """Whether the widget is inside something that can be scrolled to it."""
    return any(
        parent.allow_vertical_scroll
        for parent in widget.ancestors
        if isinstance(parent, Widget) and parent is not widget.screen
    )


@pytest.mark.sampled(5)
@pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x23", "120x36"])
@pytest.mark.parametrize("way", WAYS.values(), ids=WAYS)
async def test_nothing_is_cut_off_and_nothing_overlaps(
    brake: Book, way: Way, size: tuple[int, int]
) -> None:
    """Every widget lies on the screen, beside and not over its neighbours."""
    async with at_the_bench(brake, size) as driver:
        await way(driver)
        shown = [widget for widget in seen(driver) if not scrolls(widget)]
        assert shown
        for widget in shown:
            assert driver.screen.region.contains_region(widget.region), widget
        for at, one in enumerate(shown):
            for other in shown[at + 1 :]:
                assert not one.region.intersection(other.region).area, (one, other)


@pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x23", "120x36"])
async def test_a_saved_part_leaves_the_whole_form_in_sight(
    brake: Book, size: tuple[int, int]
) -> None:
    """With the large code above it and the sentence below it."""
    async with at_the_bench(brake, size) as driver:
        await driver.press("f2")
        await driver.fill(assembly="Engine", name="clutch cover")
        await driver.press("enter")
        for label in ("From", "Bin", "What", "Fasteners", "Behind", "Photo", "Note"):
            assert label in driver.shown
        assert "Write the code on the bag" in driver.shown


async def test_a_terminal_that_is_too_small_says_so_and_comes_back(brake: Book) -> None:
    """What was typed is still there afterwards."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(name="hub")
        await driver.pilot.resize_terminal(60, 20)
        await driver.settle()
        assert "at least 80 columns" in " ".join(driver.shown.split())
        await driver.pilot.resize_terminal(80, 23)
        await driver.settle()
        assert driver.field("name") == "hub"


async def test_the_cover_goes_whatever_was_opened_meanwhile(brake: Book) -> None:
    """A scan and a card under it: both are there when there is room again."""
    code = brake.records.parts_of("TP")[0].code
    async with at_the_bench(brake) as driver:
        await driver.pilot.resize_terminal(60, 20)
        await driver.settle()
        await driver.app.open_code(code)
        await driver.settle()
        assert "at least 80 columns" in " ".join(driver.shown.split())
        await driver.app.run_action("help")
        await driver.settle()
        assert "at least 80 columns" in " ".join(driver.shown.split())
        await driver.pilot.resize_terminal(80, 23)
        await driver.settle()
        assert "at least 80 columns" not in " ".join(driver.shown.split())
        await driver.press("escape", "escape", "escape")
        assert not any(isinstance(screen, TooSmall) for screen in driver.app.screen_stack)


async def test_from_under_the_cover_ctrl_c_leaves(brake: Book) -> None:
    """The sentence says so, and there is no room for a question."""
    async with at_the_bench(brake) as driver:
        await driver.pilot.resize_terminal(40, 10)
        await driver.settle()
        assert "Ctrl+C leaves" in " ".join(driver.shown.split())
        await driver.press("ctrl+c")
        await driver.until(lambda: not driver.app.is_running)


def contrast(one: str, other: str) -> float:
    """The contrast ratio of WCAG 2.2, from relative luminance (both in its definitions)."""

    def luminance(color: Color) -> float:
        parts = [value / 255 for value in (color.r, color.g, color.b)]
        linear = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    brighter, darker = sorted(map(luminance, (Color.parse(one), Color.parse(other))))[::-1]
    return (brighter + 0.05) / (darker + 0.05)


def test_the_contrast_formula_gives_the_published_extremes() -> None:
    """WCAG 2.2, definition of contrast ratio: 21 for black on white, 1 for the same colour."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#777777") == pytest.approx(1)


@pytest.mark.parametrize("theme", [DARK, LIGHT], ids=["dark", "light"])
def test_words_have_the_enhanced_contrast(theme: object) -> None:
    """WCAG 2.2, success criterion 1.4.6 (level AAA): 7:1 for text."""
    from textual.theme import Theme

    assert isinstance(theme, Theme)
    grounds = [theme.background, theme.surface, theme.panel, theme.variables["field"]]
    inks = [theme.foreground, theme.primary, theme.secondary, theme.error, theme.success]
    pairs = [(ink, ground) for ground in grounds[:2] for ink in [*inks, theme.warning]]
    pairs += [(theme.foreground, ground) for ground in grounds]
    pairs += [(theme.variables["quiet"], ground) for ground in grounds[:2]]
    pairs += [(theme.variables["on-primary"], theme.primary), (theme.primary, theme.panel)]
    for ink, ground in pairs:
        assert ink is not None
        assert ground is not None
        assert contrast(ink, ground) >= 7, (ink, ground)


async def test_pictures_last(brake: Book, picture: Path, tmp_path: Path) -> None:
    """Each screen can be drawn as a picture in both themes."""
    attach(brake, [(picture, min(brake.records.parts))])
    async with at_the_bench(brake) as driver:
        for way in ("bench", "strip", "find", "tags"):
            await WAYS[way](driver)
            for _ in range(2):
                await driver.press("ctrl+l")
                drawn = Path(driver.app.save_screenshot(str(tmp_path / f"{way}.svg"))).read_text()
                assert way.upper() in drawn
