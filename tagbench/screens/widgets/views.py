"""Several lists under one roof: their names with counts in one line, the open one marked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content
from textual.widget import Widget

GAP = 2


@dataclass(frozen=True, slots=True)
class View:
    """One of the lists."""

    name: str
    """Its name, in a word or two."""
    count: int
    """How many rows it has."""


class Views(Widget):
    """The names in a row; the open one stands between marks, so that no colour is needed."""

    def __init__(self, names: Sequence[str]) -> None:
        super().__init__()
        self._views = [View(name, 0) for name in names]
        self._at = 0

    @property
    def current(self) -> str:
        """Name of the open list."""
        return self._views[self._at].name

    @property
    def total(self) -> int:
        """How many rows all the lists have together."""
        return sum(view.count for view in self._views)

    def turn(self, by: int) -> None:
        """Goes to the next list, or the one before; round at the ends."""
        self._at = (self._at + by) % len(self._views)
        self.refresh()

    def open(self, name: str) -> None:
        """Goes to the list of that name."""
        self._at = [view.name for view in self._views].index(name)
        self.refresh()

    def show(self, views: Sequence[View]) -> None:
        """Shows other counts; the same lists."""
        self._views = list(views)
        self.refresh()

    def render(self) -> Content:
        return Content(" " * GAP).join(map(self._entry, range(len(self._views))))

    def _entry(self, at: int) -> Content:
        view = self._views[at]
        if at == self._at:
            words = f"▸{view.name} {view.count} "
            return Content.styled(words, "bold $on-primary on $primary")
        markup = f"[@click=screen.open_view('{view.name}')] $name [bold]$count[/] [/]"
        return Content.from_markup(markup, name=view.name, count=str(view.count))
