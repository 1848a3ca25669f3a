"""Another name for a phone."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from tagbench.book.operations.phones import NAME_LENGTH, rename
from tagbench.records import Phone
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.field import Field


class PhoneNameDialog(TagbenchDialog[str]):
    """Gives the words that say what was done."""

    heading = "Name of the phone"
    actions = (Action("enter", "save", "Save", "Gives the phone this name."),)

    def __init__(self, phone: Phone) -> None:
        super().__init__()
        self._phone = phone

    def body(self) -> ComposeResult:
        yield Field("Name", id="phone-name", hint="whose it is", restrict=f".{{0,{NAME_LENGTH}}}")

    def on_mount(self) -> None:
        self.query_one(Field).value = self._phone.name

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Writes it down."""
        with self.refusing():
            after = rename(self.book, self._phone.id, self.query_one(Field).value)
            self.dismiss(f"{self._phone.name} is now called {after.name}.")
