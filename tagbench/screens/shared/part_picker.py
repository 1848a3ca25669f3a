"""Which part? The likely ones first; type to find another."""

from __future__ import annotations

from collections.abc import Sequence

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from tagbench.errors import BadInput
from tagbench.records import Part
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows

SHOWN = 50
"""So many answers are listed."""
NOTHING = "Nothing like that is in the book."


class WhichPartDialog(TagbenchDialog[str]):
    """Gives the code of the part that was chosen."""

    actions = (
        Action("enter", "take", "Take", "Takes the part under the cursor."),
        Action("up", "step(-1)", "Up", "Goes up among the parts.", show=False),
        Action("down", "step(1)", "Down", "Goes down among the parts.", show=False),
    )

    def __init__(self, what: str, likely: Sequence[str]) -> None:
        super().__init__()
        self.heading = f"Which part does {what} show?"
        self._likely = likely

    def body(self) -> ComposeResult:
        yield Field("Part", id="part-words", hint="name, place or code")
        yield Rows(draw, lambda part: part.code, id="which", empty=NOTHING, driven=True)

    def on_mount(self) -> None:
        self.narrow()

    @on(Input.Changed)
    def narrow(self) -> None:
        """Finds parts by what was typed; without words the likely ones."""
        words = self.query_one(Field).value
        parts = self.tables.parts
        if words:
            found = [one.part for one in self.bench_app.index.find(words, SHOWN)]
        else:
            found = [parts[code] for code in self._likely if code in parts]
        self.query_one(Rows).show_first(found)

    def action_step(self, by: int) -> None:
        """Moves the cursor without leaving the field."""
        self.query_one(Rows).action_step(by)

    @on(Input.Submitted)
    def action_take(self) -> None:
        """Takes the part under the cursor."""
        part = self.query_one(Rows).current
        with self.refusing():
            if part is None:
                raise BadInput(f"{NOTHING} Try fewer words.")
            self.dismiss(part.code)

    @on(Opened)
    def chosen(self, message: Opened[Part]) -> None:
        """Takes the part that was clicked."""
        self.dismiss(message.item.code)


def draw(part: Part, width: int) -> list[str]:
    """One line: code, name, assembly."""
    return [columns(width, (part.code, 9), (part.name, 0), (part.assembly, 0), gap=2)]
