"""The top line of every screen: which screen, which machine, how many tags wait."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Static


class TitleLine(Horizontal):
    """Drawn like the end of a hanging tag: the eyelet, then the name of the screen."""

    def __init__(self, title: str) -> None:
        super().__init__()
        self._title = title

    def compose(self) -> ComposeResult:
        yield Static(f" ◯  {self._title.upper()} ", id="title-place", markup=False)
        yield Static("", id="title-machine", markup=False)
        yield Static("", id="title-tags", markup=False)

    def tell(self, machine: str, waiting: int) -> None:
        """Names the machine and the number of tags that wait to be printed."""
        self.query_one("#title-machine", Static).update(machine)
        tags = "" if not waiting else f"{waiting} tag{'s' * (waiting != 1)} to print "
        self.query_one("#title-tags", Static).update(tags)
