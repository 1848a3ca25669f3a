"""A question with one key for yes, and Escape for no."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.screens.frame.actions import CLOSE, Action
from tagbench.screens.shared.base import ScreenMixin, TagbenchDialog


class ConfirmDialog(TagbenchDialog[bool]):
    """Gives True when the person pressed Enter, None when the card was closed."""

    actions = (Action("enter", "yes", "Yes", "Does what the card asks."),)

    def __init__(self, heading: str, words: str, yes: str = "Yes", no: str = "Close") -> None:
        super().__init__()
        self.heading = heading
        self._words = words
        self._yes = yes
        self._no = no

    def body(self) -> ComposeResult:
        yield Static(self._words, markup=False, classes="words")

    def bar_actions(self) -> Iterable[Action]:
        names = {"yes": self._yes, CLOSE.action: self._no}
        return [
            replace(one, description=names.get(one.action, one.description))
            for one in self.all_actions()
        ]

    def action_yes(self) -> None:
        self.dismiss(True)


async def confirmed(
    screen: ScreenMixin, heading: str, words: str, yes: str, no: str = "Close"
) -> bool:
    """Asks over a screen or card whether to go on. Only in a worker."""
    return await screen.ask(ConfirmDialog(heading, words, yes, no)) is True
