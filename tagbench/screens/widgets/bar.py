"""A bar of characters, so that it can be read without colour."""

from __future__ import annotations


def bar(width: int, whole: int, *shares: tuple[int, str]) -> str:
    """A bar of `width` cells: each share of `whole` in its own character, dots for the rest.

    A share that is not nothing gets at least one cell, and only the whole fills the bar.
    """
    drawn = ""
    for count, character in shares:
        cells = round(width * count / whole) if whole else 0
        if count and not cells:
            cells = 1
        drawn += character * cells
    full = sum(count for count, _ in shares) >= whole > 0
    drawn = drawn[: width if full else width - 1]
    return drawn.ljust(width, drawn[-1] if full and drawn else "·")
