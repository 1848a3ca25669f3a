"""What was done, newest first, and taking the last change back."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.records import Change
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.rows import Rows

SHOWN = 200
"""How many changes are listed."""
NOTHING = "There is nothing to take back."


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
        self.query_one("#changes", Rows).show(changes)
        last = last_standing(changes)
        words = f"Ctrl+T or Enter takes back: {last.words}" if last else NOTHING
        self.query_one("#next-back", Static).update(words)

    @on(RowOpened)
    def opened(self) -> None:
        """Enter does what the card is for."""
        self.action_take_back()

    def action_take_back(self) -> None:
        """Takes the last change back and closes the card."""
        with self.refusing():
            self.dismiss(self.book.undo())


def last_standing(changes: list[Change]) -> Change | None:
    """The newest change that was not taken back and is no taking back itself."""
    gone = {change.takes_back for change in changes}
    standing = (c for c in changes if not c.takes_back and c.number not in gone)
    return next(standing, None)


def draw_change(change: Change, width: int) -> list[str]:
    """One line: when, and what in words."""
    return [columns(width, (f"{change.at:%d %b %H:%M}", 12), (change.words, 0))]
