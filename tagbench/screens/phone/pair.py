"""Pairing a phone: six digits to type there, or a symbol to scan, for a few minutes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Static

from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.big_code import BigCode
from tagbench.screens.widgets.symbol import Symbol

if TYPE_CHECKING:
    from tagbench.phone.pairing import Invitation
    from tagbench.phone.server import PhoneServer

LOOK_SECONDS = 0.25
"""How often it is looked whether a phone was paired."""
WORDS_WIDTH = 22
"""Columns for the digits beside the symbol."""
FRAME = 3
"""Rows of the card besides the symbol: heading, notice, keys."""
USED_UP = "This code is no longer good. Ctrl+N gives a new one."


class PairDialog(TagbenchDialog[str]):
    """Closes by itself when a phone was paired, and gives the words that say so."""

    CSS_PATH = stylesheets("field", "card", "phone")
    heading = "Pair a phone"
    actions = (Action("ctrl+n", "new", "New code", "Shows another code; this one ends."),)

    def __init__(self, server: PhoneServer) -> None:
        super().__init__()
        self._server = server
        self._before: set[str] = set()
        self._invitation: Invitation | None = None

    def body(self) -> ComposeResult:
        with Horizontal(id="pairing"):
            yield Symbol(id="pair-symbol")
            with Vertical(id="pair-side"):
                yield BigCode(id="digits-left")
                yield BigCode(id="digits-right")
                yield Static("", id="pair-words", markup=False)
                yield Static("", id="time-left", markup=False)

    def on_mount(self) -> None:
        self._before = set(self.tables.phones)
        self.action_new()
        self.set_interval(LOOK_SECONDS, self.look)

    def on_unmount(self) -> None:
        # Nobody sees the code any longer, so nobody is to use it.
        self._server.pairing.close()

    def on_resize(self, event: events.Resize) -> None:
        self._show()

    def action_new(self) -> None:
        """Shows a fresh code and symbol."""
        self._invitation = self._server.invite()
        self.notice.clear()
        self._show()

    def _show(self) -> None:
        if self._invitation is None:
            return
        left, right = self._invitation.spaced.split()
        self.query_one("#digits-left", BigCode).code = left
        self.query_one("#digits-right", BigCode).code = right
        link = self._server.pairing_url(self._invitation) if self._server.address else ""
        room = self.app.size.width - WORDS_WIDTH, self.app.size.height - FRAME
        scans = self.query_one(Symbol).show(link, *room) and bool(link)
        self.query_one("#pair-words", Static).update(self._words(scans))
        self.look()

    def _words(self, scans: bool) -> str:
        where = self._server.urls[0]
        by_hand = f"open\n{where}\nand type these digits."
        return (
            f"Scan the symbol with the phone; or {by_hand}" if scans else f"On the phone {by_hand}"
        )

    def look(self) -> None:
        """Says how long the code is good; closes the card when a phone was paired."""
        paired = [phone for key, phone in self.tables.phones.items() if key not in self._before]
        if paired:
            self.dismiss(f"Paired: {paired[-1].name}. Enter gives it another name.")
            return
        seconds = round(self._server.pairing.seconds_left)
        minutes = f"{seconds // 60}:{seconds % 60:02} left"
        self.query_one("#time-left", Static).update(minutes if seconds else USED_UP)
        self.set_class(not seconds, "-used-up")
