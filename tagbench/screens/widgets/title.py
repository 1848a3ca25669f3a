"""The top line of every screen: which screen, which machine, how many tags wait."""

from __future__ import annotations

from rich.cells import cell_len, set_cell_size
from textual.content import Content
from textual.widget import Widget


class TitleLine(Widget):
    """Drawn like the end of a hanging tag: the eyelet, then the name of the screen."""

    def __init__(self, title: str) -> None:
        super().__init__()
        self._title = f" ◯  {title.upper()} "
        self._machine = ""
        self._tags = ""
        self._phone = ""

    def show_phone(self, words: str) -> None:
        """Says whether phones are answered."""
        self._phone = f"{words}   " if words else ""
        self.refresh()

    def tell(self, machine: str, waiting: int) -> None:
        """Names the machine and the number of tags that wait to be printed."""
        self._machine = machine
        self._tags = f"{waiting} tag{'s' * (waiting != 1)} to print " if waiting else ""
        self.refresh()

    def render(self) -> Content:
        right = self._phone + self._tags
        left = self.size.width - cell_len(self._title) - cell_len(right)
        return Content.assemble(
            (self._title, "bold $on-primary on $primary"),
            set_cell_size(f"  {self._machine}", max(0, left)),
            (right, "bold"),
        )
