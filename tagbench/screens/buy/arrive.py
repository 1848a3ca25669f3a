"""Wants that arrived: on which day, and how many came when it was not all."""

from __future__ import annotations

from collections.abc import Sequence

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.book.operations.buying import arrive
from tagbench.errors import BadInput
from tagbench.records import Part, Want
from tagbench.rules.days import parse_day
from tagbench.screens.buy.words import many, want_lines
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.shared.part_words import named
from tagbench.screens.widgets.field import Field


class ArriveDialog(TagbenchDialog[str]):
    """Gives the words that say what arrived and which parts it is for."""

    CSS_PATH = stylesheets("field", "card", "buy")
    actions = (Action("enter", "save", "Here", "Writes down that it arrived."),)

    def __init__(self, wants: Sequence[Want]) -> None:
        super().__init__()
        self.heading = f"Here: {many(wants)}"
        self._wants = wants

    def body(self) -> ComposeResult:
        yield Static(want_lines(self._wants), classes="words", markup=False)
        yield Field("Arrived on", id="arrived", hint="today")
        if len(self._wants) == 1:
            yield Field("How many", id="count", hint="all", restrict=r"[0-9]{0,5}")

    def on_mount(self) -> None:
        if len(self._wants) == 1:
            self.query_one("#count-field", Field).value = str(self._wants[0].quantity)

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Writes it down."""
        with self.refusing():
            day = parse_day(self.query_one("#arrived-field", Field).value, self.book.now().date())
            wanted = [want.id for want in self._wants]
            wants, parts = arrive(self.book, wanted, on=day, count=self._count())
            self.dismiss(arrived_words(wants, parts))

    def _count(self) -> int | None:
        if len(self._wants) > 1:
            return None
        typed = self.query_one("#count-field", Field).value
        if typed and not int(typed):
            raise BadInput("If none came, close the card with Esc.")
        return int(typed) if typed else None


def arrived_words(wants: Sequence[Want], parts: Sequence[Part]) -> str:
    """What arrived, and whose new piece is here now."""
    words = f"Here: {many(wants)}."
    return f"{words} New piece here for {named(parts)}." if parts else words
