"""The phone page as the screens have it: switched on and off, and the bench follows the phone."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from textual.screen import ModalScreen, Screen

from labels.errors import LabelError
from tagbench.errors import TagbenchError
from tagbench.phone.addresses import dead_tags
from tagbench.records import Tag
from tagbench.rules.describe.phrases import plural
from tagbench.rules.scan import look_up
from tagbench.screens.frame.actions import FOLLOW, Action
from tagbench.screens.frame.scanning import text_of
from tagbench.screens.shared.base import TagbenchScreen
from tagbench.screens.widgets.columns import cut

if TYPE_CHECKING:
    from tagbench.phone.events import AddressChanged, PhoneEvent, TagOpened
    from tagbench.phone.server import PhoneServer
    from tagbench.records import Phone
    from tagbench.screens.frame.protocol import BenchApp

NAME_WIDTH = 16
"""Cells for the name of a phone in the key bar."""


class PhoneSwitch:
    """Starts and stops the server, and passes on what phones do.

    The server and what it needs are imported when it is first switched on.
    """

    def __init__(self, app: BenchApp) -> None:
        self._app = app
        self.server: PhoneServer | None = None
        """The server while phones are answered."""
        self.following = Following(app)
        """What the bench does when a phone opens a tag."""
        self._counted: tuple[object, int] = (None, 0)

    @property
    def words(self) -> str:
        """What the title line says about it, and how many tags a phone's camera cannot open."""
        if self.server is None:
            return ""
        dead = self._dead_tags()
        return f"phone on, {plural(dead, 'old tag')}" if dead else "phone on"

    def _dead_tags(self) -> int:
        tables = self._app.own_book.records
        if self._counted[0] is not tables.tags:
            dead = dead_tags(tables, tables.desk.phone_address)
            self._counted = tables.tags, sum(not tag.queued for tag in dead)
        return self._counted[1]

    @property
    def offer(self) -> Action | None:
        """What the key bar offers first; None when nothing waits that a phone opened."""
        return self.following.offer

    async def on(self, host: str, port: int, announce: bool) -> PhoneServer:
        """Answers phones from now on and remembers where.

        Raises TagbenchError when the host or the port cannot be had, or the book not be written;
        nothing is answered then.
        """
        from tagbench.phone.server import PhoneServer

        await self.stop()
        server = PhoneServer(self._app.own_book, host=host, port=port, announce=announce)
        server.listen(self._listen)
        await server.start()
        try:
            server.remember()
        except TagbenchError:
            await server.stop()
            raise
        self.server = server
        self._app.book_changed()
        self._app.show_phone()
        return server

    async def off(self) -> None:
        """Answers nobody any more, and shows it."""
        await self.stop()
        self._app.book_changed()
        self._app.show_phone()

    async def stop(self) -> None:
        """Answers nobody any more; what a phone has begun is finished first."""
        server, self.server = self.server, None
        if server is not None:
            await server.stop()

    def phones(self) -> list[Phone]:
        """The paired phones, the one that was here last first."""
        if self.server is not None:
            return self.server.phones()
        phones = self._app.own_book.records.phones.values()
        return sorted(phones, key=lambda phone: phone.seen or phone.paired, reverse=True)

    def _listen(self, event: PhoneEvent) -> None:
        # Through the app's queue, so that it keeps its place among the keys.
        self._app.call_later(self._heard, event)

    async def _heard(self, event: PhoneEvent) -> None:
        from tagbench.phone.events import (
            AddressChanged,
            BookChanged,
            MatPhotographed,
            PhonePaired,
            TagOpened,
        )

        if not self._app.is_running:  # the screens are closing already
            return
        if isinstance(event, TagOpened):
            await self.following.opened(event)
            return
        self._app.book_changed()
        if isinstance(event, BookChanged):
            self.following.say(f"{event.phone.name}: {event.words}.")
        elif isinstance(event, MatPhotographed):
            self._app.show_phone()
            self.following.say(f"{event.phone.name}: {event.words} F11 on Bench opens it.")
        elif isinstance(event, PhonePaired):
            self.following.say(f"Paired: {event.phone.name}.")
        elif isinstance(event, AddressChanged):
            self.following.say(address_words(event))


def address_words(event: AddressChanged) -> str:
    """What the person is told when the network gave out another address."""
    return (
        f"This computer is {event.now} now, no longer {event.before}: new tags carry that. "
        "Ctrl+P on Phone queues the old ones."
    )


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
