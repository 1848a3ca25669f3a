"""A question with one key for yes, and Escape for no."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.screens.actions import Action
from tagbench.screens.base import TagbenchDialog


class ConfirmDialog(TagbenchDialog[bool]):
    """Gives True when the person pressed Enter, None when the card was closed."""

    actions = (Action("enter", "yes", "Yes", "Does what the card asks."),)

    def __init__(self, heading: str, words: str, yes: str = "Yes") -> None:
        super().__init__()
        self.heading = heading
        self._words = words
        self._yes = yes

    def body(self) -> ComposeResult:
        yield Static(self._words, markup=False, classes="words")
        yield Static(f"Enter: {self._yes}      Esc: stay as it is", markup=False, classes="quiet")

    def action_yes(self) -> None:
        """Answers yes."""
        self.dismiss(True)
