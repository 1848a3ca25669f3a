"""Which bag or box? Type to narrow the list; a new name makes a new bin."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from tagbench.records import Bin
from tagbench.rules.bins import kept_in_words, path
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows

HINT = "part of a name, or a new one: Shelf A / Box 2 / Bag 7"


class BinDialog(TagbenchDialog[str]):
    """Gives the bin as it is typed in a field: its path from the outside in, or a new one."""

    heading = "Bag or box"
    actions = (
        Action("enter", "take", "Take", "Takes the bin under the cursor, or the new name."),
        Action("up", "step(-1)", "Up", "Goes up among the bins.", show=False),
        Action("down", "step(1)", "Down", "Goes down among the bins.", show=False),
    )

    def body(self) -> ComposeResult:
        yield Field("Name", id="bin-words", hint=HINT)
        yield Rows(
            self.draw,
            lambda bin_: bin_.code,
            id="bins",
            empty="Enter makes a new bin of that name.",
            driven=True,
        )

    def on_mount(self) -> None:
        self.narrow()

    @property
    def typed(self) -> str:
        """What stands in the field."""
        return self.query_one("#bin-words-field", Field).value

    @on(Input.Changed)
    def narrow(self) -> None:
        """Keeps the bins whose path holds every word that was typed."""
        words = self.typed.casefold().replace("/", " ").split()
        bins = self.tables.bins.values()
        fitting = [
            one for one in bins if all(word in self.typed_path(one).casefold() for word in words)
        ]
        self.query_one(Rows).show_first(sorted(fitting, key=self.typed_path))

    def typed_path(self, one: Bin) -> str:
        """The bin from the outside in, as it is typed."""
        return " / ".join(outer.name for outer in reversed(path(one.code, self.tables.bins)))

    def draw(self, one: Bin, width: int) -> list[str]:
        """One line: code, name, where it is kept."""
        outside = kept_in_words(one.kept_in, self.tables.bins) if one.kept_in else ""
        return [columns(width, (one.code, 11), (one.name, 24), (outside, 0), gap=2)]

    def action_step(self, by: int) -> None:
        """Moves the cursor without leaving the field."""
        self.query_one(Rows).action_step(by)

    @on(Input.Submitted)
    def action_take(self) -> None:
        """Takes the bin under the cursor; a name that fits none is a new bin."""
        one = self.query_one(Rows).current
        self.dismiss(self.typed if one is None else self.typed_path(one))

    @on(Opened)
    def chosen(self, message: Opened[Bin]) -> None:
        """Takes the bin that was clicked."""
        self.dismiss(self.typed_path(message.item))
