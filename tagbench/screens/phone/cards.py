"""The cards of Phone: who is answered, pairing a phone, its name."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Static

from tagbench.errors import BadInput
from tagbench.phone.addresses import (
    HOME_NETWORK,
    THIS_COMPUTER,
    check_port,
    home_addresses,
    local_name,
)
from tagbench.phone.announce import can_announce
from tagbench.records import Desk
from tagbench.screens.frame.actions import NEW_KEY, Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.big_code import BigCode, SymbolView
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows

if TYPE_CHECKING:
    from tagbench.phone.pairing import Invitation
    from tagbench.phone.server import PhoneServer
from tagbench.book.operations.phones import NAME_LENGTH, rename
from tagbench.records import Phone
from tagbench.screens.shared.form import FormDialog

WORDS = (
    "On the home network any device can ask, but only paired phones are told anything. What "
    "goes over the air is not encrypted: use it on your own network only."
)
LOOK_SECONDS = 0.25
"""How often it is looked whether a phone was paired."""
WORDS_WIDTH = 22
"""Columns for the digits beside the symbol."""
FRAME = 3
"""Rows of the card besides the symbol: heading, notice, keys."""
DIGITS_SPENT = "Too many wrong tries: scan the symbol, or Ctrl+N."
USED_UP = "This code is no longer good. Ctrl+N gives a new one."


@dataclass(frozen=True)
class Answering:
    """Who is answered, and where."""

    host: str
    """As the server takes it: empty for this computer only."""
    port: int
    announce: bool = False
    """Whether the name of this computer is announced in the home network."""


@dataclass(frozen=True)
class AddressRow:
    """One row of the card."""

    who: str
    """Who is answered."""
    address: str
    """Under which address, without the port."""
    host: str
    announce: bool = False


def host_choices(desk: Desk) -> list[AddressRow]:
    """This computer only, the home network, that by name, and a host that was used before."""
    at_home = ", ".join(home_addresses()) or "no network found"
    rows = [
        AddressRow("This computer only", "127.0.0.1", THIS_COMPUTER),
        AddressRow("Home network", at_home, HOME_NETWORK),
    ]
    if can_announce():
        name = f"{local_name()}.local"
        rows.append(AddressRow("Home network, by name", name, HOME_NETWORK, announce=True))
    if desk.phone_host not in (THIS_COMPUTER, HOME_NETWORK):
        rows.append(AddressRow("As before", desk.phone_host, desk.phone_host))
    return rows


def last_used_host(rows: list[AddressRow], desk: Desk) -> int:
    """Which of the rows was used last; the first one at first."""
    by_name = desk.phone_address.startswith(f"{local_name()}.local:")
    same = (at for at, row in enumerate(rows) if row.host == desk.phone_host)
    named = (
        at for at, row in enumerate(rows) if (row.host, row.announce) == (desk.phone_host, by_name)
    )
    return next(named, next(same, 0))


class AnswerDialog(FormDialog[Answering]):
    """Gives what was chosen; what was used last is under the cursor."""

    CSS_PATH = stylesheets("field", "card", "phone")
    heading = "Answer phones"
    actions = (
        Action("enter", "save", "Switch on", "Answers those under the cursor from now on."),
        Action("up", "step(-1)", "Up", "Goes up in the list.", show=False),
        Action("down", "step(1)", "Down", "Goes down in the list.", show=False),
    )

    def body(self) -> ComposeResult:
        yield Static(WORDS, classes="words", markup=False)
        yield Rows(draw_choice, lambda choice: choice.who, id="choices", driven=True)
        yield Field("Port", id="port", restrict=r"[0-9]{0,5}")

    def on_mount(self) -> None:
        desk = self.tables.desk
        rows = host_choices(desk)
        self.rows.show(rows)
        self.rows.cursor = last_used_host(rows, desk)
        self.query_one(Field).value = str(desk.phone_port)
        self.rows.focus()

    @property
    def rows(self) -> Rows[AddressRow]:
        """Who can be answered."""
        return self.query_one("#choices", Rows)

    def action_step(self, by: int) -> None:
        self.rows.action_step(by)

    @on(RowOpened)
    def action_save(self) -> None:
        choice = self.rows.current
        with self.refusing():
            port = self.query_one(Field).value
            if choice is None or not port:
                raise BadInput("Type the port, for example 8017.")
            self.dismiss(Answering(choice.host, check_port(int(port)), choice.announce))


def draw_choice(choice: AddressRow, width: int) -> list[str]:
    """One line: who, and where."""
    return [columns(width, (choice.who, 22), (choice.address, 0), gap=2)]


class PairDialog(TagbenchDialog[str]):
    """Closes by itself when a phone was paired, and gives the words that say so."""

    CSS_PATH = stylesheets("field", "card", "phone")
    heading = "Pair a phone"
    actions = (Action(NEW_KEY, "new", "New code", "Shows a new code; this one ends."),)

    def __init__(self, server: PhoneServer) -> None:
        super().__init__()
        self._server = server
        self._before: set[str] = set()
        self._invitation: Invitation | None = None

    def body(self) -> ComposeResult:
        with Horizontal(id="pairing"):
            yield SymbolView(id="pair-symbol")
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
        scans = self.query_one(SymbolView).show(link, *room) and bool(link)
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
        if self._server.pairing.digits_spent:
            minutes += f". {DIGITS_SPENT}"
        self.query_one("#time-left", Static).update(minutes if seconds else USED_UP)
        self.set_class(not seconds, "-used-up")


class PhoneNameDialog(FormDialog[str]):
    """Gives the words that say what was done."""

    heading = "Name of the phone"
    actions = (Action("enter", "save", "Save", "Gives the phone this name."),)

    def __init__(self, phone: Phone) -> None:
        super().__init__()
        self._phone = phone

    def body(self) -> ComposeResult:
        yield Field("Name", id="phone-name", hint="whose it is", restrict=f".{{0,{NAME_LENGTH}}}")

    def on_mount(self) -> None:
        self.query_one(Field).value = self._phone.name

    def action_save(self) -> None:
        with self.refusing():
            after = rename(self.book, self._phone.id, self.query_one(Field).value)
            self.dismiss(f"{self._phone.name} is now called {after.name}.")
