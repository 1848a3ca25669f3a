"""The two looks: a lamp over a dark bench, and paper cards in daylight.

Every pair of text and ground has a contrast of 7:1 or more (WCAG 2.2, success criterion 1.4.6),
because it is read at arm's length; `tests/screens/test_theme.py` measures it.
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
        "field": "#463f2d",
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
        "quiet": "#4a4032",
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

THEMES = {"dark": DARK, "light": LIGHT}
"""`Desk.theme` → theme."""
