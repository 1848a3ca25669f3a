"""One ruled line of a form: the label, then the field."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.suggester import Suggester
from textual.widgets import Input, Label


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
    ) -> None:
        """`hint` says what belongs in the empty field, `example` shows it.

        Both are known for what they are without colour or italics: `(name or code)`, `e.g. 20 mm`.
        `takes_list`: it may hold several things with semicolons between them.
        """
        super().__init__(id=f"{id}-field")
        self.takes_list = takes_list
        self._label = label
        self.input = Input(
            placeholder=f"e.g. {example}" if example else f"({hint})" if hint else "",
            suggester=suggester,
            restrict=restrict,
            compact=True,
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
        self.input.value = text
        self.input.cursor_position = len(text)
