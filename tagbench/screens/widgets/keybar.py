"""The key bar at the foot of every screen; each entry can also be clicked."""

from __future__ import annotations

from collections.abc import Iterable

from textual.content import Content
from textual.widget import Widget

from tagbench.screens.frame.actions import Action

GAP = 2
KEY = "[bold]$key[/] $words"
OFFERED = "[bold $on-primary on $primary]$key $words[/]"


class KeyBar(Widget):
    """One line of actions: the key in bold, then its words, wide gaps between.

    Where the line is too short the actions before the last one give way; the help has them all.
    """

    def __init__(self, actions: Iterable[Action], *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._actions = [action for action in actions if action.show]
        self._offer: Action | None = None

    def offer(self, action: Action | None) -> None:
        """Puts an action before the others while it can be done; None takes it away."""
        if action != self._offer:
            self._offer = action
            self.refresh()

    def render(self) -> Content:
        offered = [self._offer] if self._offer else []
        shown = fitting([*offered, *self._actions], self.size.width)
        entries = [_entry(action, OFFERED if action in offered else KEY) for action in shown]
        return Content(" " * GAP).join(entries)


def fitting(actions: list[Action], width: int) -> list[Action]:
    """The actions for which there is room in `width` cells: the last one and the first ones."""
    if not actions:
        return []
    left = width - _width(actions[-1])
    shown = []
    for action in actions[:-1]:
        left -= _width(action) + GAP
        if left < 0:
            break
        shown.append(action)
    return [*shown, actions[-1]]


def _width(action: Action) -> int:
    return len(action.key_words) + 1 + len(action.description)


def _entry(action: Action, markup: str) -> Content:
    if do := action.action:
        do = do if "." in do.split("(", 1)[0] else f"screen.{do}"
        markup = f'[@click="{do}"]{markup}[/]'
    return Content.from_markup(markup, key=action.key_words, words=action.description)
