"""The list of screens, for keyboards and terminals without function keys."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult

from tagbench.screens.frame.actions import Action, spell_key
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.frame.registry import SCREENS, ScreenEntry
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.rows import Rows


class GoDialog(TagbenchDialog[str]):
    """Gives the name of the screen to go to."""

    heading = "Go to"
    actions = (Action("enter", "", "Go", "Goes to the screen under the cursor."),)

    def body(self) -> ComposeResult:
        rows = Rows(draw_entry, lambda entry: entry.name, id="screens")
        rows.show([entry for entry in SCREENS if entry.by_name])
        yield rows

    @on(RowOpened)
    def chosen(self, message: RowOpened[ScreenEntry]) -> None:
        """Goes there."""
        self.dismiss(message.item.name)


def draw_entry(entry: ScreenEntry, width: int) -> list[str]:
    """One line: title, key, what it is for."""
    key = spell_key(entry.key) if entry.key else ""
    return [columns(width, (entry.title, 8), (key, 3), (entry.help, 0))]
