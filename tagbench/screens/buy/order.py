"""Wants that were ordered: from whom, on which day, due when."""

from __future__ import annotations

from collections.abc import Sequence

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.book.operations.buying import order
from tagbench.records import Want
from tagbench.rules.days import parse_day
from tagbench.screens.buy.words import many, want_lines
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownWords


class OrderDialog(TagbenchDialog[str]):
    """Gives the words that say what was ordered."""

    CSS_PATH = stylesheets("field", "card", "buy")
    actions = (Action("enter", "save", "Ordered", "Writes the order down, from any field."),)

    def __init__(self, wants: Sequence[Want]) -> None:
        super().__init__()
        self.heading = f"Ordered: {many(wants)}"
        self._wants = wants

    def body(self) -> ComposeResult:
        yield Static(want_lines(self._wants), classes="words", markup=False)
        yield Field("Supplier", id="supplier", suggester=KnownWords(self._suppliers))
        yield Field("Ordered on", id="ordered", hint="today")
        yield Field("Due", id="due", hint="in 2 weeks; or 2026-03-09")

    def on_mount(self) -> None:
        suppliers = {want.supplier for want in self._wants}
        if len(suppliers) == 1:
            self["supplier"].value = suppliers.pop()
        self["due" if self["supplier"].value else "supplier"].input.focus()

    def __getitem__(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    def _suppliers(self) -> tuple[str, ...]:
        return self.tables.desk.suppliers

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Writes the order down."""
        with self.refusing():
            today = self.book.now().date()
            wants = order(
                self.book,
                [want.id for want in self._wants],
                on=parse_day(self["ordered"].value, today),
                due=parse_day(self["due"].value, today),
                supplier=self["supplier"].value,
            )
            self.dismiss(f"Ordered: {many(wants)}.")
