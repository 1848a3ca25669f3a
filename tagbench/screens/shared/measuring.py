"""Measuring a thread from the form of a part: one key wherever there is a field for fasteners."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagbench.screens.frame.actions import Action

if TYPE_CHECKING:
    from tagbench.screens.shared.base import AtTheBench
    from tagbench.screens.widgets.fastener_field import FastenerField

MEASURE = Action(
    "ctrl+n", "measure", "Measure", "Names a thread from the caliper and puts it in the fasteners."
)


def measure_thread(here: AtTheBench, field: FastenerField, mark: str) -> None:
    """Asks what was measured; the thread that is chosen goes in where the cursor is.

    `mark` is the machine's: its unit goes for readings without one.
    """
    from tagbench.screens.shared.measure_thread import MeasureThreadDialog

    def named(designation: str | None) -> None:
        if designation is not None:
            field.insert(designation)

    machine = here.tables.machines.get(mark)
    unit = machine.units.length if machine else "mm"
    here.bench_app.push_screen(MeasureThreadDialog(unit, field.hints.threads), named)
