"""A screen that shows one of several lists, whose names stand above it."""

from __future__ import annotations

from typing import cast

from textual.dom import DOMNode

from tagbench.screens.widgets.views import Views


class SeveralLists:
    """The actions that go from list to list; mixed into a screen behind its first base."""

    def show_list(self) -> None:
        """Shows the list that is open now, from its first row on."""
        raise NotImplementedError

    def action_turn(self, by: int) -> None:
        """Goes to the next list or the one before."""
        cast(DOMNode, self).query_one(Views).turn(by)
        self.show_list()

    def action_open_view(self, name: str) -> None:
        """Goes to the list that was clicked."""
        cast(DOMNode, self).query_one(Views).open(name)
        self.show_list()
