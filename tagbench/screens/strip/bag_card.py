"""The code to write on the bag, large, above the strip form."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Static

from tagbench.records import Part, Tables
from tagbench.screens.widgets.big_code import BigCode

FIRST_WORDS = (
    "Enter saves the part from any field; its code then stands here, to be written on the bag."
)


class BagCard(Horizontal):
    """Empty at first, then the last code that was given out, or the spare tag just scanned."""

    def compose(self) -> ComposeResult:
        yield BigCode(id="bag-code")
        yield Static(FIRST_WORDS, id="bag-words", markup=False)

    def show_saved(self, part: Part) -> None:
        """Shows the code of a part that was just saved."""
        self._show(part.code, f"on the bag:\n{part.name}\n{part.assembly}")

    def show_spare(self, code: str) -> None:
        """Shows the spare tag that the next part gets."""
        self._show(code, "a spare tag:\nfill in what is in its bag\nCtrl+R: use no spare tag")

    def keep_if(self, tables: Tables) -> None:
        """Shows a code no longer when its part or spare tag was taken back."""
        tag = tables.tags.get(self.query_one(BigCode).code)
        if tag is None or tag.kind == "gone":
            self.clear()

    def clear(self) -> None:
        """Shows no code."""
        self._show("", FIRST_WORDS)

    def _show(self, code: str, words: str) -> None:
        self.query_one(BigCode).code = code
        self.set_class(bool(code), "-code")
        self.query_one("#bag-words", Static).update(words)
