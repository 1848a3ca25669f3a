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
from tests.screens.app.test_look import WAYS, contrast
from tests.screens.driver import ScreenDriver, at_the_bench


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
    hands: ScreenDriver, system: ColorSystem, colours: TerminalTheme
) -> Iterator[tuple[float, str]]:
    """The contrast of every piece of text: on the screen, or on the card that lies over it.

    What lies under a card cannot be used and is dimmed on purpose (1.4.3, incidental).
    """
    cards = hands.screen.query("#card")
    seen_on = cards.first().region if cards else hands.screen.region
    strips = hands.screen._compositor.render_strips()[seen_on.y : seen_on.bottom]
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


@pytest.mark.parametrize("light", [False, True], ids=["dark", "light"])
@pytest.mark.parametrize("themes", [THEMES, THEMES_16], ids=["many colours", "16 colours"])
async def test_every_word_drawn_has_its_contrast(
    brake: Book, themes: dict[str, Theme], light: bool
) -> None:
    """On every screen and card, also where the cursor is."""
    async with at_the_bench(brake) as hands:
        for theme in themes.values():
            hands.app.register_theme(theme)
        hands.app.themes = themes
        for name, way in WAYS.items():
            await hands.press("escape", "escape", "escape")
            await hands.app.go("bench")
            await hands.settle()
            await way(hands)
            hands.app.theme = themes["light" if light else "dark"].name
            await hands.settle()
            for terminal in TERMINALS if themes is THEMES else TERMINALS_16:
                bad = [one for one in worst(hands, *terminal) if one[0] < 4.5]
                assert not bad, (name, terminal, bad[:5])
