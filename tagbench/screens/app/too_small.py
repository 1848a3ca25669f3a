"""What is shown while the terminal is smaller than the screens are laid out for."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.screen import ModalScreen
from textual.widgets import Static

from tagbench.screens.frame.actions import Action, bindings
from tagbench.screens.frame.styles import stylesheets

SMALLEST = (80, 23)
"""The smallest terminal that the screens are laid out for: columns, lines. A window of 80 × 24
has 23 lines under the status line of a multiplexer."""
WORDS = (
    f"This window is too small: make it at least {SMALLEST[0]} columns and {SMALLEST[1]} lines. "
    "Nothing typed is lost. Ctrl+C leaves tagbench."
)


class TooSmall(ModalScreen[None]):
    """One sentence; what was open comes back when the terminal is enlarged."""

    CSS_PATH = stylesheets("too_small")
    BINDINGS = bindings([Action("ctrl+c", "leave", "Leave", "Closes tagbench.")])

    def compose(self) -> ComposeResult:
        yield Static(WORDS, markup=False)

    def on_screen_resume(self) -> None:
        """Something that was opened over it was closed, and there may be room by now."""
        if fits(*self.app.size):
            self.dismiss()

    def action_leave(self) -> None:
        """Closes tagbench; there is no room for a question."""
        self.app.exit()


def fits(width: int, height: int) -> bool:
    """Whether there is room for the screens."""
    return width >= SMALLEST[0] and height >= SMALLEST[1]
