"""Every word can be read: the contrast of what is drawn, in each kind of terminal and theme.

WCAG 2.2, success criterion 1.4.3: 4.5:1 for text. The colours are those that the terminal shows:
as they are in true colour, and brought to the nearest of 256 or sixteen as Rich writes them. The
sixteen are looked up in two palettes: the standard one of Rich (that of VGA) and
xterm's (XTerm-col.ad of xterm, from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from rich.color import Color, ColorSystem
from rich.color_triplet import ColorTriplet
from rich.segment import Segment
from rich.terminal_theme import DEFAULT_TERMINAL_THEME, TerminalTheme
from textual.theme import Theme

from tagbench.book import Book
from tagbench.screens.frame.theme import THEMES, THEMES_16
from tests.screens.app import test_look, test_look_middle
from tests.screens.app.test_look import Way, contrast, pressing
from tests.screens.app.test_look_middle import going
from tests.screens.driver import ScreenDriver, at_the_bench
from tests.screens.rebuild_bench import clutch


def palette(colours: str) -> TerminalTheme:
    """A palette of sixteen colours, the dark ones first."""
    rgb = [tuple(bytes.fromhex(one)) for one in colours.split()]
    return TerminalTheme((0, 0, 0), (255, 255, 255), rgb[:8], rgb[8:])  # type: ignore[arg-type]


XTERM = palette(
    "000000 cd0000 00cd00 cdcd00 0000ee cd00cd 00cdcd e5e5e5 "
    "7f7f7f ff0000 00ff00 ffff00 5c5cff ff00ff 00ffff ffffff"
)
VGA = palette(
    "000000 aa0000 00aa00 aa5500 0000aa aa00aa 00aaaa aaaaaa "
    "555555 ff5555 55ff55 ffff55 5555ff ff55ff 55ffff ffffff"
)
TERMINALS = [
    (ColorSystem.TRUECOLOR, DEFAULT_TERMINAL_THEME),
    (ColorSystem.EIGHT_BIT, DEFAULT_TERMINAL_THEME),
]
TERMINALS_16 = [(ColorSystem.STANDARD, VGA), (ColorSystem.STANDARD, XTERM)]
NO_TEXT = set(" ━┃┏┓┗┛─│┌┐└┘▀▄█▌▐▒▔▁▂▃▄▅▆▇▊▋▎▍▏·▇◯")
"""Frames, bars and the like, which are no text."""


def seen(color: Color, system: ColorSystem, colours: TerminalTheme) -> ColorTriplet:
    """The colour that the terminal shows."""
    return color.downgrade(system).get_truecolor(colours)


def worst(
    driver: ScreenDriver, system: ColorSystem, colours: TerminalTheme
) -> Iterator[tuple[float, str]]:
    """The contrast of every piece of text: on the screen, or on the card that lies over it.

    What lies under a card cannot be used and is dimmed on purpose (1.4.3, incidental).
    """
    cards = driver.screen.query("#card")
    seen_on = cards.first().region if cards else driver.screen.region
    strips = driver.screen._compositor.render_strips()[seen_on.y : seen_on.bottom]
    for strip in strips:
        for segment in strip.crop(seen_on.x, seen_on.right):
            yield from _of(segment, system, colours)


def _of(
    segment: Segment, system: ColorSystem, colours: TerminalTheme
) -> Iterator[tuple[float, str]]:
    style = segment.style
    if style is None or not set(segment.text) - NO_TEXT:
        return
    assert style.color is not None, segment
    assert style.bgcolor is not None, segment
    ink, ground = (seen(one, system, colours) for one in (style.color, style.bgcolor))
    if style.reverse:
        ink, ground = ground, ink
    yield contrast(ink.hex, ground.hex), segment.text


async def open_hub(driver: ScreenDriver) -> None:
    """The page of the last part."""
    await driver.app.open_code(driver.app.book.records.parts_of("TP")[-1].code)
    await driver.settle()


async def open_fit(driver: ScreenDriver) -> None:
    """The card for fitting it."""
    await open_hub(driver)
    await driver.press("ctrl+f")


async def open_trace(driver: ScreenDriver) -> None:
    """The outline of a gasket, before a picture is chosen."""
    await driver.app.open_screen("trace", driver.app.book.records.parts_of("TP")[0].code)
    await driver.settle()


REBUILD: dict[str, Way] = {
    "build": pressing("f7"),
    "build, held up": pressing("f7", "right"),
    "count": pressing("f8"),
    "settings": pressing("f9"),
    "measure a setting": pressing("f9", "enter"),
    "phone": pressing("f10"),
    "part": open_hub,
    "fit": open_fit,
    "backups": going("backups"),
    "away": going("away"),
    "trace": open_trace,
    "refused": pressing("f2", "enter"),
}
"""What the other books have not."""


async def check_all(
    driver: ScreenDriver, themes: dict[str, Theme], theme: str, ways: dict[str, Way]
) -> None:
    """Goes every way and measures what is drawn in each kind of terminal."""
    for one in themes.values():
        driver.app.register_theme(one)
    driver.app.themes = themes
    for name, way in ways.items():
        await driver.press("escape", "escape", "escape")
        await driver.app.go("bench")
        await driver.settle()
        await way(driver)
        driver.app.theme = themes[theme].name
        await driver.settle()
        for terminal in TERMINALS if themes is THEMES else TERMINALS_16:
            bad = [one for one in worst(driver, *terminal) if one[0] < 4.5]
            assert not bad, (name, terminal, bad[:5])


EACH_THEME = pytest.mark.parametrize("theme", ["dark", "light"])
EACH_KIND = pytest.mark.parametrize("themes", [THEMES, THEMES_16], ids=["many", "16 colours"])
EACH_THEME_LIGHT_FIRST = pytest.mark.parametrize("theme", ["light", "dark"])
EACH_KIND_16_FIRST = pytest.mark.parametrize(
    "themes", [THEMES_16, THEMES], ids=["16 colours", "many"]
)
"""The first case is in each run."""


@pytest.mark.sampled(4)
@EACH_THEME
@EACH_KIND
async def test_every_word_drawn_has_its_contrast(
    brake: Book, themes: dict[str, Theme], theme: str
) -> None:
    """On every screen and card, also where the cursor is."""
    async with at_the_bench(brake) as driver:
        await check_all(driver, themes, theme, test_look.WAYS)


@pytest.mark.sampled(4)
@EACH_THEME_LIGHT_FIRST
@EACH_KIND_16_FIRST
async def test_in_the_middle_of_the_job_too(
    brake: Book, themes: dict[str, Theme], theme: str
) -> None:
    """Clean, Inspect, Buy, the drawer, pictures, cautions."""
    async with at_the_bench(brake) as driver:
        await check_all(driver, themes, theme, test_look_middle.WAYS)


@pytest.mark.sampled(4)
@EACH_THEME_LIGHT_FIRST
@EACH_KIND
async def test_and_at_its_end(empty: Book, themes: dict[str, Theme], theme: str) -> None:
    """Build, Fit, Count, Settings, Phone, Backups, and a refusal."""
    clutch(empty)
    async with at_the_bench(empty) as driver:
        await check_all(driver, themes, theme, REBUILD)


def test_every_screen_is_looked_at() -> None:
    """A new screen has to be gone to above."""
    from tagbench.screens.frame.registry import SCREENS

    ways = {*test_look.WAYS, *test_look_middle.WAYS, *REBUILD}
    called = {"shop": "shop list", "photos": "folder", "part photos": "photos", "backup": "backups"}
    missing = [one.name for one in SCREENS if called.get(one.name, one.name) not in ways]
    assert missing == []
