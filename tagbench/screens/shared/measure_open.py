"""The card that answers an open question: which thread, or which size, the fasteners have."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations.open_questions import answer_question
from tagbench.errors import BadInput, NotFound
from tagbench.records import Fastener
from tagbench.rules.count.mixed_threads import threads_on
from tagbench.rules.describe.part import machine_of
from tagbench.rules.describe.phrases import named
from tagbench.rules.open_questions import (
    THREAD,
    OpenQuestion,
    answered,
    open_question,
    open_questions_of,
)
from tagbench.rules.scan import part_with
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import ScreenMixin
from tagbench.screens.shared.form import FormDialog, PickerDialog
from tagbench.screens.shared.measure_thread import MeasureThreadDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.threads import ThreadCandidate
from tagbench.trade.threads.designation import parse_thread

MEASURE_OPEN = Action(
    "t", "measure_open", "Thread", "Measures fasteners whose thread or size is not yet known."
)
"""The key of every screen that shows open questions."""
NOTHING_ASKED = "Every thread and size is known; nothing needs measuring."


class OpenQuestionsDialog(PickerDialog[OpenQuestion, OpenQuestion]):
    """Gives the line that is to be measured."""

    heading = "Which one is measured?"
    hint = "part of a name, a kind, a code"
    none_found = "Nothing like that needs measuring."
    takes_code = "part"
    row_height = 2
    actions = (Action("enter", "save", "Measure", "Measures the line under the cursor."),)

    def __init__(self, questions: Sequence[OpenQuestion]) -> None:
        super().__init__()
        self._questions = questions

    def found(self) -> list[OpenQuestion]:
        return self.fitting(self._questions, lambda one: one.words)

    def key(self, item: OpenQuestion) -> str:
        return item.key

    def draw(self, item: OpenQuestion, width: int) -> list[str]:
        asked = f"{spell(item.line.fastener)}, {open_question(item.line.fastener)}"
        return [
            columns(width, (asked, 0), gap=2),
            columns(width, ("", 2), (named(item.line.part), 0), gap=2),
        ]


class NameThreadDialog(MeasureThreadDialog):
    """Names the thread of an open line by the caliper, or by its name where that is known."""

    actions = (
        Action("enter", "save", "Write down", "Writes the thread down, from any field."),
        MeasureThreadDialog.actions[1],
    )

    def __init__(self, unit: str, threads: dict[str, str], question: OpenQuestion) -> None:
        super().__init__(unit, threads)
        self.heading = f"{spell(question.line.fastener)} of {named(question.line.part)}"

    def body(self) -> ComposeResult:
        yield from super().body()
        yield Field("Or known", id="known", example="M6, 2BA, 1/4 BSF, if a nut fits")

    def take(self, item: ThreadCandidate | None) -> None:
        """Gives the thread that was typed, else the one under the cursor."""
        with self.refusing():
            if known := self["known"].value:
                self.dismiss(parse_thread(known).designation)
            else:
                super().take(item)


class NameSizeDialog(FormDialog[str]):
    """Gives the size of an open line, as it is typed."""

    actions = (Action("enter", "save", "Write down", "Writes the size down."),)

    def __init__(self, question: OpenQuestion) -> None:
        super().__init__()
        self.heading = f"{spell(question.line.fastener)} of {named(question.line.part)}"
        self._fastener: Fastener = question.line.fastener

    def body(self) -> ComposeResult:
        yield Static("What was measured of it?", classes="words", markup=False)
        yield Field("Size", id="size", example="3.2x32; a bearing by its number, 6202")

    def action_save(self) -> None:
        with self.refusing():
            size = self["size"].value
            if not size:
                raise BadInput("Type the size that was measured, such as 3.2x32.")
            answered(self._fastener, size)
            self.dismiss(size)


async def measure_open(screen: ScreenMixin, questions: Sequence[OpenQuestion]) -> str | None:
    """Asks which line is measured, and what was measured of it; writes it down.

    Gives the words that say so; None when nothing was. Only in a worker.
    """
    if not questions:
        screen.refuse(NOTHING_ASKED)
        return None
    if len(questions) == 1:
        return await measure_line(screen, questions[0])
    chosen = await screen.ask(OpenQuestionsDialog(questions))
    return None if chosen is None else await measure_line(screen, chosen)


async def measure_line(screen: ScreenMixin, question: OpenQuestion) -> str | None:
    """Asks what was measured of a line, and writes it down. Only in a worker."""
    part = question.line.part
    if open_question(question.line.fastener) == THREAD:
        threads = threads_on(screen.tables.parts_of(part.machine), but=part.code)
        unit = machine_of(part, screen.tables).units.length
        text = await screen.ask(NameThreadDialog(unit, threads, question))
    else:
        text = await screen.ask(NameSizeDialog(question))
    done = []
    with screen.refusing():
        if text is not None:
            after = answer_question(screen.book, part.code, question.line.number, text)
            fastener = after.fasteners[question.line.number - 1]
            done.append(f"Written down: {spell(fastener)} of {named(after)}.")
    return next(iter(done), None)


def question_named(screen: ScreenMixin, key: str) -> OpenQuestion:
    """The open question with that name on lists; NotFound when it was answered meanwhile."""
    code = key.partition(":")[2].partition("/")[0]
    for one in open_questions_of([part_with(screen.tables, code)]):
        if one.key == key:
            return one
    raise NotFound("That has been measured in the meantime.")
