"""Which kind of part? Type to narrow the list."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from tagbench.book.operations.strip import edit
from tagbench.errors import BadInput
from tagbench.records import Part
from tagbench.rules.care.inspecting import Kind, kind_of, kinds
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.shared.part_words import named
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows

NOTHING = "No kind is called like that."


class KindDialog(TagbenchDialog[str]):
    """Gives the words that say what kind the part is now."""

    CSS_PATH = stylesheets("field", "card", "care")

    actions = (
        Action("enter", "take", "Take", "Takes the kind under the cursor."),
        Action("up", "step(-1)", "Up", "Goes up among the kinds.", show=False),
        Action("down", "step(1)", "Down", "Goes down among the kinds.", show=False),
        Action("ctrl+n", "by_name", "By its name", "Lets the name of the part say its kind."),
    )

    def __init__(self, part: Part) -> None:
        super().__init__()
        self.heading = f"What kind of part is {named([part])}?"
        self._code = part.code

    def body(self) -> ComposeResult:
        yield Field("Kind", id="kind", hint="part of a name")
        yield Rows(draw, lambda kind: kind.name, id="kinds", empty=NOTHING, driven=True)

    def on_mount(self) -> None:
        self.narrow()

    @on(Input.Changed)
    def narrow(self) -> None:
        """Keeps the kinds that hold what was typed; the present one first."""
        typed = self.query_one(Field).value.casefold()
        now = kind_of(self.tables.parts[self._code])
        fitting = [kind for kind in kinds().values() if typed in kind.name]
        fitting.sort(key=lambda kind: (kind is not now, not kind.name.startswith(typed), kind.name))
        self.query_one(Rows).show_first(fitting)

    def action_step(self, by: int) -> None:
        """Moves the cursor without leaving the field."""
        self.query_one(Rows).action_step(by)

    @on(Input.Submitted)
    def action_take(self) -> None:
        """Takes the kind under the cursor."""
        kind = self.query_one(Rows).current
        with self.refusing():
            if kind is None:
                raise BadInput(f"{NOTHING} Take the one that comes nearest.")
            self._write(kind.name)

    @on(Opened)
    def chosen(self, message: Opened[Kind]) -> None:
        """Takes the kind that was clicked."""
        with self.refusing():
            self._write(message.item.name)

    def action_by_name(self) -> None:
        """Lets the name of the part say its kind again."""
        with self.refusing():
            self._write("")

    def _write(self, kind: str) -> None:
        part = self.tables.parts[self._code]
        words = f"{part.name} ({part.code}) is a {kind}" if kind else f"kind of {part.code} by name"
        edit(self.book, self._code, words, kind=kind)
        self.dismiss(f"{part.name} {part.code} is {f'a {kind}' if kind else 'known by its name'}.")


def draw(kind: Kind, width: int) -> list[str]:
    """One line: the kind, and the first thing to look for."""
    return [columns(width, (kind.name, 18), (kind.look_for[0] if kind.look_for else "", 0))]
