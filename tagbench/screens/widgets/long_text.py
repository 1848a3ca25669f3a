"""A long text that draws only the lines in sight, wrapped where they do not fit."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len
from rich.segment import Segment
from rich.text import Text
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.strip import Strip


class LongText(ScrollView, can_focus=True):
    """Lines of plain text under each other; the keys of a scrolled page go through them."""

    # Else the lines would be wrapped before it is known that the bar takes some of their width.
    DEFAULT_CSS = "LongText { scrollbar-gutter: stable; }"

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__(id=id)
        self._text: Sequence[str] = ()
        self._lines: list[str] = []

    def show(self, lines: Sequence[str]) -> None:
        """Shows another text, from where the one before was scrolled to."""
        self._text = lines
        self._wrap()

    def on_resize(self) -> None:
        self._wrap()

    def _wrap(self) -> None:
        width = max(1, self.scrollable_content_region.width)
        self._lines = [piece for line in self._text for piece in self._pieces(line, width)]
        self.virtual_size = Size(width, len(self._lines))
        self.refresh()

    def _pieces(self, line: str, width: int) -> list[str]:
        if cell_len(line) <= width:
            return [line]
        return [piece.plain.rstrip() for piece in Text(line).wrap(self.app.console, width)]

    def render_line(self, y: int) -> Strip:
        at = y + self.scroll_offset.y
        width, style = self.scrollable_content_region.width, self.rich_style
        if at >= len(self._lines):
            return Strip.blank(width, style)
        return Strip([Segment(self._lines[at], style)]).adjust_cell_length(width, style)
