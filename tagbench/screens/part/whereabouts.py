"""Where a part is besides its bag: sent to someone, back again, lost, found, never taken off."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations import away
from tagbench.book.operations.away import AwayForm
from tagbench.records import Part
from tagbench.rules.days import parse_day
from tagbench.rules.describe.phrases import named
from tagbench.rules.describe.where import where_fact
from tagbench.rules.whereabouts import whereabouts
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.form import PartFormDialog
from tagbench.screens.widgets.field import Field


class WhereaboutsDialog(PartFormDialog):
    """Gives words that say where the part is now. Enter sends it, or says that it is here again."""

    actions = (
        Action(
            "enter", "save", "Send, or back again", "Sends it; if it was elsewhere, it is back."
        ),
        Action("ctrl+l", "lost", "Lost", "It cannot be found; the last field says where it was."),
        Action("ctrl+o", "stays", "Never off", "It was never taken off the machine."),
    )

    def __init__(self, part: Part) -> None:
        super().__init__(part)
        self.heading = f"Where is {named(part)}?"

    def body(self) -> ComposeResult:
        yield Static(where_fact(self.tables, self.part).words, classes="words", markup=False)
        yield Field("Sent to", id="who", example="Hill Plating")
        yield Field("For", id="for", example="zinc plating")
        yield Field("Due", id="due", example="in 2 weeks")
        yield Field("Price", id="price", example="64.00")
        yield Field("Last seen", id="seen", example="window shelf")

    def action_save(self) -> None:
        """Sends it to who was typed; without anybody, one that was elsewhere is here again."""
        with self.refusing():
            place = whereabouts(self.part)
            if not self["who"].value and place == "away":
                away.bring_back(self.book, [self.code])
            elif not self["who"].value and place == "lost":
                away.found_again(self.book, self.code)
            else:
                away.send_away(self.book, [self.code], self._form())
            self._done()

    def _form(self) -> AwayForm:
        due = parse_day(self["due"].value, self.book.now().date())
        return AwayForm(self["who"].value, self["for"].value, due=due, price=self["price"].value)

    def action_lost(self) -> None:
        with self.refusing():
            away.lose(self.book, self.code, self["seen"].value)
            self._done()

    def action_stays(self) -> None:
        with self.refusing():
            away.never_off(self.book, [self.code])
            self._done()

    def _done(self) -> None:
        self.dismiss(f"{named(self.part)} is {where_fact(self.tables, self.part).words}.")
