"""One tag as it will be printed."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widget import Widget
from textual.widgets import Static

from labels.artwork import draw_tag
from labels.geometry import Stock
from labels.symbol import make_symbol
from tagbench.records import Tables
from tagbench.rules.tag_text import tag_text
from tagbench.screens.base import TagbenchDialog
from tagbench.screens.widgets.big_code import BigCode
from tagbench.screens.widgets.photo import can_draw_fine, fit, picture_widget

ROOM = (70, 15)
"""Columns and rows for the picture."""
BORDER = 2
"""Light modules drawn around the symbol; the card itself is light besides."""


class TagDialog(TagbenchDialog[None]):
    """The picture of a tag. Raises LabelError when the stock cannot hold it."""

    def __init__(self, tables: Tables, code: str, stock: Stock) -> None:
        super().__init__()
        self.heading = f"{code} on {stock.name}"
        self._tag = draw_tag(tag_text(tables, code, tables.desk.phone_address), stock)

    def body(self) -> ComposeResult:
        if can_draw_fine():
            yield self._picture()
        else:
            yield from self._in_characters()
        yield Static(self._words(), classes="words", markup=False)

    def _in_characters(self) -> ComposeResult:
        """The symbol in half blocks, module by module, and the words beside it."""
        text = self._tag.text
        with Horizontal(id="tag-drawn"):
            symbol = make_symbol(text.payload or text.code, self._tag.fit.level)
            yield Static(half_blocks(symbol.rows), id="tag-symbol", markup=False)
            with Vertical():
                yield BigCode(text.code, id="tag-code")
                yield Static(text.title, classes="words", markup=False)
                yield Static("\n".join(line.text for line in text.lines), markup=False)

    def _picture(self) -> Widget:
        from textual_image._terminal import get_cell_size

        picture = picture_widget()()
        picture.image = self._tag.image.convert("RGB")  # type: ignore[attr-defined]
        columns, rows = fit(*self._tag.image.size, *ROOM, get_cell_size())
        picture.styles.width, picture.styles.height = columns, rows
        return picture

    def _words(self) -> str:
        fit_words = f"module {self._tag.fit.module_mm:.2f} mm, level {self._tag.fit.level}"
        cuts = ", ".join(cut.name for cut in self._tag.cuts)
        return fit_words + (f"; cut: {cuts}" if cuts else "")


def half_blocks(rows: Sequence[bytes]) -> str:
    """A symbol in characters, two rows of modules in one line, light border included.

    A dark module is a non-zero byte. It is to be shown dark on light.
    """
    wide = len(rows) + 2 * BORDER
    blank = [False] * wide
    side = [False] * BORDER
    grid = [blank] * BORDER + [side + [bool(dark) for dark in row] + side for row in rows]
    grid += [blank] * (BORDER + len(grid) % 2 + BORDER % 2)
    pairs = zip(grid[::2], grid[1::2], strict=False)
    return "\n".join("".join(map(_block, upper, lower)) for upper, lower in pairs)


def _block(upper: bool, lower: bool) -> str:
    return {(True, True): "█", (True, False): "▀", (False, True): "▄", (False, False): " "}[
        upper, lower
    ]
