"""What was done, newest first, and taking the last change back."""

from __future__ import annotations

from contextlib import suppress
from typing import NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.undoing import is_preference, to_put_back, to_take_back
from tagbench.errors import BadInput, TagbenchError
from tagbench.records import Change
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.rows import Rows

SHOWN = 200
"""How many changes are listed."""

PUT_BACK = Action("ctrl+y", "put_back", "Put back", "Puts back what was taken back last.")


class Reversed(NamedTuple):
    """What the card did."""

    change: Change
    """The change that was taken back or put back."""
    back_in: bool
    """Whether it was put back."""

    @property
    def words(self) -> str:
        """A sentence for the notice line."""
        return f"{'Put back' if self.back_in else 'Took back'}: {self.change.words}."


class HistoryDialog(TagbenchDialog[Reversed]):
    """Gives the change that was taken back or put back: in the book itself, also while a copy of
    it is looked at."""

    heading = "What was done"
    actions = (
        Action("ctrl+t", "take_back", "Take the last one back", "Takes the last change back."),
        PUT_BACK,
        Action("enter", "", "Take this one back", "Takes back the change under the cursor alone."),
    )

    def body(self) -> ComposeResult:
        yield Static("", id="next-back", classes="words", markup=False)
        yield Rows(draw_change, lambda change: str(change.number), id="changes")

    def on_mount(self) -> None:
        changes = self.bench_app.own_book.history(limit=SHOWN)
        shown = [change for change in changes if not is_preference(change)]
        self.query_one("#changes", Rows).show(shown)
        self.query_one("#next-back", Static).update(next_words(changes))

    @on(RowOpened)
    def opened(self, message: RowOpened[Change]) -> None:
        """Takes back the chosen change, or says which later ones hang on it."""
        with self.refusing():
            self.dismiss(Reversed(self.bench_app.own_book.undo(message.item.number), back_in=False))

    def action_take_back(self) -> None:
        with self.refusing():
            self.dismiss(Reversed(self.bench_app.own_book.undo(), back_in=False))

    def action_put_back(self) -> None:
        with self.refusing():
            self.dismiss(Reversed(self.bench_app.own_book.redo(), back_in=True))


def next_words(changes: list[Change]) -> str:
    """What would be taken back and what put back, or why nothing can be."""
    try:
        said = [f"Ctrl+T takes back: {to_take_back(changes).words}"]
    except TagbenchError as error:
        said = [str(error)]
    with suppress(BadInput):  # there is nothing to put back, which needs no word
        said.append(f"Ctrl+Y puts back: {to_put_back(changes)[1].words}")
    return "\n".join(said)


def draw_change(change: Change, width: int) -> list[str]:
    """One line: when, and what in words."""
    return [columns(width, (f"{change.at:%d %b %H:%M}", 12), (change.words, 0))]
