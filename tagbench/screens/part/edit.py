"""Mending what is written about a part: the same form as when it came off."""

from __future__ import annotations

from typing import Any

from textual import work
from textual.app import ComposeResult
from textual.events import Resize

from tagbench.book.operations.strip import StripForm, edit
from tagbench.records import Part, PartNumber, replace
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import CARDS
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.shared.measure_thread import MEASURE, measure_into
from tagbench.screens.widgets.part_form import PartForm, proposed

AROUND = 8
"""Rows of the card around its form: frame, heading, two of the notice line, keys."""


class EditDialog(FormDialog[str]):
    """Gives words that say what was changed. Only fields that differ are written."""

    CSS_PATH = stylesheets("field", "part_form", "card")

    actions = (Action("enter", "save", "Save", "Saves the form, from any field."), MEASURE)

    def __init__(self, code: str) -> None:
        super().__init__()
        self.heading = code
        self.unsaved_name = f"edit {code}"
        self._code = code

    def body(self) -> ComposeResult:
        yield PartForm(with_photo=False)

    def on_mount(self) -> None:
        form, part = self.query_one(PartForm), self.tables.parts[self._code]
        form.mark = part.machine if part.machine in self.tables.machines else ""
        form.propose(proposed(self.tables, part.machine, part.code))
        form.fill(part, self.tables)
        self._before = form.read(self.tables)
        form["name"].input.focus()

    def on_resize(self, event: Resize) -> None:
        """The form goes on behind its edge where the card is as high as the terminal."""
        self.query_one(PartForm).styles.max_height = max(1, event.size.height - AROUND)

    def action_save(self) -> None:
        with self.refusing():
            after = self.query_one(PartForm).read(self.tables)
            part = self.tables.parts[self._code]
            fields = changed_fields(self._before, after, part)
            if fields:
                edit(
                    self.book, self._code, f"changed {', '.join(fields)} of {self._code}", **fields
                )
            self.dismiss(f"Saved {after.name}." if fields else "Nothing was changed.")

    @work(group=CARDS)
    async def action_measure(self) -> None:
        fasteners = self.query_one(PartForm).fasteners
        await measure_into(self, fasteners, self._code.split("-", 1)[0])


FIELDS = (
    "name",
    "assembly",
    "position",
    "quantity",
    "fasteners",
    "sits_how",
    "bin",
    "behind",
    "note",
)


def changed_fields(before: StripForm, after: StripForm, part: Part) -> dict[str, Any]:
    """The fields of the part that differ between two readings of the form."""
    fields = {
        name: getattr(after, name)
        for name in FIELDS
        if getattr(after, name) != getattr(before, name)
    }
    if after.part_number != before.part_number:
        fields["part_numbers"] = with_number(part.part_numbers, after.part_number)
    return fields


def with_number(numbers: tuple[PartNumber, ...], number: str) -> tuple[PartNumber, ...]:
    """The part numbers with another first one; without it when there is none any more."""
    if not number:
        return numbers[1:]
    first = replace(numbers[0], number=number) if numbers else PartNumber(number=number)
    return (first, *numbers[1:])
