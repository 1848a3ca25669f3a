"""Which thread is it? Caliper readings, a pitch and perhaps the angle name it."""

from __future__ import annotations

from collections.abc import Mapping

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Label, Static

from tagbench.errors import BadInput
from tagbench.reports.thread_text import candidate_mark, limits_words, pitch_words
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import ScreenMixin, TagbenchDialog
from tagbench.screens.widgets.columns import columns, cut
from tagbench.screens.widgets.fastener_field import FastenerField
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows
from tagbench.trade.threads import Candidate
from tagbench.trade.threads.caliper import Named, name_measured

MEASURE = Action(
    "ctrl+n", "measure", "Measure", "Names a thread from the caliper and puts it in the fasteners."
)
"""The key of every form with a field for fasteners."""
EMPTY = "What was measured names the thread; the pitch decides."
SCREW, HOLE = "Across", "Inside"


class MeasureThreadDialog(TagbenchDialog[str]):
    """Gives the designation that was chosen. The list follows the fields as one types."""

    CSS_PATH = stylesheets("field", "card", "measure")
    heading = "Measure a thread"
    actions = (
        Action("enter", "take", "Take", "Puts the thread under the cursor into the fasteners."),
        Action("ctrl+o", "turn", "Screw or hole", "Changes between a screw and a threaded hole."),
        Action("up", "step(-1)", "Up", "Goes up in the list.", show=False),
        Action("down", "step(1)", "Down", "Goes down in the list.", show=False),
    )

    def __init__(self, unit: str, threads: Mapping[str, str]) -> None:
        """`unit` goes for readings without one; `threads` are those of the machine, with a part."""
        super().__init__()
        self._unit = unit
        self._threads = threads
        self._internal = False

    def body(self) -> ComposeResult:
        several = "4.95 4.96 4.94 mm, several readings" if self._unit == "mm" else "0.248 0.249 in"
        yield Field(SCREW, id="across", hint=several)
        yield Field("Pitch", id="pitch", hint="0.8, or 20 tpi, or 10 threads in 12.5 mm")
        yield Field("Angle", id="angle", hint="60, 55 or 47.5 if it was seen; may stay empty")
        yield Static(EMPTY, id="measured", markup=False)
        yield Rows(self.draw, lambda one: one.designation, id="candidates", height=2, driven=True)

    def on_mount(self) -> None:
        self["across"].input.focus()
        self.fit()

    def __getitem__(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    def read(self) -> Named:
        """What the fields say it may be. Raises BadInput."""
        return name_measured(
            self["across"].value,
            self["pitch"].value,
            angle=self["angle"].value,
            internal=self._internal,
            unit=self._unit,
        )

    @on(Input.Changed)
    def fit(self) -> None:
        """Lists what fits the fields so far."""
        self.notice.clear()
        try:
            named = self.read()
        except BadInput as error:
            self._show(str(error) if self["across"].value else EMPTY, [])
        else:
            words = " ".join(filter(None, [named.sentence, named.across.note]))
            self._show(words, named.candidates)

    def _show(self, words: str, candidates: list[Candidate]) -> None:
        self.query_one("#measured", Static).update(words)
        self.query_one(Rows).show_first(candidates)

    def draw(self, one: Candidate, width: int) -> list[str]:
        """Two lines: the thread, its limits and pitch; what is to be said about it."""
        name = f"{candidate_mark(one)} {one.designation}"
        pitch = pitch_words(one.designation, one.pitch_mm, short=True)
        angle = f"{one.angle_deg:g}°"
        first = columns(width, (name, 16), (limits_words(one), 17), (pitch, 0), (angle, -5), gap=2)
        here = self._threads.get(one.designation, "")
        note = "; ".join(filter(None, [f"also on {here}" if here else "", one.note]))
        return [first, cut(f"  {note}", width)]

    def action_step(self, by: int) -> None:
        """Moves the cursor without leaving the field."""
        self.query_one(Rows).action_step(by)

    def action_turn(self) -> None:
        """Measures the inside of a hole instead of a screw, and back."""
        self._internal = not self._internal
        self["across"].query_one(Label).update(HOLE if self._internal else SCREW)
        self.fit()

    @on(Input.Submitted)
    def action_take(self) -> None:
        """Gives the thread under the cursor."""
        with self.refusing():
            self.read()  # says what is missing
            self._give(self.query_one(Rows).current)

    @on(Opened)
    def chosen(self, message: Opened[Candidate]) -> None:
        """Gives the thread that was clicked."""
        self._give(message.item)

    def _give(self, one: Candidate | None) -> None:
        if one is not None:
            self.dismiss(one.designation)


async def measure_into(screen: ScreenMixin, field: FastenerField, mark: str) -> None:
    """Asks what was measured; the thread that is chosen goes into the field at the cursor.

    `mark` is the machine's: its unit goes for readings without one. Only in a worker.
    """
    machine = screen.tables.machines.get(mark)
    unit = machine.units.length if machine else "mm"
    thread = await screen.ask(MeasureThreadDialog(unit, field.hints.threads))
    if thread is not None:
        field.insert(thread)
