"""The torque wrench: its scale and unit, and an extension that changes the setting."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations.machines import edit_machine
from tagbench.records import Machine, replace
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.field import Field
from tagbench.trade.quantities.shown import show_length
from tagbench.trade.quantities.typed import parse_torque
from tagbench.trade.quantities.unit_words import standard_unit
from tagbench.trade.torque.lever import parse_lever
from tagbench.trade.torque.wrench import Lever

WORDS = "An extension changes what the wrench is to be set to; it holds for this part alone."


@dataclass(frozen=True)
class WrenchSet:
    """What was said about the wrench."""

    lever: Lever | None
    """The wrench with its extension; None without one."""
    words: str = ""
    """What was written down with the machine; empty where nothing was."""


class WrenchDialog(FormDialog[WrenchSet]):
    """Unit and scale are written down with the machine; the extension is given back."""

    heading = "Torque wrench"
    actions = (Action("enter", "save", "Take", "Takes what was typed, from any field."),)

    def __init__(self, machine: Machine, lever: Lever | None) -> None:
        super().__init__()
        self._machine = machine
        self._lever = lever

    def body(self) -> ComposeResult:
        yield Field("Unit", id="unit", hint="N·m, lbf·ft, lbf·in, kgf·m, kgf·cm")
        yield Field("Scale", id="scale", example="20-100 N·m")
        yield Static(WORDS, classes="words wrench-words", markup=False)
        yield Field("Wrench", id="wrench", hint="length from drive to mid-grip, 400 mm")
        yield Field("Extension", id="extension", hint="length from drive to fastener, 50 mm")
        yield Field("Angle", id="angle", hint="0 straight on, 90 square to the wrench")

    def on_mount(self) -> None:
        machine = self._machine
        self["unit"].value = machine.units.torque
        if machine.wrench_high:
            scale = f"{machine.wrench_low or 0:g}-{machine.wrench_high:g} {machine.units.torque}"
            self["scale"].value = scale
        if self._lever:
            self["wrench"].value = show_length(self._lever.wrench)
            self["extension"].value = show_length(self._lever.extension)
            self["angle"].value = f"{self._lever.angle_deg:g}"
        self["unit"].input.focus()

    def action_save(self) -> None:
        """Writes unit and scale down when they differ, and gives the extension back."""
        with self.refusing():
            lever = self._read_lever()
            changed = {
                name: value
                for name, value in self._read_machine().items()
                if value != getattr(self._machine, name)
            }
            words = ""
            if changed:
                machine = edit_machine(self.book, self._machine.mark, **changed)
                words = f"The wrench of {machine.name} is written down."
            self.dismiss(WrenchSet(lever, words))

    def _read_machine(self) -> dict[str, Any]:
        """Unit and scale as fields of the machine."""
        unit = standard_unit(self["unit"].value, "torque")
        fields: dict[str, Any] = {"units": replace(self._machine.units, torque=unit)}
        if self["scale"].value:
            scale = parse_torque(self["scale"].value, unit).to(unit)
            fields["wrench_low"], fields["wrench_high"] = float(scale.low), float(scale.high)
        return fields

    def _read_lever(self) -> Lever | None:
        """The lever; none without an extension, which leaves the setting as it is."""
        extension = self["extension"].value
        usual = self._machine.units.length
        if not extension:
            return None
        return parse_lever(self["wrench"].value, extension, self["angle"].value, usual)
