"""The machines: changing to another one, naming one, adding one."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from tagbench.book.operations.machines import add, choose, chosen, edit_machine, set_aside
from tagbench.records import Machine
from tagbench.screens.frame.actions import NEW_KEY, Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows

WORDS = "The mark begins every code of the machine; it cannot be changed once it is on a tag."


class MachineDialog(FormDialog[str]):
    """Gives words that say what was done. Enter on a row chooses it."""

    heading = "Machines"
    actions = (
        Action("enter", "save", "Choose", "Chooses the machine, or saves the form."),
        Action("ctrl+r", "rename", "Rename", "Changes the name of the machine under the cursor."),
        Action(NEW_KEY, "new", "New", "Adds a new machine."),
        Action("ctrl+o", "aside", "Aside", "Sets the machine under the cursor aside."),
    )

    def __init__(self) -> None:
        super().__init__()
        self._mark = ""
        """Mark of the machine that is being named; empty for a new one."""

    def body(self) -> ComposeResult:
        yield Rows(self.draw, lambda machine: machine.mark, id="machines", empty="No machine yet.")
        with Vertical(id="machine-form"):
            yield Field("Name", id="machine-name", hint="what it is called")
            yield Field("Mark", id="machine-mark", hint="1 to 3 letters; empty: its initials")
            yield Field("Maker", id="maker")
            yield Field("Model", id="model")
            yield Field("Year", id="year", restrict=r"[0-9]{0,4}")
            yield Field("Frame number", id="serial")
            yield Static(WORDS, classes="quiet", markup=False)

    def on_mount(self) -> None:
        machines = list(self.tables.machines.values())
        now = chosen(self.tables)
        self.query_one(Rows).show_at(machines, now.mark if now else "")
        self.query_one("#machine-form").display = False
        if not machines:
            self.action_new()

    def draw(self, machine: Machine, width: int) -> list[str]:
        """One line: an arrow at the chosen one, mark, name, how many parts, or that it is aside."""
        arrow = "→" if machine == chosen(self.tables) else ""
        parts = f"{len(self.tables.parts_of(machine.mark))} parts"
        stands = "set aside" if machine.aside else parts
        return [columns(width, (arrow, 1), (machine.mark, 3), (machine.name, 0), (stands, -11))]

    def action_aside(self) -> None:
        machine = self.query_one(Rows).current
        if machine is not None:
            with self.refusing():
                _, now = set_aside(self.book, machine.mark)
                said = f" On the bench: {now.name}." if now else " Enter takes it up again."
                self.dismiss(f"Set aside: {machine.name}.{said}")

    def action_new(self) -> None:
        self._open_form(None)

    def action_rename(self) -> None:
        machine = self.query_one(Rows).current
        if machine is not None:
            self._open_form(machine)

    def _open_form(self, machine: Machine | None) -> None:
        self._mark = machine.mark if machine else ""
        self["machine-name"].value = machine.name if machine else ""
        self["maker"].value = machine.maker if machine else ""
        self["model"].value = machine.model if machine else ""
        self["year"].value = str(machine.year or "") if machine else ""
        self["serial"].value = machine.serial if machine else ""
        self["machine-mark"].display = machine is None
        self.query_one("#machine-form").display = True
        self["machine-name"].input.focus()

    @on(RowOpened)
    def chosen_row(self, message: RowOpened[Machine]) -> None:
        """Changes to that machine."""
        with self.refusing():
            choose(self.book, message.item.mark)
            self.dismiss(f"On the bench: {message.item.name}.")

    def action_save(self) -> None:
        with self.refusing():
            fields = {name: self[name].value for name in ("maker", "model", "serial")}
            year = int(self["year"].value) if self["year"].value else None
            name = self["machine-name"].value
            if self._mark:
                edit_machine(self.book, self._mark, name=name, year=year, **fields)
            else:
                add(self.book, name, self["machine-mark"].value, year=year, **fields)
            self.dismiss(f"On the bench: {name}.")
