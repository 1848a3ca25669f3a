"""The cards of Inspect: a reading, what kind of part it is, its part numbers."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, Static

from tagbench.book.operations import numbering
from tagbench.book.operations.measuring import read_off
from tagbench.book.operations.strip import edit
from tagbench.errors import BadInput
from tagbench.records import Part, PartNumber, Reading, replace
from tagbench.rules.buying.part_numbers import plain_number
from tagbench.rules.care.inspecting import PartKind, kinds, part_kind
from tagbench.rules.care.proposal import proposal, reading_says
from tagbench.rules.care.readings import check_reading, parse_limit, parse_values
from tagbench.rules.describe.numbers import numbers_lines
from tagbench.rules.describe.phrases import named, named_parts
from tagbench.screens.frame.actions import NEW_KEY, Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.form import PartFormDialog, PickerDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.suggest import KnownWords

NOT_MEASURED = "Type what was measured: 2.1 mm, or several as 2.1; 2.3 mm."
NO_KIND = "No kind goes by that name."
BECAME = ("original", "superseded", "obsolete", "substitute")
"""What can become of a number, as the trade calls it."""
NONE_YET = "No part number yet; Ctrl+N adds one."


class ReadingDialog(PartFormDialog):
    """Gives the words that say what was measured and what is proposed now."""

    CSS_PATH = stylesheets("field", "card", "care")

    actions = (Action("enter", "save", "Save", "Writes the reading down, from any field."),)

    def __init__(self, part: Part, reading: Reading | None) -> None:
        super().__init__(part)
        self.heading = named_parts([part])
        self._before = reading
        self.unsaved_name = f"reading {part.code} {reading.what if reading else 'new'}"

    def body(self) -> ComposeResult:
        yield Field("What", id="what", example="lining thickness")
        yield Field("Readings", id="values", example="2.1; 2.3 mm", takes_list=True)
        yield Field("At least", id="low", hint="smallest allowed")
        yield Field("At most", id="high", hint="largest allowed")
        yield Field("Accuracy", id="uncertainty", hint="of the tool, ± 0.02")
        yield Field("Limit from", id="source", example="maker's manual, page")
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
        self["low"].value = typed_figure(reading.low)
        self["high"].value = typed_figure(reading.high)
        self["uncertainty"].value = typed_figure(reading.uncertainty or None)
        self["source"].value = reading.source

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
            says = f"= {reading_says(self.part, reading)}" if reading.values else NOT_MEASURED
            words = Content(says)
        self.query_one("#judged", Static).update(words)

    def action_save(self) -> None:
        with self.refusing():
            reading = self.read()
            if not reading.values and self._before is not None and self._before.values:
                raise BadInput(f"{NOT_MEASURED} Delete takes the whole reading off the part.")
            if reading.values:
                reading = replace(reading, at=self.book.now())
            part = read_off(self.book, self.code, reading)
            self.dismiss(f"Measured. {proposal(part).words[:1].upper()}{proposal(part).words[1:]}")


def typed_figure(value: float | None) -> str:
    """A figure as it is typed; empty for none."""
    return "" if value is None else f"{value:g}"


class KindDialog(PickerDialog[PartKind, str]):
    """Gives the words that say what kind the part is now."""

    CSS_PATH = stylesheets("field", "card", "care")
    label, hint, none_found = "Kind", "part of a name", NO_KIND
    actions = (
        Action("enter", "save", "Take", "Takes the kind under the cursor."),
        Action("ctrl+r", "by_name", "By its name", "Lets the name of the part say its kind."),
    )

    def __init__(self, part: Part) -> None:
        super().__init__()
        self.heading = f"What kind of part is {named_parts([part])}?"
        self._code = part.code

    def found(self) -> list[PartKind]:
        typed = self.typed.casefold()
        now = part_kind(self.tables.parts[self._code])
        fitting = [kind for kind in kinds().values() if typed in kind.name]
        return sorted(
            fitting,
            key=lambda kind: (kind is not now, not kind.name.startswith(typed), kind.name),
        )

    def key(self, item: PartKind) -> str:
        return item.name

    def draw(self, item: PartKind, width: int) -> list[str]:
        return [columns(width, (item.name, 18), (item.look_for[0] if item.look_for else "", 0))]

    def take(self, item: PartKind | None) -> None:
        with self.refusing():
            if item is None:
                raise BadInput(f"{NO_KIND} Take the one that comes nearest.")
            self._write(item.name)

    def action_by_name(self) -> None:
        with self.refusing():
            self._write("")

    def _write(self, kind: str) -> None:
        part = self.tables.parts[self._code]
        words = f"{named(part)} is a {kind}" if kind else f"kind of {part.code} by name"
        edit(self.book, self._code, words, kind=kind)
        self.dismiss(f"{named(part)} is {f'a {kind}' if kind else 'known by its name'}.")


class NumbersDialog(PartFormDialog):
    """The numbers in a list; Enter on one, or Ctrl+N, opens the form beneath."""

    CSS_PATH = stylesheets("field", "card", "care")

    actions = (
        Action("enter", "save", "Change", "Opens the number under the cursor, or saves the form."),
        Action(NEW_KEY, "new", "New", "Adds a new number."),
        Action("ctrl+r", "drop", "Take off", "Takes the number under the cursor off the part."),
    )
    stays_open = True

    def __init__(self, part: Part) -> None:
        super().__init__(part)
        self.heading = f"Part numbers of {named_parts([part])}"
        self._open = ""
        """The number that is being changed; empty for a new one."""

    def body(self) -> ComposeResult:
        yield Rows(draw_number, lambda number: number.number, id="numbers", empty=NONE_YET)
        yield Static("", id="to-order", classes="words", markup=False)
        with Vertical(id="number-form"):
            yield Field("Number", id="number", hint="as it is printed")
            yield Field("Is now", id="status", suggester=KnownWords(lambda: BECAME))
            yield Field("Replaced by", id="by", hint="the number that takes its place")
            yield Field("Differs", id="differs", hint="what is different about a substitute")

    def on_mount(self) -> None:
        self.query_one("#number-form").display = False
        self.show()
        if not self.part.part_numbers:
            self.action_new()

    @property
    def rows(self) -> Rows[PartNumber]:
        """Its numbers."""
        return self.query_one("#numbers", Rows)

    def show(self) -> None:
        """Shows the numbers, the one to order, and where else the part is used."""
        self.rows.show(list(self.part.part_numbers))
        known = numbers_lines(self.part, self.tables) if self.part.part_numbers else []
        self.query_one("#to-order", Static).update("\n".join(known))

    def action_new(self) -> None:
        self._open_form(None)

    @on(RowOpened)
    def change(self, message: RowOpened[PartNumber]) -> None:
        """Opens the form with that number."""
        self._open_form(message.item)

    def _open_form(self, number: PartNumber | None) -> None:
        self._open = number.number if number else ""
        self["number"].value = self._open
        self["status"].value = str(number.status) if number else "original"
        self["by"].value = number.superseded_by if number else ""
        self["differs"].value = number.differs if number else ""
        self.query_one("#number-form").display = True
        self["by" if number else "number"].input.focus()

    def action_save(self) -> None:
        if not self.query_one("#number-form").display:
            return
        with self.refusing():
            numbering.write_number(self.book, self.code, self.read(), instead_of=self._open)
            self.query_one("#number-form").display = False
            self.rows.focus()
            self.show()
            self.tell("Saved.")

    def read(self) -> PartNumber:
        """What stands in the form; raises BadInput."""
        status, by = self["status"].value.casefold() or "original", self["by"].value
        if not plain_number(self["number"].value):
            raise BadInput("Type the number as it is printed on the part or in the list.")
        if status not in BECAME:
            raise BadInput(f"“{status}” is not known; choose one of {', '.join(BECAME)}.")
        return PartNumber(
            number=self["number"].value,
            status="superseded" if by else status,  # type: ignore[arg-type] # it is one of BECAME
            superseded_by=by,
            differs=self["differs"].value,
        )

    def action_drop(self) -> None:
        number = self.rows.current
        if number is None:
            self.refuse(NONE_YET)
            return
        with self.refusing():
            numbering.drop_number(self.book, self.code, number.number)
            self.show()
            self.tell(f"Took off the number {number.number}.")


def draw_number(number: PartNumber, width: int) -> list[str]:
    """One line: the number, what became of it, what took its place or differs."""
    after = f"now {number.superseded_by}" if number.superseded_by else number.differs
    return [columns(width, (number.number, 24), (str(number.status), 11), (after, 0), gap=2)]
