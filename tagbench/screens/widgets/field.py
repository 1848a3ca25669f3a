"""One ruled line of a form: the label, then the field."""

from __future__ import annotations

from typing import Literal

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.reactive import reactive
from textual.suggester import Suggester
from textual.widgets import Input, Label
from textual.widgets.input import Selection

TakesCode = Literal["", "part", "bin", "tag"]
"""What a scanned tag must be on for a field to take its code; tag: on anything."""


COMPACT = "-textual-compact"
"""Class of a field of one line. It has it from the start: one that comes when the field is made
costs working out all its styles twice."""


class FieldInput(Input):
    """The field itself; a click that brings the cursor here selects what was put in, as keys do.

    A second click, and dragging, put the cursor where they are.
    """

    compact = reactive(True, toggle_class=COMPACT)

    _comes = False
    """Whether the focus came just now: with the press that is next in the queue, if by a press."""
    _came_by_press = False

    def on_focus(self) -> None:
        self._comes = True
        self.call_later(self._has_come)

    def _has_come(self) -> None:
        """The field's own handler has selected what was put in, unless it was typed over by now."""
        self._comes = False
        if self.select_on_focus and not self.selection.is_empty:
            self.select_all()

    def on_mouse_down(self) -> None:
        self._came_by_press = self._comes

    def on_click(self) -> None:
        if self._came_by_press and self.selection.is_empty:
            self.arrive()

    def select_all(self) -> None:
        """Selects it backwards, so that the beginning of a long text is what is seen."""
        super().select_all()
        self.selection = Selection(self.selection.end, 0)

    def arrive(self) -> None:
        """Selects what was put in, so that typing replaces it; what was typed is gone on with."""
        if self.select_on_focus:
            self.select_all()


class Field(Horizontal):
    """A label and a single-line field; `value` is what stands in it, without outer blanks."""

    def __init__(
        self,
        label: str,
        *,
        id: str,  # noqa: A002 - Textual's own name for it
        hint: str = "",
        example: str = "",
        suggester: Suggester | None = None,
        restrict: str | None = None,
        takes_list: bool = False,
        takes_code: TakesCode = "",
        goes_on: bool = False,
    ) -> None:
        """`hint` says what belongs in the empty field, `example` shows it.

        Both are known for what they are without colour or italics: `(name or code)`, `e.g. 20 mm`.
        `takes_list`: it may hold several things with semicolons between them.
        `takes_code`: what the scanned tag must be on for its code to go into the field.
        `goes_on`: typing goes on with what was put in, as in the path of a folder.
        """
        super().__init__(id=f"{id}-field")
        self.takes_list = takes_list
        self.takes_code = takes_code
        self._goes_on = goes_on or takes_list
        self._given = ""
        self._label = label
        self.input = FieldInput(
            placeholder=f"e.g. {example}" if example else f"({hint})" if hint else "",
            suggester=suggester,
            restrict=restrict,
            compact=True,
            classes=COMPACT,
            select_on_focus=False,
            id=id,
        )

    def compose(self) -> ComposeResult:
        yield Label(self._label, classes="label", markup=False)
        yield self.input

    def on_descendant_focus(self) -> None:
        self.add_class("-here")

    def on_descendant_blur(self) -> None:
        self.remove_class("-here")

    @property
    def value(self) -> str:
        """What was typed, without blanks around it."""
        return self.input.value.strip()

    @value.setter
    def value(self, text: str) -> None:
        """Puts a text in that was not typed: typing replaces it, or goes on where it is a list."""
        self._given = text
        self.input.select_on_focus = bool(text) and not self._goes_on
        self.input.value = text
        self.input.cursor_position = 0 if self.input.select_on_focus else len(text)
        if self.input.has_focus:
            self.input.arrive()

    def put_back(self, text: str) -> None:
        """Puts back what the person had typed: typing goes on with it."""
        self.input.select_on_focus = False
        self.input.value = text
        self.input.cursor_position = len(text)

    @property
    def was_typed(self) -> bool:
        """Whether there is something in it that the person typed."""
        return bool(self.value) and self.input.value != self._given

    @on(Input.Changed)
    def keep_what_is_typed(self) -> None:
        """What the person typed is gone on with when the field is come back to."""
        if self.input.value != self._given:
            self.input.select_on_focus = False

    def add_code(self, code: str) -> None:
        """Puts a scanned code in, beside others where the field takes a list.

        Through the field's queue, since what the scanner typed there is taken back before.
        """
        self.input.call_later(self._add_code, code)

    def _add_code(self, code: str) -> None:
        if not self.takes_list:
            self.value = code
        elif code not in self.value.upper():
            self.value = f"{self.value.rstrip('; ')}; {code}" if self.value else code
