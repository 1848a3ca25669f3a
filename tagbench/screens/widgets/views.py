"""Several lists under one roof: their names with counts, the open one marked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content
from textual.geometry import Size
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


class WrappedViews(Views):
    """Goes on in a second line where the first is full; never breaks a name."""

    def show(self, views: Sequence[View]) -> None:
        """Shows other counts; the same lists."""
        super().show(views)
        self.refresh(layout=True)

    def render(self) -> Content:
        return Content("\n").join(self._lines(self.content_size.width))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return len(self._lines(width))

    def _lines(self, width: int) -> list[Content]:
        lines: list[Content] = []
        for at in range(len(self._views)):
            entry = self._entry(at)
            wider = Content(" " * GAP).join([lines[-1], entry]) if lines else entry
            if lines and wider.cell_length <= width:
                lines[-1] = wider
            else:
                lines.append(entry)
        return lines
