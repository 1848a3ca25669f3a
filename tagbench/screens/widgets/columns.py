"""Text in columns with wide gaps, an … where something had to be cut; bars of characters."""

from __future__ import annotations

from collections.abc import Iterable

from rich.cells import cell_len, set_cell_size

GAP = 3


def cut(text: str, width: int) -> str:
    """The text in at most `width` cells, ending in … when something is missing."""
    if cell_len(text) <= width:
        return text
    return set_cell_size(text, max(0, width - 1)).rstrip() + "…" if width > 0 else ""


def cut_apart(text: str, width: int, others: Iterable[str]) -> str:
    """The same, cut within where it would look like one of the others: its end stays then."""
    short = cut(text, width)
    if all(cut(other, width) != short for other in others if other != text):
        return short
    head = cut(text, width // 3 + 1)
    while text and cell_len(head) + cell_len(text) > width:
        text = text[1:]
    return head + text


def columns(width: int, *cells: tuple[str, int], gap: int = GAP) -> str:
    """Cells beside each other: (text, cells wide); a width of 0 takes what is left over.

    A negative width puts the text to the right in that many cells.
    """
    fixed = sum(abs(size) for _, size in cells)
    loose = sum(1 for _, size in cells if size == 0)
    rest = max(0, width - fixed - gap * (len(cells) - 1))
    return (" " * gap).join(
        _cell(text, size, rest // loose if loose else 0) for text, size in cells
    )


def _cell(text: str, size: int, rest: int) -> str:
    width = abs(size) or rest
    short = cut(text, width)
    blank = " " * (width - cell_len(short))
    return blank + short if size < 0 else short + blank


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
