"""What was measured, against which limits; what that means is said as one types."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, Static

from tagbench.book.operations.measuring import read_off
from tagbench.errors import BadInput
from tagbench.records import Part, Reading, replace
from tagbench.rules.care.proposal import proposal, reading_says
from tagbench.rules.care.readings import check_reading, parse_limit, parse_values
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.shared.part_words import named
from tagbench.screens.widgets.field import Field

WITHOUT = "Type what was measured: 2.1 mm, or several as 2.1; 2.3 mm."


class ReadingDialog(TagbenchDialog[str]):
    """Gives the words that say what was measured and what is proposed now."""

    CSS_PATH = stylesheets("field", "card", "care")

    actions = (Action("enter", "save", "Save", "Writes the reading down, from any field."),)

    def __init__(self, part: Part, reading: Reading | None) -> None:
        super().__init__()
        self.heading = named([part])
        self._code = part.code
        self._before = reading

    def body(self) -> ComposeResult:
        yield Field("What", id="what", hint="lining thickness")
        yield Field("Readings", id="values", hint="2.1; 2.3 mm")
        yield Field("At least", id="low", hint="smallest allowed")
        yield Field("At most", id="high", hint="largest allowed")
        yield Field("Tool is off", id="uncertainty", hint="0.02, plus or minus")
        yield Field("Limit from", id="source", hint="maker's manual, page")
        yield Static("", id="judged", classes="words")

    def on_mount(self) -> None:
        if self._before is not None:
            self._fill(self._before)
        self["values" if self._before is not None else "what"].input.focus()
        self.judge()

    def _fill(self, reading: Reading) -> None:
        self["what"].value = reading.what
        self["values"].value = "; ".join(f"{value:g}" for value in reading.values)
        if reading.values:
            self["values"].value += f" {reading.unit}"
        self["low"].value = figure(reading.low)
        self["high"].value = figure(reading.high)
        self["uncertainty"].value = figure(reading.uncertainty or None)
        self["source"].value = reading.source

    def __getitem__(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    @property
    def part(self) -> Part:
        """The part that is measured."""
        return self.tables.parts[self._code]

    def read(self) -> Reading:
        """What stands in the form; raises BadInput."""
        values, unit = parse_values(self["values"].value)
        before = self._before.unit if self._before is not None else "mm"
        return check_reading(
            Reading(
                what=self["what"].value or " ",
                values=values,
                unit=unit or before,
                low=parse_limit(self["low"].value),
                high=parse_limit(self["high"].value),
                uncertainty=parse_limit(self["uncertainty"].value) or 0.0,
                source=self["source"].value,
            )
        )

    @on(Input.Changed)
    def judge(self) -> None:
        """Says what the figures mean so far."""
        try:
            reading = self.read()
        except BadInput as error:
            words = Content.from_markup("[$quiet]$why[/]", why=str(error))
        else:
            says = f"= {reading_says(self.part, reading)}" if reading.values else WITHOUT
            words = Content(says)
        self.query_one("#judged", Static).update(words)

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Writes the reading down."""
        with self.refusing():
            reading = self.read()
            if not reading.values and self._before is not None and self._before.values:
                raise BadInput(f"{WITHOUT} Delete takes the whole reading off the part.")
            if reading.values:
                reading = replace(reading, at=self.book.now())
            part = read_off(self.book, self._code, reading)
            self.dismiss(f"Measured. {proposal(part).words[:1].upper()}{proposal(part).words[1:]}")


def figure(value: float | None) -> str:
    """A figure as it is typed; empty for none."""
    return "" if value is None else f"{value:g}"
