"""The questions of the fit card: figures for its lines, which items are new, why fit it anyway."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.errors import BadInput
from tagbench.records import Override, Part, replace
from tagbench.rules.count.fastener_lines import FastenerLine, lines_of, renewed_items
from tagbench.rules.describe.fasteners import torque_asked
from tagbench.rules.describe.phrases import named
from tagbench.rules.rebuild.burying import burying
from tagbench.rules.rebuild.fit_text import read_shorts, read_torques
from tagbench.rules.rebuild.links import Links, links_of
from tagbench.screens.build.fit_facts import burial_facts
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.columns import cut
from tagbench.screens.widgets.facts import CardPage, Facts, Labelled
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows
from tagbench.trade.fasteners.spelling import spell

FigureByLine = Mapping[int, float]
"""Line, counted from 1 → figure."""
LABELS = {"held up": "✗ held up", "torque": "✗ torque"}
LEAVE_OFF = Action("escape", "close", "Leave it off", "Closes the card; the part stays off.")
NOT_THIS = Action("escape", "close", "Go back", "Closes the card; the torque is not written down.")
NOT_WRITTEN = "Nothing is written down. Once it is loosened and tightened anew, T takes the torque."
STAYS = "It is written down with your reason and stays on the open list of the count."


@dataclass(frozen=True)
class Question:
    """What is asked for about some lines of a part."""

    words: str
    """In a sentence."""
    label: str
    """What stands before each field."""
    lines: Sequence[FastenerLine]
    """The lines."""
    hint: Callable[[FastenerLine], str]
    """What stands in the empty field of a line."""
    read: Callable[[Sequence[str]], FigureByLine]
    """Reads `2=45 N·m`; raises BadInput."""


def torque_question(part: Part, unit: str) -> Question:
    """Which torque each line was given: those with a range, or else all."""
    lines = list(lines_of([part]))
    return Question(
        words=f"Torque that was reached, in {unit} unless you type another unit.",
        label="Torqued to",
        lines=[line for line in lines if line.fastener.torque] or lines,
        hint=lambda line: torque_asked(line.fastener.torque, unit) if line.fastener.torque else "",
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


class LinesDialog(FormDialog[FigureByLine]):
    """A field for each line. Enter takes what was typed, from any field."""

    actions = (Action("enter", "save", "Write down", "Writes down what was typed."),)

    def __init__(self, part: Part, question: Question) -> None:
        super().__init__()
        self.heading = named(part)
        self._question = question

    def body(self) -> ComposeResult:
        yield Static(self._question.words, classes="words", markup=False)
        with CardPage(around=10, id="fit-lines", can_focus=False):
            for line in self._question.lines:
                words = f"{line.number}: {spell(replace(line.fastener, torque=None))}"
                yield Static(words, classes="line-words", markup=False)
                hint = self._question.hint(line)
                yield Field(self._question.label, id=f"line-{line.number}", hint=hint)

    def action_save(self) -> None:
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


class NewDialog(TagbenchDialog[set[int]]):
    """Gives the numbers of the lines that are new."""

    heading = "New ones"
    actions = (
        Action("space", "", "New", "Marks the item under the cursor as new."),
        Action("enter", "", "Done", "Takes the selected items as new."),
    )

    def __init__(self, part: Part, renewed: Collection[int]) -> None:
        super().__init__()
        self._lines = [line for line in lines_of([part]) if line.fastener.single_use]
        # What is asked is which are new, so those that are to be chosen are selected already.
        self._selected = set(renewed) or {line.number for line in self._lines}

    def body(self) -> ComposeResult:
        rows = Rows(draw_single_use, lambda line: str(line.number), id="new-lines", selectable=True)
        rows.show(self._lines)
        rows.selected_keys = {str(number) for number in self._selected}
        yield rows

    @on(RowOpened)
    def done(self) -> None:
        """Closes the card with what is selected."""
        self.dismiss({int(number) for number in self.query_one(Rows).selected_keys})


def draw_single_use(line: FastenerLine, width: int) -> list[str]:
    """One line: how many of what."""
    items = ", ".join(renewed_items(line))
    return [cut(f"{line.fastener.quantity} × {items}", width)]


def only_of_torque(refused: Sequence[tuple[Override, str]]) -> bool:
    """Whether nothing but the torque that was reached stands against it."""
    return all(override.what == "torque" for override, _ in refused)


class RefusedDialog(FormDialog[str]):
    """Gives the reason for fitting the part anyway; None when it is left off."""

    actions = (
        Action("enter", "anyway", "Fit anyway", "Fits it all the same; asks for your reason."),
        Action("pagedown", "scroll(1)", "More", "Goes down in the list."),
        Action("pageup", "scroll(-1)", "Page up", "Goes up in the list.", show=False),
    )

    def bar_actions(self) -> Iterable[Action]:
        """The keys; Escape leaves the part off, but one that is torqued is on the machine."""
        return (*self.actions, NOT_THIS if only_of_torque(self._refusals) else LEAVE_OFF)

    def __init__(self, part: Part, refusals: Sequence[tuple[Override, str]]) -> None:
        super().__init__()
        self.heading = f"Stop: {named(part)}"
        self._part = part
        self._refusals = refusals

    def body(self) -> ComposeResult:
        with CardPage(around=11, id="refused", can_focus=False):
            yield Facts(id="refusals")
        yield Field("Why anyway", id="why", example="your reason, in a word or two")

    def on_mount(self) -> None:
        links = links_of(self.tables, self._part.machine)
        self.query_one(Facts).show([*self._facts(links), Labelled("", ["", STAYS], "quiet")])
        self.query_one(Input).focus()

    def _facts(self, links: Links) -> Iterator[Labelled]:
        for override, words in self._refusals:
            burial = burying(self.tables, links, self._part.code)
            if override.what == "buried" and burial:
                yield from burial_facts(links, burial)
            else:
                yield Labelled(LABELS.get(override.what, ""), [words], "wrong")

    def action_scroll(self, by: int) -> None:
        self.query_one(CardPage).turn(by)

    def action_save(self) -> None:
        with self.refusing():
            why = self.query_one(Field).value
            if not why:
                raise BadInput("Say why in a word or two, or close the card with Esc.")
            self.dismiss(why)
