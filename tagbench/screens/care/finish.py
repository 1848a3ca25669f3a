"""Finish of parts: blasted, painted, plated, … with what, what stays bare; and dry fits."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations import finishing
from tagbench.records import Finish, Part
from tagbench.rules.care.finish import USUAL, dry_fit_words
from tagbench.rules.days import parse_day
from tagbench.rules.describe.finish import finish_fact
from tagbench.rules.describe.phrases import named_parts
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownWords


class FinishDialog(FormDialog[str]):
    """Gives words that say what was done or is to be done."""

    actions = (
        Action("enter", "save", "Done", "The finish was done, today or on the day given."),
        Action("ctrl+p", "plan", "To do", "It is still to be done."),
        Action("ctrl+o", "dry_fit", "Dry fit", "Fitted for a trial and taken off again."),
        Action("ctrl+r", "drop", "Drop", "Takes the last finish of that name away."),
    )

    def __init__(self, parts: Sequence[Part]) -> None:
        super().__init__()
        self.heading = f"Finish: {named_parts(parts)}"
        self._codes = [part.code for part in parts]

    def body(self) -> ComposeResult:
        yield Static("", id="finishes", classes="words", markup=False)
        yield Field("What", id="what", example="painted", suggester=KnownWords(lambda: USUAL))
        yield Field("With", id="with", example="RAL 5014, two coats")
        yield Field("Keep bare", id="bare", example="threads, bores, earth points")
        yield Field("On", id="on", hint="today")

    def on_mount(self) -> None:
        part = self.tables.parts[self._codes[0]]
        said = [finish_fact(one).boxed for one in part.finishes]
        dry = dry_fit_words(part)
        usual = f"Usual: {', '.join(USUAL)}."
        told = [*said, *([dry] if dry else [])] if len(self._codes) == 1 else []
        self.query_one("#finishes", Static).update("\n".join(told or [usual]))
        planned = next((one for one in part.finishes if one.at is None), None)
        if planned is not None:
            self["what"].value = planned.what
            self["with"].value, self["bare"].value = planned.with_what, planned.masked
        self["what"].input.focus()

    def _coat(self) -> Finish:
        said = (self["with"].value, self["bare"].value)
        return Finish(what=self["what"].value or "?", with_what=said[0], masked=said[1])

    def action_save(self) -> None:
        with self.refusing():
            if not self["what"].value:
                self.refuse(f"Say which finish: {', '.join(USUAL)}, or another by its name.")
                return
            on = parse_day(self["on"].value, self.book.now().date())
            parts = finishing.finish(self.book, self._codes, self._coat(), on)
            self.dismiss(f"{self['what'].value.capitalize()}: {named_parts(parts)}.")

    def action_plan(self) -> None:
        with self.refusing():
            if not self["what"].value:
                self.refuse(f"Say which finish: {', '.join(USUAL)}, or another by its name.")
                return
            parts = finishing.plan(self.book, self._codes, self._coat())
            self.dismiss(f"To be {self['what'].value}: {named_parts(parts)}.")

    def action_dry_fit(self) -> None:
        with self.refusing():
            if len(self._codes) != 1:
                self.refuse("Choose one part: each is tried on by itself.")
                return
            part = finishing.dry_fit(self.book, self._codes[0])
            self.dismiss(f"Dry fitted {named_parts([part])}; it is off again.")

    def action_drop(self) -> None:
        with self.refusing():
            parts = finishing.no_finish(self.book, self._codes, self["what"].value)
            self.dismiss(f"{named_parts(parts)} without {self['what'].value}.")
