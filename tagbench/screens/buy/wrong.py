"""The wrong one came: what is wrong, sent back, and what came of it; and deposits."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations import buying
from tagbench.records import Want
from tagbench.rules.buying.returns import Settled, open_wrong
from tagbench.rules.describe.want import standing_words
from tagbench.screens.buy.cards import WantCard
from tagbench.screens.frame.actions import Action
from tagbench.screens.widgets.field import Field


class WrongDialog(WantCard):
    """One card for the whole way of a wrong item; Enter does the next thing."""

    actions = (
        Action("enter", "save", "Next", "It came; once that is noted: it was sent back."),
        Action(
            "ctrl+r",
            "settled('refunded')",
            "Refunded",
            "The money is back; it is to be ordered again.",
        ),
        Action("ctrl+o", "settled('replaced')", "Replaced", "The right one is on its way."),
        Action("ctrl+b", "deposit", "Deposit back", "The deposit on the exchange piece is back."),
    )

    def __init__(self, want: Want) -> None:
        super().__init__()
        self.heading = f"Wrong one, or deposit: {want.what}"
        self._number = want.id

    @property
    def want(self) -> Want:
        """The want as it is now."""
        return self.tables.wants[str(self._number)]

    def body(self) -> ComposeResult:
        words = standing_words(self.want, self.book.now().date())
        yield Static(words, classes="words", markup=False)
        yield Field("What is wrong", id="wrong", example="left-hand one, 4712 in the box")
        yield Field("On", id="on", hint="today")
        yield Field("Right one due", id="due", example="in 2 weeks")

    def on_mount(self) -> None:
        self["on" if open_wrong(self.want) else "wrong"].input.focus()

    def action_save(self) -> None:
        with self.refusing():
            if open_wrong(self.want) is None:
                buying.wrong_came(self.book, self._number, self["wrong"].value, self.day("on"))
            else:
                buying.send_back(self.book, self._number, self.day("on"))
            self._done()

    def action_settled(self, how: Settled) -> None:
        with self.refusing():
            buying.settle(self.book, self._number, how, self.day("due"))
            self._done()

    def action_deposit(self) -> None:
        with self.refusing():
            buying.deposit_came_back(self.book, self._number, self.day("on"))
            self.dismiss(f"The deposit on {self.want.what} is back.")

    def _done(self) -> None:
        want = self.book.records.wants[str(self._number)]
        self.dismiss(f"{want.what}: {standing_words(want, self.book.now().date())}.")
