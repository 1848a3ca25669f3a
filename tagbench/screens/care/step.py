"""A step of care with what it was done with, and on which day."""

from __future__ import annotations

from collections.abc import Sequence

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from tagbench.book.operations import care
from tagbench.records import Part
from tagbench.rules.care.cautions import cautions_for_all, seen_cautions
from tagbench.rules.care.words import offered
from tagbench.rules.days import parse_day
from tagbench.screens.care.rows import marked_words
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.shared.part_words import named
from tagbench.screens.widgets.caution_lines import CautionLines
from tagbench.screens.widgets.columns import cut
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.suggest import KnownWords

STEPS = (*care.KNOWN, "undecided")
"""What can stand in the field."""


class StepDialog(TagbenchDialog[str]):
    """Gives the words that say what was done."""

    CSS_PATH = stylesheets("field", "card", "care")

    actions = (
        Action("enter", "save", "Save", "Writes the step down for all chosen parts."),
        Action("up", "step(-1)", "Up", "Takes the substance above.", show=False),
        Action("down", "step(1)", "Choose", "Takes the next substance; or type another."),
    )

    def __init__(self, parts: Sequence[Part], step: str) -> None:
        super().__init__()
        self.heading = named(parts)
        self._parts = parts
        self._step = step

    def body(self) -> ComposeResult:
        yield Field("With", id="with", hint="what it was done with")
        yield Field("Step", id="step", suggester=KnownWords(lambda: STEPS))
        yield Field("Day", id="day", hint="today")
        yield Rows(draw, str, id="offered", driven=True)
        yield CautionLines()

    def on_mount(self) -> None:
        self["step"].value = self._step
        self["with"].input.focus()

    def __getitem__(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    @property
    def step(self) -> str:
        """The step in the field."""
        return self["step"].value.casefold()

    @on(Input.Changed, "#step")
    def offer(self) -> None:
        """Offers what suits the step; what was typed by hand stays."""
        rows = self.query_one(Rows)
        typed = self["with"].value not in ("", *rows.items)
        part = self._parts[0] if len(self._parts) == 1 else None
        rows.show_first(offered(self.tables.desk, self.step, part))
        rows.display = bool(rows.items)
        if not typed:
            self["with"].value = rows.items[0] if rows.items else ""
        self.warn()

    @on(Input.Changed, "#with")
    def warn(self) -> None:
        """Shows the cautions for the step with that substance."""
        cautions = cautions_for_all(self._parts, self.step, self["with"].value)
        self.query_one(CautionLines).show(cautions, seen_cautions(self._parts[0], self.tables))

    def action_step(self, by: int) -> None:
        """Takes the next of the offered substances."""
        rows = self.query_one(Rows)
        rows.action_step(by)
        if rows.current is not None:
            self["with"].value = rows.current

    @on(Opened)
    def clicked(self, message: Opened[str]) -> None:
        """Takes the substance that was clicked."""
        self["with"].value = message.item

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Writes it down."""
        with self.refusing():
            codes = [part.code for part in self._parts]
            with_what = self["with"].value
            if self.step == "undecided":
                parts, with_what = care.undecided(self.book, codes), ""
            else:
                day = parse_day(self["day"].value, self.book.now().date())
                parts = care.mark(self.book, codes, self.step, with_what=with_what, on=day)
            self.dismiss(marked_words(parts, self.step, with_what))


def draw(substance: str, width: int) -> list[str]:
    """One line: the substance."""
    return [cut(substance, width)]
