"""The stylesheets: `tagbench` is read at the start, the others when a screen first needs them."""

from __future__ import annotations

from pathlib import Path, PurePath


def stylesheets(*names: str) -> list[str | PurePath]:
    """The stylesheets with these names, for `CSS_PATH`."""
    return [Path(__file__).with_name(f"{name}.tcss") for name in names]
