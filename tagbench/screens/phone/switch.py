"""The phone page as the screens have it: off until it is asked for, on the app's own loop."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagbench.errors import TagbenchError
from tagbench.screens.phone.following import Following
from tagbench.screens.phone.words import to_reprint

if TYPE_CHECKING:
    from tagbench.phone.events import AddressChanged, Event
    from tagbench.phone.server import PhoneServer
    from tagbench.records import Phone
    from tagbench.screens.frame.actions import Action
    from tagbench.screens.frame.protocol import BenchApp


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
        return f"phone on, {dead} old tag{'s' * (dead != 1)}" if dead else "phone on"

    def _dead_tags(self) -> int:
        tables = self._app.book.records
        if self._counted[0] is not tables.tags:
            waiting = to_reprint(tables)
            self._counted = tables.tags, len(waiting)
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
        server = PhoneServer(self._app.book, host=host, port=port, announce=announce)
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
        phones = self._app.book.records.phones.values()
        return sorted(phones, key=lambda phone: phone.seen or phone.paired, reverse=True)

    def _listen(self, event: Event) -> None:
        # Through the app's queue, so that it keeps its place among the keys.
        self._app.call_later(self._heard, event)

    async def _heard(self, event: Event) -> None:
        from tagbench.phone.events import AddressChanged, BookChanged, PhonePaired, TagOpened

        if not self._app.is_running:  # the screens are closing already
            return
        if isinstance(event, TagOpened):
            await self.following.opened(event)
            return
        self._app.book_changed()
        if isinstance(event, BookChanged):
            self.following.say(f"{event.phone.name}: {event.words}.")
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
