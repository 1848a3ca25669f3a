"""The bench follows the phone: what a phone opens comes up here, but never while one types."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from textual.screen import ModalScreen, Screen

from labels.errors import LabelError
from tagbench.errors import TagbenchError
from tagbench.records import Tag
from tagbench.rules.scan import look_up
from tagbench.screens.frame.actions import FOLLOW, Action
from tagbench.screens.frame.scanning import text_of
from tagbench.screens.shared.base import TagbenchScreen
from tagbench.screens.widgets.columns import cut

if TYPE_CHECKING:
    from tagbench.phone.events import TagOpened
    from tagbench.screens.frame.protocol import BenchApp

NAME_WIDTH = 16
"""Cells for the name of a phone in the key bar."""


class Following:
    """Brings up what a phone opens, or keeps it until the person asks for it."""

    def __init__(self, app: BenchApp) -> None:
        self._app = app
        self._brought: Screen[object] | None = None
        self.waiting: TagOpened | None = None
        """What a phone opened last, while it waits to be looked at here."""

    @property
    def offer(self) -> Action | None:
        """What the key bar offers first; None when nothing waits."""
        if self.waiting is None:
            return None
        words = f"{cut(self.waiting.phone.name, NAME_WIDTH)}: {self.waiting.code}"
        return replace(FOLLOW, description=words)

    @property
    def busy(self) -> bool:
        """Whether a card is open, or the focus is in a field with something in it."""
        app = self._app
        if any(isinstance(screen, ModalScreen) for screen in app.screen_stack):
            return True
        field = app.focused
        name = text_of(field)
        return bool(name and getattr(field, name))

    async def opened(self, event: TagOpened) -> None:
        """A phone opened a tag.

        A spare tag waits in any case: the phone has the form for it open, and one form is enough.
        """
        if event.kind == "spare" or self.busy:
            self._keep(event)
        else:
            await self._bring_up(event)

    async def bring_up_waiting(self) -> None:
        """Brings up what waits."""
        if self.waiting is None:
            self._app.refuse("No phone has opened a tag that was not shown here.")
        else:
            await self._bring_up(self.waiting)

    def say(self, sentence: str) -> None:
        """Says it quietly: not on a card, and not while something is being typed."""
        if not self.busy:
            self._app.tell(sentence)

    def _keep(self, event: TagOpened | None) -> None:
        self.waiting = event
        self._app.show_phone()

    async def _bring_up(self, event: TagOpened) -> None:
        self._keep(None)
        app = self._app
        try:
            opened = look_up(app.book.records, event.code)
            await self._put_away(opened.kind)
            before = app.screen
            await app.open_code(event.code)
        except (TagbenchError, LabelError) as error:
            app.refuse(str(error))
            return
        if app.screen is not before:
            self._brought = app.screen
        name = "a spare tag" if isinstance(opened.record, Tag) else opened.record.name
        app.tell(f"{event.phone.name} opened {event.code} {name}.")

    async def _put_away(self, kind: str) -> None:
        """Takes away the page that was brought up before, when this one is of another kind.

        Else every scan of a part after a bin would lay one more page over the others.
        """
        here = self._app.screen
        if here is self._brought and isinstance(here, TagbenchScreen) and here.screen_name != kind:
            self._app.back()
