"""What can be done: a list to choose from, and the help that says it at length.

Both come from the registry and begin with the screen or card that is open, so that every action
can be done without its key: on keyboards without function keys, and where the terminal, the
desktop or a multiplexer keeps the key for itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap
from typing import Any, NamedTuple

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from tagbench.screens.frame.actions import ACTIONS, ANYWHERE, CLOSE, IN_LISTS, Action
from tagbench.screens.frame.registry import SCREENS
from tagbench.screens.shared.base import TagbenchDialog, TagbenchScreen
from tagbench.screens.shared.form import PickerDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.facts import CardPage
from tagbench.screens.widgets.rows import RowLines

KEY_WIDTH = 10
INDENT = " " * (KEY_WIDTH + 1)
AROUND = 10
"""Columns of the card beside a sentence, at both sides."""
SCANNING = (
    "A hand scanner works on every screen and in every field: what is on the tag opens, and the "
    "field is left as it was. A spare tag opens the strip form for its code."
)
ON_SCREENS = "app.go("


class ActionSection(NamedTuple):
    """Some actions under a title."""

    title: str
    actions: Sequence[Action]
    here: bool
    """Whether they can be done from where the person is."""


def sections(here: TagbenchScreen | TagbenchDialog[Any] | None) -> Iterator[ActionSection]:
    """The open screen or card first, then what works everywhere, the screens, the others."""
    title = ""
    if isinstance(here, TagbenchScreen):
        title = screen_title(here.screen_name)
        yield ActionSection(f"On {title}", here.all_actions(), here=True)
    elif here is not None:
        yield ActionSection(
            "On this card", [a for a in here.all_actions() if a.action != ACTIONS.action], here=True
        )
    in_reach = not isinstance(here, TagbenchDialog)
    yield ActionSection("Everywhere", [a for a in ANYWHERE if not _goes(a)], in_reach)
    yield ActionSection("Screens", list(_screens()), in_reach)
    yield ActionSection("In lists", IN_LISTS, here=False)
    for entry in SCREENS:
        if entry.title != title:
            yield ActionSection(f"On {entry.title}", entry.kind().all_actions(), here=False)


def screen_title(name: str) -> str:
    """The title of the screen of that name."""
    return next(entry.title for entry in SCREENS if entry.name == name)


def _goes(action: Action) -> bool:
    return action.action.startswith(ON_SCREENS)


def _screens() -> Iterator[Action]:
    """Every screen that can be gone to, with its key where it has one."""
    for entry in SCREENS:
        if entry.by_name:
            yield Action(entry.key, f"{ON_SCREENS}'{entry.name}')", entry.title, entry.help)


class ActionsDialog(PickerDialog[Action, Action]):
    """Gives the action that was chosen: those of the open screen first; type to filter."""

    heading = "What to do"
    label = "Find"
    hint = "part of a word: print, photo, count"
    none_found = "Nothing goes by that name."
    actions = (Action("enter", "save", "Do it", "Does what is under the cursor."),)

    def __init__(self, here: TagbenchScreen | TagbenchDialog[Any] | None) -> None:
        super().__init__()
        self._choices = [
            action
            for section in sections(here)
            if section.here
            for action in section.actions
            if action.action not in (ACTIONS.action, CLOSE.action)
        ]

    def found(self) -> list[Action]:
        return self.fitting(self._choices, _found_by)

    def key(self, item: Action) -> str:
        return f"{item.key} {item.action}"

    def draw(self, item: Action, width: int) -> RowLines:
        key = item.key_words if item.key else ""
        return [columns(width, (item.description, 14), (key, KEY_WIDTH), (item.tooltip, 0), gap=2)]


def _found_by(action: Action) -> str:
    return f"{action.description} {action.tooltip} {action.key_words}"


class HelpDialog(TagbenchDialog[Action]):
    """Everything that can be done, and with which key; a click on a line does it."""

    heading = "Keys"
    AUTO_FOCUS = "#help"

    def __init__(self, here: TagbenchScreen | TagbenchDialog[Any] | None) -> None:
        super().__init__()
        self._sections = list(sections(here))
        self._can_be_done = [a for part in self._sections if part.here for a in part.actions]

    @classmethod
    def all_actions(cls) -> tuple[Action, ...]:
        """The help needs no help."""
        return (CLOSE,)

    def body(self) -> ComposeResult:
        with CardPage(around=8, id="help"):
            for section in self._sections:
                yield Static(section.title, classes="section", markup=False)
                # One widget for all lines of a section: one for each would open a second later.
                lines = (self._line(action, section.here) for action in section.actions)
                yield Static(Content("\n").join(lines), classes="help-line")
            yield Static("Scanning", classes="section", markup=False)
            yield Static(SCANNING, classes="words", markup=False)

    def _line(self, action: Action, here: bool) -> Content:
        """The key in bold, then the sentence beside it."""
        room = max(40, min(self.app.size.width, 76) - AROUND - len(INDENT))
        sentence = f"\n{INDENT}".join(wrap(action.tooltip, room))
        markup = "[bold $primary]$key[/] $help"
        if here:
            markup = f"[@click=screen.choose({self._can_be_done.index(action)})]{markup}[/]"
        return Content.from_markup(markup, key=action.key_words.ljust(KEY_WIDTH), help=sentence)

    def action_choose(self, at: int) -> None:
        self.dismiss(self._can_be_done[at])
