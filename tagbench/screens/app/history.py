"""What was done, newest first, and taking the last change back."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.undoing import is_preference, to_take_back
from tagbench.errors import TagbenchError
from tagbench.records import Change
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.rows import Rows

SHOWN = 200
"""How many changes are listed."""


class HistoryDialog(TagbenchDialog[Change]):
    """Gives the change that was taken back."""

    heading = "What was done"
    actions = (
        Action("ctrl+t", "take_back", "Take the last one back", "Takes the last change back."),
    )

    def body(self) -> ComposeResult:
        yield Static("", id="next-back", classes="words", markup=False)
        yield Rows(draw_change, lambda change: str(change.number), id="changes")

    def on_mount(self) -> None:
        changes = self.book.history(limit=SHOWN)
        shown = [change for change in changes if not is_preference(change)]
        self.query_one("#changes", Rows).show(shown)
        self.query_one("#next-back", Static).update(next_words(changes))

    @on(RowOpened)
    def opened(self) -> None:
        """Enter does what the card is for."""
        self.action_take_back()

    def action_take_back(self) -> None:
        """Takes the last change back and closes the card."""
        with self.refusing():
            self.dismiss(self.book.undo())


def next_words(changes: list[Change]) -> str:
    """What would be taken back, or why nothing can be."""
    try:
        return f"Ctrl+T or Enter takes back: {to_take_back(changes).words}"
    except TagbenchError as error:
        return str(error)


def draw_change(change: Change, width: int) -> list[str]:
    """One line: when, and what in words."""
    return [columns(width, (f"{change.at:%d %b %H:%M}", 12), (change.words, 0))]
