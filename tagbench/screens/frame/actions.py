"""One registry of what can be done: it feeds the keys, the key bar and the help.

An `Action` is written down once, beside the screen it belongs to (`TagbenchScreen.actions`) or
here when it works everywhere. Screens are listed in `tables/screens.csv`.

Keys are function keys or control keys. Letters belong to the field that is being typed in, and a
hand scanner "types" them; so a screen may use them only while its list has the focus, and the app
keeps each back until it is sure that no scanner sent it. Left out as well are the keys that
a terminal keeps for itself (flow control, job control, and those that look like Enter, Tab,
Escape or backspace) and those that edit a field.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from textual.binding import Binding, BindingType

from tagbench.screens.frame.registry import SCREENS

NEW_KEY = "ctrl+n"
"""The one key for something new on every screen and card, and for nothing else."""


@dataclass(frozen=True, init=False)
class Action(Binding):
    """A binding of Textual's with a sentence for the help.

    `key` may name several with commas; the first one is shown. `action` is empty when a list or a
    field sees to the key itself. `description` is a word or two for the key bar, where it stands
    while `show` is true; `tooltip` is the sentence for the help, which lists it in any case.
    """

    writes: bool = False
    """Whether the letter writes something right away, without a card or a question."""

    def __init__(
        self,
        key: str,
        action: str,
        description: str,
        tooltip: str,
        show: bool = True,
        *,
        writes: bool = False,
        **others: Any,
    ) -> None:
        super().__init__(key, action, description, show, tooltip=tooltip, **others)
        object.__setattr__(self, "writes", writes)

    @property
    def first_key(self) -> str:
        """The key that is shown."""
        return self.key.split(",", 1)[0]

    @property
    def is_letter(self) -> bool:
        """Whether it is a letter, which works while no field has the focus."""
        return len(self.first_key) == 1

    @property
    def key_words(self) -> str:
        """The key as it is printed on a keyboard: `Ctrl+O`, `F2`, `Esc`."""
        return spell_key(self.first_key)


_KEY_WORDS = {
    "escape": "Esc",
    "question_mark": "?",
    "pagedown": "PgDn",
    "pageup": "PgUp",
    "up": "↑",
    "down": "↓",
    "left": "←",
    "right": "→",
}


def spell_key(key: str) -> str:
    """A key as it is printed on a keyboard."""
    return "+".join(_KEY_WORDS.get(part, part.capitalize()) for part in key.split("+"))


def _go_actions() -> tuple[Action, ...]:
    with_key = sorted(
        (entry for entry in SCREENS if entry.key), key=lambda entry: (len(entry.key), entry.key)
    )
    return tuple(
        Action(entry.key, f"app.go('{entry.name}')", entry.title, entry.help) for entry in with_key
    )


HELP = Action("f1", "app.help", "Help", "Lists every key, those of this screen first.")
ACTIONS = Action(
    "ctrl+g", "app.actions", "More", "Lists all that can be done here, and does what is chosen."
)
TAKE_BACK = Action(
    "ctrl+t", "app.history", "Take back", "Shows what was done and takes the last change back."
)
LEFT_OVER = Action(
    "ctrl+q",
    "app.left_over",
    "Left over",
    "Writes down what was found on the bench: M6 bolt 20 long, bench floor.",
    show=False,
)
FOLLOW = Action(
    "f12", "app.follow", "Phone", "Shows what a phone opened while you were typing.", show=False
)
LIGHT = Action("ctrl+l", "app.light", "Light", "Changes between light and dark screens.")
LARGE = Action(
    "",
    "app.large",
    "Large",
    "Draws keys, codes and main facts large where the terminal is high, or as usual again.",
    show=False,
)
OWN_BOOK = Action(
    "",
    "app.own_book",
    "Own book",
    "Goes back from a copy to the book itself.",
    show=False,
)
SUSPEND = Action(
    "ctrl+z",
    "app.suspend_process",
    "Shell",
    "Goes back to the shell for a while; fg brings tagbench back.",
    show=False,
)
LEAVE = Action(
    "ctrl+c", "app.leave", "Leave", "Closes tagbench; everything is saved already.", show=False
)

ANYWHERE: tuple[Action, ...] = (
    HELP,
    *_go_actions(),
    TAKE_BACK,
    LEFT_OVER,
    FOLLOW,
    LIGHT,
    LARGE,
    OWN_BOOK,
    SUSPEND,
    LEAVE,
    ACTIONS,
)
"""What works on every screen; the last one keeps its place where the key bar is short."""

BACK = Action("escape", "back", "Back", "Goes back to where you came from, in the end to Bench.")
"""What every screen but Bench has."""

CLOSE = Action("escape", "close", "Close", "Closes the card and changes nothing.")
"""What every dialog has."""

IN_LISTS: tuple[Action, ...] = (
    Action("up", "step(-1)", "Up", "Goes up one row."),
    Action("down", "step(1)", "Down", "Goes down one row."),
    Action("pageup", "page(-1)", "Page up", "Goes up a screenful."),
    Action("pagedown", "page(1)", "Page down", "Goes down a screenful."),
    Action("home", "first", "First", "Goes to the first row."),
    Action("end", "last", "Last", "Goes to the last row."),
    Action("enter", "open", "Open", "Opens the row under the cursor; so does a second click."),
    Action("question_mark", "app.help", "Help", "Lists every key, those of this screen first."),
)
"""What works in every list."""


def _with_capitals(keys: Iterable[str]) -> Iterable[str]:
    ways = ((key, key.upper()) if len(key) == 1 else (key,) for key in keys)
    return dict.fromkeys(way for either in ways for way in either)


def bindings(actions: Iterable[Action]) -> list[BindingType]:
    """The key bindings for some actions; a letter works with the capitals locked as well."""
    return [
        replace(action, key=",".join(_with_capitals(action.key.split(","))))
        for action in actions
        if action.action and action.key
    ]
