"""Screens on which several things are selected and a key acts on all of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import TagbenchScreen


class MultiSelectScreen(TagbenchScreen):
    """The selection ends once something was done to it; a closed card leaves it."""

    def clear_selection(self) -> None:
        """Selects nothing any more."""

    def finished(self, words: str | None) -> None:
        if words:
            self.clear_selection()
        super().finished(words)


def second_bar(actions: Iterable[Action]) -> list[Action]:
    """Actions for a second key bar, since a screen with a key for each step has many."""
    return [replace(action, show=True) for action in actions]
