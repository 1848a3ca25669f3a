"""Part numbers of a part: what became of each, which one to order, where else it is used."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Input, Static

from tagbench.book.operations import numbering
from tagbench.errors import BadInput
from tagbench.records import Part, PartNumber
from tagbench.rules.buying.part_numbers import plain_number
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.shared.part_words import named, numbers_lines
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.suggest import KnownWords

BECAME = ("original", "superseded", "obsolete", "substitute")
"""What can become of a number, as the trade calls it."""
NONE_YET = "No part number yet; Ctrl+N adds one."


class NumbersDialog(TagbenchDialog[str]):
    """The numbers in a list; Enter on one, or Ctrl+N, opens the form beneath."""

    CSS_PATH = stylesheets("field", "card", "care")

    actions = (
        Action("enter", "save", "Change", "Opens the number under the cursor, or saves the form."),
        Action("ctrl+n", "new", "New", "Adds a number."),
        Action("ctrl+r", "drop", "Take off", "Takes the number under the cursor off the part."),
    )

    def __init__(self, part: Part) -> None:
        super().__init__()
        self.heading = f"Part numbers of {named([part])}"
        self._code = part.code
        self._open = ""
        """The number that is being changed; empty for a new one."""

    def body(self) -> ComposeResult:
        yield Rows(draw, lambda number: number.number, id="numbers", empty=NONE_YET)
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

    def __getitem__(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    @property
    def part(self) -> Part:
        """The part."""
        return self.tables.parts[self._code]

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
        """Opens the form, empty."""
        self._open_form(None)

    @on(Opened)
    def change(self, message: Opened[PartNumber]) -> None:
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

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Saves the form."""
        if not self.query_one("#number-form").display:
            return
        with self.refusing():
            numbering.write_number(self.book, self._code, self.read(), instead_of=self._open)
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
        """Takes the number under the cursor off the part."""
        number = self.rows.current
        if number is None:
            self.refuse(NONE_YET)
            return
        with self.refusing():
            numbering.drop_number(self.book, self._code, number.number)
            self.show()
            self.tell(f"Took off the number {number.number}.")


def draw(number: PartNumber, width: int) -> list[str]:
    """One line: the number, what became of it, what took its place or differs."""
    after = f"now {number.superseded_by}" if number.superseded_by else number.differs
    return [columns(width, (number.number, 24), (str(number.status), 11), (after, 0), gap=2)]
