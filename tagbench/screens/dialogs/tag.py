"""One tag as it will be printed."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.widgets import Static

from labels.artwork import draw_tag
from labels.geometry import Stock
from tagbench.records import Tables
from tagbench.rules.tag_text import tag_text
from tagbench.screens.base import TagbenchDialog
from tagbench.screens.widgets.photo import fit, picture_widget

ROOM = (70, 15)
"""Columns and rows for the picture."""


class TagDialog(TagbenchDialog[None]):
    """The picture of a tag. Raises LabelError when the stock cannot hold it."""

    def __init__(self, tables: Tables, code: str, stock: Stock) -> None:
        super().__init__()
        self.heading = f"{code} on {stock.name}"
        self._tag = draw_tag(tag_text(tables, code, tables.desk.phone_address), stock)

    def body(self) -> ComposeResult:
        from textual_image._terminal import get_cell_size

        picture = picture_widget()()
        picture.image = self._tag.image.convert("RGB")  # type: ignore[attr-defined]
        columns, rows = fit(*self._tag.image.size, *ROOM, get_cell_size())
        picture.styles.width, picture.styles.height = columns, rows
        yield picture
        yield Static(self._words(), classes="words", markup=False)

    def _words(self) -> str:
        fit_words = f"module {self._tag.fit.module_mm:.2f} mm, level {self._tag.fit.level}"
        cuts = ", ".join(cut.name for cut in self._tag.cuts)
        return fit_words + (f"; cut: {cuts}" if cuts else "")
