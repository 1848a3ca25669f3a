"""Which thread is it? Caliper readings, a pitch and perhaps the angle name it."""

from __future__ import annotations

from collections.abc import Mapping

from textual.app import ComposeResult
from textual.widgets import Label, Static

from tagbench.errors import BadInput
from tagbench.reports.thread_text import candidate_sign, limits_words, pitch_words
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import ScreenMixin
from tagbench.screens.shared.form import PickerDialog
from tagbench.screens.widgets.columns import columns, cut
from tagbench.screens.widgets.fastener_field import FastenerField
from tagbench.screens.widgets.field import Field
from tagbench.trade.threads import ThreadCandidate
from tagbench.trade.threads.caliper import NamedThread, name_measured

MEASURE = Action(
    "ctrl+r", "measure", "Measure", "Names a thread from the caliper and puts it in the fasteners."
)
"""The key of every form with a field for fasteners."""
EMPTY = "What was measured names the thread; the pitch decides."
SCREW, HOLE = "Across", "Inside"


class MeasureThreadDialog(PickerDialog[ThreadCandidate, str]):
    """Gives the designation that was chosen. The list follows the fields as one types."""

    CSS_PATH = stylesheets("field", "card", "measure")
    heading = "Measure a thread"
    row_height = 2
    actions = (
        Action("enter", "save", "Take", "Puts the thread under the cursor into the fasteners."),
        Action("ctrl+o", "turn", "Screw or hole", "Changes between a screw and a threaded hole."),
    )

    def __init__(self, unit: str, threads: Mapping[str, str]) -> None:
        """`unit` goes for readings without one; `threads` are those of the machine, with a part."""
        super().__init__()
        self._unit = unit
        self._threads = threads
        self._internal = False

    def body(self) -> ComposeResult:
        several = "4.95 4.96 4.94 mm, several readings" if self._unit == "mm" else "0.248 0.249 in"
        yield Field(SCREW, id="across", example=several)
        yield Field("Pitch", id="pitch", example="0.8, or 20 tpi, or 10 threads in 12.5 mm")
        yield Field("Angle", id="angle", hint="60, 55 or 47.5 if it was seen; may stay empty")
        yield Static(EMPTY, id="measured", markup=False)
        yield self.make_rows()

    def read(self) -> NamedThread:
        """What the fields say it may be. Raises BadInput."""
        return name_measured(
            self["across"].value,
            self["pitch"].value,
            angle=self["angle"].value,
            internal=self._internal,
            unit=self._unit,
        )

    def found(self) -> list[ThreadCandidate]:
        """What fits the fields so far; says what that is, or what is missing."""
        try:
            named = self.read()
        except BadInput as error:
            words = str(error) if self["across"].value else EMPTY
            fitting = []
        else:
            words, fitting = (
                " ".join(filter(None, [named.sentence, named.across.note])),
                named.candidates,
            )
        self.query_one("#measured", Static).update(words)
        return fitting

    def key(self, item: ThreadCandidate) -> str:
        return item.designation

    def draw(self, item: ThreadCandidate, width: int) -> list[str]:
        name = f"{candidate_sign(item)} {item.designation}"
        pitch = pitch_words(item.designation, item.pitch_mm, short=True)
        angle = f"{item.angle_deg:g}°"
        cells = [(name, 16), (limits_words(item), 17), (pitch, 0), (angle, -5)]
        here = self._threads.get(item.designation, "")
        note = "; ".join(filter(None, [f"also on {here}" if here else "", item.note]))
        return [columns(width, *cells, gap=2), cut(f"  {note}", width)]

    def action_turn(self) -> None:
        self._internal = not self._internal
        self["across"].query_one(Label).update(HOLE if self._internal else SCREW)
        self.narrow()

    def take(self, item: ThreadCandidate | None) -> None:
        with self.refusing():
            self.read()  # says what is missing
            if item is not None:
                self.dismiss(item.designation)


async def measure_into(screen: ScreenMixin, field: FastenerField, mark: str) -> None:
    """Asks what was measured; the thread that is chosen goes into the field at the cursor.

    `mark` is the machine's: its unit goes for readings without one. Only in a worker.
    """
    machine = screen.tables.machines.get(mark)
    unit = machine.units.length if machine else "mm"
    thread = await screen.ask(MeasureThreadDialog(unit, field.hints.threads))
    if thread is not None:
        field.insert(thread)
