"""Counts beside each other: the figure above, what it counts beneath."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.widget import Widget


class Figures(Widget):
    """Some counts in a row with their words."""

    def __init__(self) -> None:
        super().__init__()
        self._counts: Sequence[tuple[int, str]] = ()

    def show(self, counts: Sequence[tuple[int, str]]) -> None:
        """Shows counts and their words."""
        self._counts = counts
        self.refresh()

    def render(self) -> Content:
        wide = self.size.width // max(1, len(self._counts))
        figures = "".join(str(count).ljust(wide) for count, _ in self._counts)
        words = "".join(words[: wide - 1].ljust(wide) for _, words in self._counts)
        return Content.assemble((figures, "bold $primary"), "\n", words)
