"""What is shown while the terminal is smaller than the screens are laid out for."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.screen import ModalScreen
from textual.widgets import Static

from tagbench.screens.frame.styles import stylesheets


class TooSmall(ModalScreen[None]):
    """One sentence; what was open comes back when the terminal is enlarged."""

    CSS_PATH = stylesheets("too_small")

    def __init__(self, columns: int, lines: int) -> None:
        super().__init__()
        self._needed = f"{columns} columns and {lines} lines"

    def compose(self) -> ComposeResult:
        yield Static(
            f"This window is too small: make it at least {self._needed}. Nothing typed is lost.",
            markup=False,
        )
