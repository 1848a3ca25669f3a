"""Cautions: all of them at full length, with their sources, and which were seen before."""

from __future__ import annotations

from collections.abc import Iterator

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Static

from tagbench.book.operations.care import acknowledge_cautions, show_cautions_again
from tagbench.book.operations.machines import chosen
from tagbench.records import Machine
from tagbench.rules.care.cautions import DEFER, DEFER_WHOLE, Caution, all_cautions
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Moved, RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchScreen
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.facts import Section, Sections
from tagbench.screens.widgets.rows import Rows

NO_MACHINE = "There is no machine yet; take a first part off, then cautions can be marked as seen."


class CautionsScreen(TagbenchScreen):
    """The cautions in a list; the one under the cursor at full length beside it."""

    screen_name = "cautions"
    CSS_PATH = stylesheets("field", "care")
    AUTO_FOCUS = "#cautions"
    actions = (
        Action(
            "enter", "", "Seen", "Seen for this machine: in brief from now on, or in full again."
        ),
        Action("tab", "", "Read on", "Goes to the text and back, to scroll it.", show=True),
        Action("ctrl+r", "all_again", "All again", "Shows all at full length again."),
    )

    def body(self) -> ComposeResult:
        with Horizontal(id="cautions-columns"):
            yield Rows(self.draw, lambda caution: caution.id, id="cautions")
            with VerticalScroll(id="caution-full"):
                yield Sections(id="caution-rows")
        yield Static(DEFER_WHOLE, id="defer-whole", markup=False)

    @property
    def machine(self) -> Machine | None:
        """The machine they are acknowledged for."""
        return chosen(self.tables)

    def show_book(self) -> None:
        rows = self.query_one("#cautions", Rows)
        rows.show(list(all_cautions().values()))
        self.show_full()

    def draw(self, caution: Caution, width: int) -> list[str]:
        """One line: what it is about, and whether it was seen."""
        seen = self.machine is not None and caution.id in self.machine.cautions_seen
        return [columns(width, (caution.id, 0), ("seen" if seen else "", 4), gap=1)]

    @on(Moved)
    def show_full(self) -> None:
        """Shows all that is said about the caution under the cursor, with the sources."""
        caution = self.query_one("#cautions", Rows).current
        if caution is not None:
            self.query_one("#caution-rows", Sections).show(at_length(caution))
            self.query_one("#caution-full").scroll_home(animate=False)

    @on(RowOpened)
    def seen(self, message: RowOpened[Caution]) -> None:
        """Acknowledges a caution for the machine, or shows it at full length again."""
        machine, name = self.machine, message.item.id
        if machine is None:
            self.refuse(NO_MACHINE)
            return
        with self.refusing():
            if name in machine.cautions_seen:
                show_cautions_again(self.book, machine.mark, [name])
                words = f"“{name}” is shown at full length again."
            else:
                acknowledge_cautions(self.book, [name], machine.mark)
                words = f"“{name}” was seen for {machine.name}; it is shown in brief from now on."
            self.catch_up()
            self.tell(words)

    def action_all_again(self) -> None:
        if self.machine is None:
            self.refuse(NO_MACHINE)
            return
        with self.refusing():
            show_cautions_again(self.book, self.machine.mark)
            self.catch_up()
            self.tell("All cautions are shown at full length again.")


def at_length(caution: Caution) -> Iterator[Section]:
    """The line that is shown at the work, then all that is behind it, each with its source."""
    yield "At the work", [caution.line, DEFER]
    for number, row in enumerate(caution.rows, 1):
        yield f"{number} of {len(caution.rows)}", [row.words, f"Source: {row.source}"]
