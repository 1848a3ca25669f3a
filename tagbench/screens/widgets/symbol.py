"""A QR symbol for a phone to scan off the screen: black on white, whatever the theme."""

from __future__ import annotations

from textual.widgets import Static


class Symbol(Static):
    """Half blocks with the whole quiet zone; nothing where there is no room or nothing to show."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__("", id=id, markup=False)

    def show(self, text: str, columns: int, rows: int) -> bool:
        """Shows the symbol of a text in a space of that size; False when it does not fit."""
        from tagbench.phone.terminal_symbol import symbol_lines

        lines = symbol_lines(text) if text else []
        fits = bool(lines) and len(lines) <= rows and len(lines[0]) <= columns
        self.display = fits
        self.update("\n".join(lines) if fits else "")
        return fits or not text
