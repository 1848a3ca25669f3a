"""One figure for each line of fasteners: the torque it was given, or how many are missing."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.errors import BadInput
from tagbench.records import Part, replace
from tagbench.rules.count.fastener_lines import Line, lines_of
from tagbench.rules.rebuild.fit_text import read_shorts, read_torques
from tagbench.rules.rebuild.guide import torque_in
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.card_page import CardPage
from tagbench.screens.widgets.field import Field
from tagbench.trade.fasteners.spelling import spell

Figures = Mapping[int, float]
"""Line, counted from 1 → figure."""


@dataclass(frozen=True)
class Question:
    """What is asked for about some lines of a part."""

    words: str
    """In a sentence."""
    label: str
    """What stands before each field."""
    lines: Sequence[Line]
    """The lines."""
    hint: Callable[[Line], str]
    """What stands in the empty field of a line."""
    read: Callable[[Sequence[str]], Figures]
    """Reads `2=45 N·m`; raises BadInput."""


def torque_question(part: Part, unit: str) -> Question:
    """Which torque each line was given: those with a range, or else all."""
    lines = list(lines_of([part]))
    return Question(
        words=f"Torque that was reached, in {unit} unless you type another unit.",
        label="Torqued to",
        lines=[line for line in lines if line.fastener.torque] or lines,
        hint=lambda line: torque_in(line.fastener.torque, unit) if line.fastener.torque else "",
        read=lambda texts: read_torques(part, texts, unit),
    )


def missing_question(part: Part) -> Question:
    """How many fasteners of each line are missing."""
    return Question(
        words="How many are missing? 0 when they have turned up.",
        label="Short by",
        lines=list(lines_of([part])),
        hint=lambda line: str(line.fastener.short),
        read=lambda texts: read_shorts(part, texts),
    )


class LinesDialog(TagbenchDialog[Figures]):
    """A field for each line. Enter takes what was typed, from any field."""

    actions = (
        Action("enter", "take", "Write down", "Writes down what was typed."),
        Action("down", "app.focus_next", "Next", "Goes to the next line.", show=False),
        Action("up", "app.focus_previous", "Up", "Goes to the line before.", show=False),
    )

    def __init__(self, part: Part, question: Question) -> None:
        super().__init__()
        self.heading = f"{part.name} {part.code}"
        self._question = question

    def body(self) -> ComposeResult:
        yield Static(self._question.words, classes="words", markup=False)
        with CardPage(around=10, id="fit-lines", can_focus=False):
            for line in self._question.lines:
                words = f"{line.number}: {spell(replace(line.fastener, torque=None))}"
                yield Static(words, classes="line-words", markup=False)
                hint = self._question.hint(line)
                yield Field(self._question.label, id=f"line-{line.number}", hint=hint)

    def on_mount(self) -> None:
        self.query(Input).first().focus()

    @on(Input.Submitted)
    def action_take(self) -> None:
        """Reads the fields and closes the card."""
        with self.refusing():
            texts = list(self._typed())
            if not texts:
                raise BadInput("Type a figure, or close the card with Esc.")
            self.dismiss(self._question.read(texts))

    def _typed(self) -> Iterator[str]:
        for line in self._question.lines:
            value = self.query_one(f"#line-{line.number}-field", Field).value
            if value:
                yield f"{line.number}={value}"
