"""A code to read from the bench or to scan off the screen: large letters, or a QR symbol."""

from __future__ import annotations

from rich.segment import Segment
from textual.geometry import Size
from textual.reactive import reactive
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Static

from labels.output.preview import half_blocks, symbol_lines
from tagbench.screens.frame.terminal import shows_signs
from tagbench.trade.published import read_table

LETTERS = {
    row["letter"]: row["drawn"].split()
    for row in read_table("big_letters", "tagbench.screens.frame")
}
"""Letter → its rows on a grid of up to 5 wide and 6 high, `#` for ink."""
LETTERS[" "] = ["..."] * 6
HEIGHT = 3
MOST_LINES = 2
"""So many lines of large letters a fact may take."""


def big(text: str) -> list[str]:
    """The text as three lines of half blocks; a letter is 5 cells wide, a hyphen 3."""
    drawn = (".".join(LETTERS[letter][row] for letter in text) for row in range(2 * HEIGHT))
    return half_blocks([bytes(dot == "#" for dot in row) for row in drawn], border=0)


class BigCode(Widget):
    """Shows one code large; falls back to spaced plain letters where there is no room."""

    code: reactive[str] = reactive("")

    def __init__(self, code: str = "", *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self.set_reactive(BigCode.code, code)

    def render_line(self, y: int) -> Strip:
        lines = big(self.code) if self.code else []
        if lines and len(lines[0]) > self.size.width:
            lines = ["", " ".join(self.code), ""]
        line = lines[y] if y < len(lines) else ""
        strip = Strip([Segment(line, self.rich_style)])
        return strip.adjust_cell_length(self.size.width, self.rich_style)


class BigFact(Widget):
    """One fact in large letters, on a line or two; as it is where it has no room or other signs."""

    fact: reactive[str] = reactive("", layout=True)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many rows as the letters take at that width."""
        return len(self._rows(width))

    def render_line(self, y: int) -> Strip:
        """One row of the letters, or the words."""
        rows = self._rows(self.size.width)
        strip = Strip([Segment(rows[y] if y < len(rows) else "", self.rich_style)])
        return strip.adjust_cell_length(self.size.width, self.rich_style)

    def _rows(self, width: int) -> list[str]:
        lines = large_lines(self.fact.upper(), width) if shows_signs() else []
        rows = [row for line in lines for row in ("", *big(line))]
        return rows[1:] or [self.fact]


def large_lines(text: str, width: int) -> list[str]:
    """The words on as many lines of large letters as they take; none where that is too many."""
    lines: list[str] = []
    for word in text.split():
        if any(letter not in LETTERS for letter in word) or _width(word) > width:
            return []
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and _width(longer) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines if len(lines) <= MOST_LINES else []


def _width(text: str) -> int:
    return sum(len(LETTERS[letter][0]) + 1 for letter in text)


class SymbolView(Static):
    """Half blocks with the whole quiet zone; nothing where there is no room or nothing to show."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__("", id=id, markup=False)

    def show(self, text: str, columns: int, rows: int) -> bool:
        """Shows the symbol of a text in a space of that size; False when it does not fit."""
        lines = symbol_lines(text) if text and shows_signs() else []
        fits = bool(lines) and len(lines) <= rows and len(lines[0]) <= columns
        self.display = fits
        self.update("\n".join(lines) if fits else "")
        return fits or not text
