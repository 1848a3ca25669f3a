"""One tag as it will be printed: the whole label as drawn, or its symbol module by module."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widget import Widget
from textual.widgets import Static

from labels.face.artwork import TagArtwork, draw_tag
from labels.output.preview import half_blocks, tag_preview
from labels.stock.geometry import Stock
from labels.symbols.symbol import make_symbol
from tagbench.records import Tables
from tagbench.rules.tag_text import tag_text
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.graphics import can_draw_fine, picture_widget
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.big_code import BigCode
from tagbench.screens.widgets.photo import fitted_size

AROUND = (8, 10)
"""Columns and rows of the card around the picture."""
BORDER = 2
"""Light modules drawn around the symbol; the card itself is light besides."""


class TagDialog(TagbenchDialog[None]):
    """The picture of a tag, and of the others in turn. Raises LabelError when it does not fit."""

    CSS_PATH = stylesheets("field", "card", "tag")
    actions = (
        Action("ctrl+o", "look", "Symbol", "The whole label as drawn, or its symbol at large."),
        Action("right", "turn(1)", "Next tag", "Shows the next tag."),
        Action("left", "turn(-1)", "Tag before", "Shows the tag before."),
    )

    def __init__(self, tables: Tables, code: str, stock: Stock, codes: Sequence[str] = ()) -> None:
        super().__init__()
        self._tables = tables
        self._stock = stock
        self._codes = list(codes) or [code]
        self._at = self._codes.index(code)
        self._whole = True
        self._tag = self._draw(code)
        self.heading = f"{code} on {stock.name}"

    def _draw(self, code: str) -> TagArtwork:
        address = self._tables.desk.phone_address
        return draw_tag(tag_text(self._tables, code, address), self._stock)

    def body(self) -> ComposeResult:
        yield (
            picture_widget()(id="tag-whole")
            if can_draw_fine()
            else Static(id="tag-whole", markup=False)
        )
        with Horizontal(id="tag-drawn"):
            yield Static(id="tag-symbol", markup=False)
            with Vertical():
                yield BigCode(id="tag-code")
                yield Static(id="tag-title", classes="words", markup=False)
                yield Static(id="tag-lines", markup=False)
        yield Static(classes="words", id="tag-words", markup=False)

    def on_mount(self) -> None:
        self._show()

    def on_resize(self) -> None:
        self._show()

    def _show(self) -> None:
        heading = f"{self._codes[self._at]} on {self._stock.name}"
        self.query_one("#card-heading", Static).update(f"◯  {heading}")
        self.query_one("#tag-words", Static).update(self._words())
        self.query_one("#tag-whole").display = self._whole
        self.query_one("#tag-drawn").display = not self._whole
        if self._whole:
            self._show_whole(self.query_one("#tag-whole"))
        else:
            self._show_symbol()

    def _show_whole(self, widget: Widget) -> None:
        """The label dot by dot where the terminal can, else in the dots of characters."""
        columns, rows = (size - around for size, around in zip(self.app.size, AROUND, strict=True))
        if isinstance(widget, Static):
            lines = tag_preview(self._tag.image, columns, rows)
            widget.update("\n".join(lines))
            return
        from textual_image._terminal import get_cell_size

        widget.image = self._tag.image.convert("RGB")  # type: ignore[attr-defined]
        size = fitted_size(*self._tag.image.size, columns, rows, get_cell_size())
        widget.styles.width, widget.styles.height = size

    def _show_symbol(self) -> None:
        """The symbol in half blocks, module by module, and the words beside it."""
        text = self._tag.text
        symbol = make_symbol(text.payload or text.code, self._tag.fit.level)
        self.query_one("#tag-symbol", Static).update("\n".join(half_blocks(symbol.rows, BORDER)))
        self.query_one("#tag-code", BigCode).code = text.code
        self.query_one("#tag-title", Static).update(text.title)
        self.query_one("#tag-lines", Static).update("\n".join(line.text for line in text.lines))

    def _words(self) -> str:
        fit_words = f"module {self._tag.fit.module_mm:.2f} mm, level {self._tag.fit.level}"
        cuts = ", ".join(cut.name for cut in self._tag.cuts)
        place = f"{self._at + 1} of {len(self._codes)}, " if len(self._codes) > 1 else ""
        return place + fit_words + (f"; cut: {cuts}" if cuts else "")

    def action_look(self) -> None:
        self._whole = not self._whole
        self._show()

    def action_turn(self, by: int) -> None:
        at = (self._at + by) % len(self._codes)
        with self.refusing():
            self._tag = self._draw(self._codes[at])
            self._at = at
            self._show()
