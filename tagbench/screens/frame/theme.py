"""The themes: a lamp over a dark bench, and paper cards in daylight; each for sixteen colours too.

Every pair of text and ground has a contrast of 7:1 or more (WCAG 2.2, success criterion 1.4.6),
because it is read at arm's length, and 4.5:1 or more (1.4.3) where the terminal has 256 or sixteen
colours; `tests/screens/app/test_contrast.py` measures it on what is drawn.

A terminal with sixteen colours draws each by its own palette, so the themes for it keep to pairs
that are far apart in all of them: no yellow, green or grey on white.
"""

from __future__ import annotations

from textual.theme import Theme

DARK = Theme(
    name="lamp",
    dark=True,
    background="#14130f",
    surface="#23211a",
    panel="#312d23",
    foreground="#f4ecd8",
    primary="#f2b65c",
    secondary="#9ccfd8",
    accent="#f2b65c",
    warning="#f2b65c",
    error="#ff9d8a",
    success="#a9d18e",
    variables={
        "quiet": "#bcb199",
        "rule": "#5b5443",
        "on-primary": "#14130f",
        "field": "#3d3a33",
        "input-cursor-background": "#f4ecd8",
        "input-cursor-foreground": "#14130f",
        "input-selection-background": "#6b5a35",
        "input-selection-foreground": "#ffffff",
        "scrollbar": "#5b5443",
        "scrollbar-background": "#14130f",
    },
)

LIGHT = Theme(
    name="paper",
    dark=False,
    background="#e9dfc8",
    surface="#fbf6e9",
    panel="#d9ccaf",
    foreground="#1d1812",
    primary="#6f1f12",
    secondary="#0f3d4d",
    accent="#6f1f12",
    warning="#5c3b00",
    error="#7d1010",
    success="#1c4a1c",
    variables={
        "quiet": "#40372b",
        "rule": "#a3957a",
        "on-primary": "#fffaf0",
        "field": "#fff2b8",
        "input-cursor-background": "#1d1812",
        "input-cursor-foreground": "#fbf6e9",
        "input-selection-background": "#d8b98a",
        "input-selection-foreground": "#1d1812",
        "scrollbar": "#a3957a",
        "scrollbar-background": "#e9dfc8",
    },
)

BLACK, WHITE = "#000000", "#ffffff"
"""The ends of the sixteen colours; the others below are theirs in Rich's standard palette."""

DARK_16 = Theme(
    name="lamp-16",
    dark=True,
    background=BLACK,
    surface=BLACK,
    panel=BLACK,
    foreground=WHITE,
    primary="#ffff55",
    secondary="#55ffff",
    accent="#ffff55",
    warning="#ffff55",
    error="#ffff55",
    success="#55ff55",
    variables={
        "quiet": "#aaaaaa",
        "rule": "#aaaaaa",
        "on-primary": BLACK,
        "field": BLACK,
        "input-cursor-background": WHITE,
        "input-cursor-foreground": BLACK,
        "input-selection-background": "#aaaaaa",
        "input-selection-foreground": BLACK,
        "scrollbar": "#aaaaaa",
        "scrollbar-background": BLACK,
    },
)

LIGHT_16 = Theme(
    name="paper-16",
    dark=False,
    background=WHITE,
    surface=WHITE,
    panel=WHITE,
    foreground=BLACK,
    primary="#0000aa",
    secondary="#0000aa",
    accent="#0000aa",
    warning="#aa0000",
    error="#aa0000",
    success=BLACK,
    variables={
        "quiet": BLACK,
        "rule": BLACK,
        "on-primary": WHITE,
        "field": WHITE,
        "input-cursor-background": BLACK,
        "input-cursor-foreground": WHITE,
        "input-selection-background": "#0000aa",
        "input-selection-foreground": WHITE,
        "scrollbar": BLACK,
        "scrollbar-background": WHITE,
    },
)

THEMES = {"dark": DARK, "light": LIGHT}
"""`Desk.theme` → theme."""
THEMES_16 = {"dark": DARK_16, "light": LIGHT_16}
"""The same for a terminal with sixteen colours."""


def themes_for(color_system: str | None) -> dict[str, Theme]:
    """`Desk.theme` → theme, for what the terminal can draw: Rich's name for it, None for no
    colour."""
    return THEMES if color_system in ("truecolor", "256") else THEMES_16
