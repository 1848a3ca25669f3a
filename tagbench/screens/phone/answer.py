"""Who is to be answered: this computer only, or the home network?"""

from __future__ import annotations

from dataclasses import dataclass

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

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
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows

WORDS = (
    "In the home network every device can ask, and only paired phones are told anything. What "
    "goes over the air is not encrypted: use it in your own network only."
)


@dataclass(frozen=True)
class Answering:
    """Who is answered, and where."""

    host: str
    """As the server takes it: empty for this computer only."""
    port: int
    announce: bool = False
    """Whether the name of this computer is announced in the home network."""


@dataclass(frozen=True)
class Choice:
    """One row of the card."""

    who: str
    """Who is answered."""
    address: str
    """Under which address, without the port."""
    host: str
    announce: bool = False


def choices(desk: Desk) -> list[Choice]:
    """This computer only, the home network, that by name, and a host that was used before."""
    at_home = ", ".join(home_addresses()) or "no network found"
    rows = [
        Choice("This computer only", "127.0.0.1", THIS_COMPUTER),
        Choice("Home network", at_home, HOME_NETWORK),
    ]
    if can_announce():
        name = f"{local_name()}.local"
        rows.append(Choice("Home network, by name", name, HOME_NETWORK, announce=True))
    if desk.phone_host not in (THIS_COMPUTER, HOME_NETWORK):
        rows.append(Choice("As before", desk.phone_host, desk.phone_host))
    return rows


def used_last(rows: list[Choice], desk: Desk) -> int:
    """Which of the rows was used last; the first one at first."""
    by_name = desk.phone_address.startswith(f"{local_name()}.local:")
    same = (at for at, row in enumerate(rows) if row.host == desk.phone_host)
    named = (
        at for at, row in enumerate(rows) if (row.host, row.announce) == (desk.phone_host, by_name)
    )
    return next(named, next(same, 0))


class AnswerDialog(TagbenchDialog[Answering]):
    """Gives what was chosen; what was used last is under the cursor."""

    CSS_PATH = stylesheets("field", "card", "phone")
    heading = "Answer phones"
    actions = (
        Action("enter", "take", "Switch on", "Answers whom the cursor is at, from now on."),
        Action("up", "step(-1)", "Up", "Goes up in the list.", show=False),
        Action("down", "step(1)", "Down", "Goes down in the list.", show=False),
    )

    def body(self) -> ComposeResult:
        yield Static(WORDS, classes="words", markup=False)
        yield Rows(draw_choice, lambda choice: choice.who, id="choices", driven=True)
        yield Field("Port", id="port", restrict=r"[0-9]{0,5}")

    def on_mount(self) -> None:
        desk = self.tables.desk
        rows = choices(desk)
        self.rows.show(rows)
        self.rows.cursor = used_last(rows, desk)
        self.query_one(Field).value = str(desk.phone_port)
        self.rows.focus()

    @property
    def rows(self) -> Rows[Choice]:
        """Who can be answered."""
        return self.query_one("#choices", Rows)

    def action_step(self, by: int) -> None:
        """Moves the cursor without leaving the field."""
        self.rows.action_step(by)

    @on(Opened)
    @on(Input.Submitted)
    def action_take(self) -> None:
        """Closes the card with the row under the cursor."""
        choice = self.rows.current
        with self.refusing():
            port = self.query_one(Field).value
            if choice is None or not port:
                raise BadInput("Type the port, for example 8017.")
            self.dismiss(Answering(choice.host, check_port(int(port)), choice.announce))


def draw_choice(choice: Choice, width: int) -> list[str]:
    """One line: who, and where."""
    return [columns(width, (choice.who, 22), (choice.address, 0), gap=2)]
