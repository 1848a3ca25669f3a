"""Where the old piece of a replaced part went: thrown out, kept as a pattern, given back."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations.care import old_piece_gone
from tagbench.records import Part
from tagbench.rules.describe.part import OLD_PIECE_WORDS
from tagbench.rules.describe.phrases import named_parts
from tagbench.rules.whereabouts import OldPiece
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import TagbenchDialog


class OldPieceDialog(TagbenchDialog[str]):
    """Gives the words that say where it is; Escape leaves it where it was."""

    actions = (
        Action("enter", "put('gone')", "Thrown out", "It is out of the workshop."),
        Action("p", "put('pattern')", "Pattern", "Kept to make a new one by.", writes=True),
        Action("e", "put('exchanged')", "Exchanged", "Given back for the new one.", writes=True),
        Action("k", "put('kept')", "Still about", "Kept; the count asks for it.", writes=True),
    )

    def __init__(self, parts: Sequence[Part]) -> None:
        super().__init__()
        self.heading = "Old piece"
        self._codes = [part.code for part in parts]

    def body(self) -> ComposeResult:
        parts = [self.tables.parts[code] for code in self._codes]
        words = f"Where is the old {named_parts(parts)}?"
        if len(parts) == 1 and parts[0].old_piece:
            words += f" So far: {OLD_PIECE_WORDS[parts[0].old_piece]}."
        yield Static(words, classes="words", markup=False)

    def action_put(self, where: OldPiece) -> None:
        with self.refusing():
            parts = old_piece_gone(self.book, self._codes, where)
            self.dismiss(f"The old {named_parts(parts)}: {OLD_PIECE_WORDS[where]}.")
