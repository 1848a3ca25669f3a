"""The part of a card that is read like a page: as high as its text, or as there is room for."""

from __future__ import annotations

from textual.containers import VerticalScroll

LEAST = 4


class CardPage(VerticalScroll):
    """Scrolls when its text is longer than the terminal leaves room for.

    `around` is the number of lines that everything else on the card takes. A share of the terminal
    in the stylesheet would not do: a card that is as high as its text does not heed it.
    """

    def __init__(self, *, around: int, id: str, can_focus: bool = True) -> None:  # noqa: A002
        super().__init__(id=id, can_focus=can_focus)
        self._around = around

    def on_mount(self) -> None:
        self.styles.height = "auto"
        self.styles.max_height = max(LEAST, self.app.size.height - self._around)
