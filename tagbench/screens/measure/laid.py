"""The fasteners of a picture in groups: each confirmed, changed or left out with one key."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.errors import BadInput, TagbenchError
from tagbench.measure.extra import HONEST
from tagbench.measure.lay.group_text import as_fasteners
from tagbench.measure.waiting import drop, measured
from tagbench.records import Fastener
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import CARDS, TagbenchDialog
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.columns import columns, cut
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows

if TYPE_CHECKING:
    from tagbench.measure.lay.groups import LaidGroups

_REASONS = 2
"""So many reasons why pieces are not measured are told where the terminal is low."""


@dataclass(frozen=True, slots=True)
class GroupChoice:
    """A group and what the person said of it."""

    number: int
    quantity: int
    names: tuple[str, ...]
    """What it may be; the first one is what it is taken for now."""
    figures: str
    source: str
    state: str = "?"
    """`?` not yet looked at, `✓` confirmed, `-` left out."""
    typed: bool = False
    """Whether the person typed it: then it is no longer as it was measured."""

    @property
    def text(self) -> str:
        """As fasteners are typed."""
        return f"{self.quantity}x {self.names[0]}"


class LaidDialog(TagbenchDialog[tuple[Fastener, ...]]):
    """Gives the fasteners that were confirmed, with where their figures come from."""

    CSS_PATH = stylesheets("field", "card", "laid")
    AUTO_FOCUS = "#groups"
    actions = (
        Action("enter", "", "Right", "Confirms the group; after the last one, takes them all."),
        Action("right", "other(1)", "Other", "Takes the next thread that it may be."),
        Action("left", "other(-1)", "Before", "Takes the thread before.", show=False),
        Action(
            "delete,backspace",
            "leave_out",
            "Leave out",
            "Leaves the group out, or takes it in again.",
        ),
        Action("ctrl+e", "correct", "Correct", "Types what it is instead."),
        Action("ctrl+o", "take", "Take", "Puts what is confirmed into the fasteners."),
    )

    def __init__(self, picture: Path) -> None:
        super().__init__()
        self.heading = f"Laid out: {picture.name}"
        self._picture = picture
        self._choices: list[GroupChoice] = []
        self.progress = "…"
        """What is being done; ends without dots."""

    def body(self) -> ComposeResult:
        yield Static("Measuring …", id="laid-words", markup=False)
        yield Rows(draw_choice, lambda one: f"{one.number}", id="groups", height=2)
        yield Static("", id="laid-unclear", markup=False)
        yield Static(HONEST, classes="quiet", markup=False)

    def on_mount(self) -> None:
        self._look_at()

    @work(thread=True, exclusive=True)
    def _look_at(self) -> None:
        """Beside the screen: it takes seconds."""
        try:
            found = measured(self._picture, self._progress)
            if found.error:
                raise BadInput(found.error)
        except TagbenchError as error:
            self.app.call_from_thread(self._failed, str(error))
            return
        choices = [
            GroupChoice(
                number=number,
                quantity=one.quantity,
                names=(one.name, *one.others),
                figures="; ".join(filter(None, (one.figures, one.note))),
                source=one.source,
            )
            for number, one in enumerate(found.groups, 1)
        ]
        self.app.call_from_thread(self._show, choices, found)

    def _progress(self, step: str) -> None:
        self.app.call_from_thread(self._say, f"{step} …")

    def _say(self, words: str) -> None:
        self.progress = words
        if self.is_mounted:
            self.query_one("#laid-words", Static).update(words)

    def _failed(self, words: str) -> None:
        if self.is_mounted:
            self._say("Nothing was measured.")
            self.refuse(words)

    def _show(self, choices: list[GroupChoice], found: LaidGroups) -> None:
        if not self.is_mounted:
            return
        self._choices = choices
        self.rows.show(choices)
        self.rows.focus()
        self._say(counted_words(choices))
        from tagbench.measure.lay.groups import not_measured  # the extra is there by now

        lines = [found.note] if found.note else []
        reasons = not_measured(found.unclear)
        room = len(reasons) if self.has_class("-high") else _REASONS
        lines += [f"✗ {one}" for one in reasons[:room]]
        if len(reasons) > room:
            lines.append(f"✗ and others, for {len(reasons) - room} more reasons")
        self.query_one("#laid-unclear", Static).update("\n".join(lines))

    @property
    def rows(self) -> Rows[GroupChoice]:
        """The groups."""
        return self.query_one("#groups", Rows)

    def _put(self, choice: GroupChoice) -> None:
        self._choices = [choice if one.number == choice.number else one for one in self._choices]
        self.rows.show(self._choices)
        self._say(counted_words(self._choices))

    @on(RowOpened)
    def confirm(self, message: RowOpened[GroupChoice]) -> None:
        """Confirms the group and goes to the next open one; after the last takes them all."""
        message.stop()
        if all(one.state != "?" for one in self._choices):
            self.action_take()
            return
        self._put(replace(message.item, state="✓"))
        still = [at for at, one in enumerate(self._choices) if one.state == "?"]
        if still:
            self.rows.cursor = next((at for at in still if at > self.rows.cursor), still[0])
        else:
            self.tell("Every group has been looked at; Enter puts them into the fasteners.")

    def action_other(self, by: int) -> None:
        """Takes another thread that it may be, and confirms nothing yet."""
        if (one := self.rows.current) is not None:
            if len(one.names) < 2:
                self.refuse("No other thread fits what was measured; Ctrl+E types what it is.")
                return
            names = one.names[by:] + one.names[:by]
            self._put(replace(one, names=names, state="?"))

    def action_leave_out(self) -> None:
        if (one := self.rows.current) is not None:
            self._put(replace(one, state="?" if one.state == "-" else "-"))
            self.rows.cursor += 1

    @work(group=CARDS)
    async def action_correct(self) -> None:
        if (one := self.rows.current) is not None:
            text = await self.ask(CorrectDialog(one.text))
            if text:
                self._put(replace(one, names=(text,), state="✓", typed=True))

    def action_take(self) -> None:
        sure = [one for one in self._choices if one.state == "✓"]
        if not sure:
            self.refuse("Confirm at least one group first, with Enter; Esc takes nothing.")
            return
        with self.refusing():
            found = [
                fastener
                for one in sure
                for fastener in as_fasteners(
                    one.names[0] if one.typed else one.text, one.source, typed=one.typed
                )
            ]
            drop(self._picture)
            self.dismiss(tuple(found))


class CorrectDialog(FormDialog[str]):
    """Gives what the pieces are, as fasteners are typed."""

    heading = "What are they?"
    actions = (Action("enter", "save", "Take", "Takes what was typed."),)

    def __init__(self, text: str) -> None:
        super().__init__()
        self._text = text

    def body(self) -> ComposeResult:
        yield Field("Fasteners", id="laid-text", example="3x M6x1x25 hex")

    def on_mount(self) -> None:
        self["laid-text"].value = self._text
        self["laid-text"].input.focus()

    def action_save(self) -> None:
        if not self["laid-text"].value:
            self.refuse("Type what they are, such as 3x M6x1x25 hex; Esc leaves it as it was.")
        else:
            self.dismiss(self["laid-text"].value)


def counted_words(choices: list[GroupChoice]) -> str:
    """How many pieces and groups, and how many still to confirm."""
    pieces = sum(one.quantity for one in choices)
    still = sum(one.state == "?" for one in choices)
    groups = "1 group" if len(choices) == 1 else f"{len(choices)} groups"
    return f"{pieces} pieces in {groups}; {still} to look at."


def draw_choice(one: GroupChoice, width: int) -> list[str]:
    """Two lines: what it is taken for; what was measured, and what else it may be."""
    text = one.names[0] if one.typed else one.text
    more = f"→ {one.names[1]}" if len(one.names) > 1 else ""
    head = columns(width, (one.state, 1), (text, 0), (more, -26 if width > 60 else -18), gap=1)
    return [head, cut(f"  {one.figures}", width)]
