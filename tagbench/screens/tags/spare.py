"""How many spare tags?"""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.errors import BadInput
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.field import Field

WORDS = (
    "Spare tags are printed ahead. Put one on a bag when your hands are dirty; "
    "scan it later and the strip form opens for it."
)


class SpareDialog(TagbenchDialog[int]):
    """Gives how many."""

    heading = "Spare tags"
    actions = (Action("enter", "take", "Set aside", "Sets the codes aside."),)

    def body(self) -> ComposeResult:
        yield Static(WORDS, classes="words", markup=False)
        yield Field("How many", id="count", hint="24", restrict=r"[0-9]{0,3}")

    @on(Input.Submitted)
    def action_take(self) -> None:
        """Closes the card with the number."""
        with self.refusing():
            typed = self.query_one(Field).value
            if not typed or not int(typed):
                raise BadInput("Type how many, for example 24.")
            self.dismiss(int(typed))
