"""Screens on which several things are marked and a key acts on all of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import TagbenchDialog, TagbenchScreen


class ChoosingScreen(TagbenchScreen):
    """What is marked is let go once something was done to it; a closed card leaves it marked."""

    def let_go(self) -> None:
        """Takes the marks away."""

    def finished(self, words: str) -> None:
        """Shows the book as it is now and says what was done."""
        self.let_go()
        self.catch_up()
        self.tell(words)

    def card(self, card: TagbenchDialog[str]) -> None:
        """Opens a card; it gives the words that say what was done."""

        def closed(words: str | None) -> None:
            if words:
                self.finished(words)

        self.bench_app.push_screen(card, closed)


def second_bar(actions: Iterable[Action]) -> list[Action]:
    """Actions for a second key bar, since a screen with a key for each step has many."""
    return [replace(action, in_bar=True) for action in actions]
