"""Why must a setting be measured again?"""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.book.operations.settings import recheck
from tagbench.records import Setting
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.field import Field


class RecheckDialog(TagbenchDialog[str]):
    """Gives words that say what was done."""

    actions = (Action("enter", "save", "Measure again", "Has it measured again."),)

    def __init__(self, setting: Setting) -> None:
        super().__init__()
        self.heading = f"Measure again: {setting.what}"
        self._number = setting.id

    def body(self) -> ComposeResult:
        words = "The setting is open in the count until it is measured again."
        yield Static(words, classes="words", markup=False)
        yield Field("Why", id="why", hint="the cable was changed")

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Writes the reason down."""
        with self.refusing():
            after = recheck(self.book, self._number, self.query_one(Field).value)
            self.dismiss(f"{after.what} is to be measured again: {after.recheck}.")
