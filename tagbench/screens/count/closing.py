"""Closing the machine: a clean count, or a written reason for every line that is open."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.book.operations.closing import close_machine
from tagbench.errors import BadInput
from tagbench.rules.count.closing import OpenLine, open_lines, unexplained
from tagbench.rules.count.identity import machine_count
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Moved
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.columns import columns, cut
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows

CLEAN = "Nothing missing, nothing left over. Enter closes the machine."


class ClosingDialog(FormDialog[str]):
    """Gives words that say that it is closed. What was typed is kept in `reasons` (key → why)."""

    AUTO_FOCUS = ""  # with a clean count there is nothing to type, and Enter belongs to the card
    heading = "Close the machine"
    actions = (
        Action("enter", "save", "Save", "Saves the reason for the line, or closes."),
        Action("ctrl+r", "same", "Same for all", "Gives all that are left the same reason."),
        Action("ctrl+f", "finish", "Finish", "Closes the machine with the written reasons."),
        Action("up", "step(-1)", "Up", "Goes up among the lines.", show=False),
        Action("down", "step(1)", "Down", "Goes down among the lines.", show=False),
    )

    def __init__(self, mark: str, reasons: dict[str, str]) -> None:
        super().__init__()
        self._mark = mark
        self._reasons = reasons

    def body(self) -> ComposeResult:
        yield Static("", id="left", classes="words", markup=False)
        yield Rows(self.draw, lambda line: line.key, id="open-lines", height=2, driven=True)
        yield Static("", id="line", classes="words", markup=False)
        yield Field("Why", id="reason", hint="why it is closed all the same")

    def on_mount(self) -> None:
        lines = open_lines(machine_count(self.tables, self._mark, self.book.now().date()))
        self.query_one(Rows).show(lines)
        self.query_one(Rows).display = self.query_one(Field).display = bool(lines)
        if lines:
            self.query_one(Input).focus()
            self._to_next()
        self._say_left()

    @property
    def lines(self) -> list[OpenLine]:
        """What is open."""
        return list(self.query_one(Rows).items)

    def draw(self, line: OpenLine, width: int) -> list[str]:
        """Two lines: what is open; why it is closed all the same."""
        why = self._reasons.get(line.key, "")
        box = "[x]" if why else "[ ]"
        return [columns(width, (box, 3), (line.words, 0), gap=1), cut(f"    {why}", width)]

    def _say_left(self) -> None:
        left = len(unexplained(self.lines, self._reasons))
        words = f"{left} of {len(self.lines)} open lines still need a written reason."
        if not left:
            words = "Every open line has its reason. Ctrl+F closes the machine."
        self.query_one("#left", Static).update(words if self.lines else CLEAN)

    # Going through the lines

    def action_step(self, by: int) -> None:
        self.query_one(Rows).action_step(by)

    @on(Moved)
    def show_reason(self) -> None:
        """Puts the reason of the line under the cursor into the field, and its words in full above
        it: a refusal that was overruled ends in the reason that was written then."""
        line = self.query_one(Rows).current
        if line is not None:
            self.query_one("#line", Static).update(line.words)
            self.query_one(Field).value = self._reasons.get(line.key, "")

    def _to_next(self) -> None:
        """Goes to the next line without a reason."""
        rows = self.query_one(Rows)
        wanting = {line.key for line in unexplained(self.lines, self._reasons)}
        order = [*range(rows.cursor, len(rows.items)), *range(rows.cursor)]
        rows.cursor = next((at for at in order if rows.items[at].key in wanting), rows.cursor)
        self.show_reason()
        rows.refresh()

    def action_save(self) -> None:
        """Saves the reason and goes to the next line; closes when there is no line."""
        line = self.query_one(Rows).current
        if line is None:
            self.action_finish()
            return
        with self.refusing():
            self._reasons[line.key] = self._typed()
            self._to_next()
            self._say_left()

    def action_same(self) -> None:
        with self.refusing():
            why = self._typed()
            for line in unexplained(self.lines, self._reasons):
                self._reasons[line.key] = why
            self.query_one(Rows).refresh()
            self._say_left()

    def _typed(self) -> str:
        why = self.query_one(Field).value
        if not why:
            raise BadInput("Write in a word or two why it is closed all the same.")
        return why

    def action_finish(self) -> None:
        """Closes the machine; the rule names what still stands in the way."""
        with self.refusing():
            keys = {line.key for line in self.lines}
            written = {key: why for key, why in self._reasons.items() if key in keys}
            machine = close_machine(self.book, self._mark, written)
            self._reasons.clear()
            self.dismiss(f"{machine.name} is closed. Well done.")
