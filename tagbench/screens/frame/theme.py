"""The themes: a lamp over a dark bench, and paper cards in daylight; each for sixteen colours too.

Every pair of text and ground has a contrast of 7:1 or more (WCAG 2.2, success criterion 1.4.6),
because it is read at arm's length, and 4.5:1 or more (1.4.3) where the terminal has 256 or sixteen
colours; `tests/screens/app/test_contrast.py` measures it on what is drawn. The colours stand in
`tables/themes.csv`.

A terminal with sixteen colours draws each by its own palette, so the themes for it keep to pairs
that are far apart in all of them: no yellow, green or grey on white.
"""

from __future__ import annotations

from typing import Any

from textual.theme import Theme

from tagbench.trade.published import read_table


def _theme(name: str, dark: bool) -> Theme:
    rows = read_table("themes", "tagbench.screens.frame")
    roles: dict[str, Any] = {row["role"]: row[name] for row in rows if not row["variable"]}
    variables = {row["role"]: row[name] for row in rows if row["variable"]}
    return Theme(name=name, dark=dark, variables=variables, **roles)


DARK, LIGHT = _theme("lamp", True), _theme("paper", False)
DARK_16, LIGHT_16 = _theme("lamp-16", True), _theme("paper-16", False)
THEMES = {"dark": DARK, "light": LIGHT}
"""`Desk.theme` → theme."""
THEMES_16 = {"dark": DARK_16, "light": LIGHT_16}
"""The same for a terminal with sixteen colours."""


def themes_for(color_system: str | None) -> dict[str, Theme]:
    """`Desk.theme` → theme, for what the terminal can draw: Rich's name for it, None for no
    colour."""
    return THEMES if color_system in ("truecolor", "256") else THEMES_16
