"""Stopped: what stands in the way, what it would cost, and fitting it all the same."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from tagbench.errors import BadInput
from tagbench.records import Override, Part
from tagbench.rules.rebuild.burying import burying
from tagbench.rules.rebuild.links import Links, links_of
from tagbench.screens.build.fit_facts import burial_facts
from tagbench.screens.frame.actions import CLOSE, Action
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.card_page import CardPage
from tagbench.screens.widgets.facts import Fact, Facts
from tagbench.screens.widgets.field import Field

LABELS = {"held up": "✗ held up", "torque": "✗ torque"}
STAYS = "It is written down with your reason and stays on the open list of the count."


class RefusedDialog(TagbenchDialog[str]):
    """Gives the reason for fitting the part anyway; None when it is left off."""

    actions = (
        Action("enter", "anyway", "Fit anyway", "Fits it all the same; wants your reason."),
        Action("pagedown", "scroll(1)", "More", "Goes down in the list."),
        Action("pageup", "scroll(-1)", "Page up", "Goes up in the list.", show=False),
    )

    def bar_actions(self) -> Iterable[Action]:
        """The keys; Escape does not only close the card, it leaves the part off."""
        return (*self.actions, replace(CLOSE, description="Leave it off"))

    def __init__(self, part: Part, refusals: Sequence[tuple[Override, str]]) -> None:
        super().__init__()
        self.heading = f"Stop: {part.name} {part.code}"
        self._part = part
        self._refusals = refusals

    def body(self) -> ComposeResult:
        with CardPage(around=11, id="refused", can_focus=False):
            yield Facts(id="refusals")
        yield Field("Why anyway", id="why", hint="your reason, in a word or two")

    def on_mount(self) -> None:
        links = links_of(self.tables, self._part.machine)
        self.query_one(Facts).show([*self._facts(links), Fact("", ["", STAYS], "quiet")])
        self.query_one(Input).focus()

    def _facts(self, links: Links) -> Iterator[Fact]:
        for override, words in self._refusals:
            burial = burying(self.tables, links, self._part.code)
            if override.what == "buried" and burial:
                yield from burial_facts(links, burial)
            else:
                yield Fact(LABELS.get(override.what, ""), [words], "wrong")

    def action_scroll(self, by: int) -> None:
        """Goes through a long list without leaving the field."""
        room = self.query_one(CardPage)
        room.scroll_relative(y=by * room.size.height, animate=False)

    @on(Input.Submitted)
    def action_anyway(self) -> None:
        """Closes the card with the reason."""
        with self.refusing():
            why = self.query_one(Field).value
            if not why:
                raise BadInput("Say why in a word or two; Esc leaves the part off.")
            self.dismiss(why)
