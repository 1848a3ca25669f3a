"""Counts beside each other: the figure above, what it counts beneath."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Static


class Figures(Horizontal):
    """Up to five counts in a row with their words."""

    PLACES = 5

    def compose(self) -> ComposeResult:
        for _ in range(self.PLACES):
            yield Static(classes="figure")

    def show(self, counts: Sequence[tuple[int, str]]) -> None:
        """Shows counts and their words."""
        for place, (count, words) in zip(self.query(Static), counts, strict=False):
            place.update(
                Content.from_markup("[bold $primary]$n[/]\n$words", n=str(count), words=words)
            )
