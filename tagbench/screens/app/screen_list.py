"""The list of screens, for keyboards and terminals without function keys."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult

from tagbench.screens.frame.actions import Action, spell_key
from tagbench.screens.frame.messages import Opened
from tagbench.screens.frame.registry import PLACES, Place
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.rows import Rows


class GoDialog(TagbenchDialog[str]):
    """Gives the name of the screen to go to."""

    heading = "Go to"
    actions = (Action("enter", "", "Go", "Goes to the screen under the cursor."),)

    def body(self) -> ComposeResult:
        rows = Rows(draw_place, lambda place: place.name, id="places")
        rows.show([place for place in PLACES if place.by_name])
        yield rows

    @on(Opened)
    def chosen(self, message: Opened[Place]) -> None:
        """Goes there."""
        self.dismiss(message.item.name)


def draw_place(place: Place, width: int) -> list[str]:
    """One line: title, key, what it is for."""
    key = spell_key(place.key) if place.key else ""
    return [columns(width, (place.title, 8), (key, 3), (place.help, 0))]
