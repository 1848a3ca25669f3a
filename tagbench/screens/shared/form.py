"""Cards with fields: forms, and a field above a list that narrows as one types.

They behave alike everywhere: ↓ and ↑ go from field to field (or through the list), Enter acts from
any field, Escape closes, and a refusal goes away as soon as something else is typed.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import ClassVar, Generic, TypeVar, cast

from textual import on
from textual.app import ComposeResult
from textual.await_complete import AwaitComplete
from textual.widgets import Input

from tagbench.errors import BadInput
from tagbench.records import Part
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.shared.unsaved import KeepsUnsaved
from tagbench.screens.widgets.field import Field, TakesCode
from tagbench.screens.widgets.rows import RowLines, Rows

Result = TypeVar("Result")
T = TypeVar("T")
Item = TypeVar("Item")

BETWEEN_FIELDS = (
    Action("down", "app.focus_next", "Next", "Goes to the next field; so does Tab.", False),
    Action("up", "field_before", "Before", "Goes to the field before.", False),
)
"""How to get about in a form."""
IN_THE_LIST = (
    Action("up", "step(-1)", "Up", "Goes up in the list.", False),
    Action("down", "step(1)", "Down", "Goes down in the list.", False),
    Action("pageup", "page(-1)", "Page up", "Goes up a screenful.", False),
    Action("pagedown", "page(1)", "Page down", "Goes down a screenful.", False),
)
"""How to get about in a list that is driven from a field."""


class FormDialog(TagbenchDialog[Result], KeepsUnsaved):
    """A card with fields; `card["name"]` is the field of that name, and Enter saves.

    One with an `unsaved_name` outlasts a crash half-typed; closing it forgets what was typed.
    """

    moves: ClassVar[tuple[Action, ...]] = BETWEEN_FIELDS
    """How to get about in the card."""

    @classmethod
    def all_actions(cls) -> tuple[Action, ...]:
        """The actions of this card, and how to get about in it."""
        return (*cls.actions, *cls.moves, *cls.on_every_card())

    def __getitem__(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    @abstractmethod
    def action_save(self) -> object:
        """Does what the card is for with what stands in its fields."""

    @on(Input.Submitted)
    def save_from_field(self, message: Input.Submitted) -> None:
        """Enter saves from any field."""
        message.stop()
        self.action_save()

    @on(Input.Changed)
    def typed_on(self) -> None:
        """Keeps what is typed."""
        self.keep_typed()

    def on_show(self) -> None:
        """What was typed here before a crash is offered as soon as the card is seen."""
        self.offer_unsaved()

    def typed_fields(self) -> dict[str, str]:
        """What the person typed; what the card put into its fields itself is left out."""
        fields = self.query(Field)
        return {one.input.id or "": one.input.value for one in fields if one.was_typed}

    def put_back(self, fields: Mapping[str, str]) -> None:
        """Puts back what had been typed."""
        for one in self.query(Field):
            one.put_back(fields.get(one.input.id or "", one.input.value))

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        """Closes the card; what was typed was saved, or is not wanted."""
        self.forget_typed()
        return super().dismiss(result)


class PartFormDialog(FormDialog[str]):
    """A form about one part."""

    def __init__(self, part: Part) -> None:
        super().__init__()
        self.code = part.code

    @property
    def part(self) -> Part:
        """The part as it is now."""
        return self.tables.parts[self.code]

    def show(self) -> None:
        """Shows what the book says of the part, on a card that stays open."""

    def catch_up(self) -> None:
        """Shows what was taken back; closes when the part itself was."""
        if self.code in self.tables.parts:
            self.show()
        else:
            self.dismiss(None)


class PickerDialog(FormDialog[Result], Generic[T, Result]):
    """A field above a list; `found` gives the rows for what was typed, `take` uses one of them."""

    moves = IN_THE_LIST
    label = "Name"
    """What stands before the field."""
    hint = ""
    """What stands in the empty field."""
    none_found = ""
    """What the empty list says."""
    row_height = 1
    """Lines of a row."""
    takes_code: ClassVar[TakesCode] = ""
    """Whose scanned code goes into the field."""

    def body(self) -> ComposeResult:
        yield Field(self.label, id="typed", hint=self.hint, takes_code=self.takes_code)
        yield self.make_rows()

    def make_rows(self) -> Rows[T]:
        """The list, for a card that lays out more than one field."""
        return Rows(
            self.draw,
            self.key,
            id="found",
            height=self.row_height,
            empty=self.none_found,
            driven=True,
        )

    def on_mount(self) -> None:
        self.query(Input).first().focus()
        self.rows.show_at(self.found(), self.opens_on())

    def opens_on(self) -> str:
        """Key of the row under the cursor at first; empty for the first one."""
        return ""

    @property
    def rows(self) -> Rows[T]:
        """The list."""
        return self.query_one("#found", Rows)

    @property
    def typed(self) -> str:
        """What stands in the field."""
        return self["typed"].value

    def fitting(self, items: Iterable[Item], text: Callable[[Item], str]) -> list[Item]:
        """The items whose text holds every word that was typed."""
        words = self.typed.casefold().split()
        return [item for item in items if all(word in text(item).casefold() for word in words)]

    @abstractmethod
    def found(self) -> Sequence[T]:
        """The rows for what stands in the fields, the likeliest first."""

    @abstractmethod
    def draw(self, item: T, width: int) -> RowLines:
        """The lines of a row."""

    @abstractmethod
    def key(self, item: T) -> str:
        """What a row is known by."""

    def take(self, item: T | None) -> None:
        """Uses the row under the cursor, None when nothing was found: the card gives it."""
        with self.refusing():
            if item is None:
                raise BadInput(f"{self.none_found} Try fewer words.")
            self.dismiss(self.given(item))

    def given(self, item: T) -> Result:
        """What the card gives for a row."""
        return cast("Result", item)

    @on(Input.Changed)
    def narrow(self) -> None:
        """Shows the rows for what stands in the fields now."""
        self.rows.show_first(self.found())

    def action_step(self, by: int) -> None:
        """Moves the cursor without leaving the field; up from the first row to the field before."""
        fields = [one for one in self.query(Input) if one.display]
        at = next((n for n, one in enumerate(fields) if one.has_focus), 0)
        if by < 0 and self.rows.cursor == 0 and at:
            fields[at - 1].focus()
        self.rows.action_step(by)

    def action_page(self, by: int) -> None:
        """Moves the cursor by a screenful."""
        self.rows.action_page(by)

    def action_save(self) -> None:
        """Uses the row under the cursor."""
        self.take(self.rows.current)

    @on(RowOpened)
    def clicked(self, message: RowOpened[T]) -> None:
        """Uses the row that was clicked."""
        self.take(message.item)
