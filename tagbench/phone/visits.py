"""Connections: how many at once, how long each may take, and how a broken request is answered."""

from __future__ import annotations

import asyncio
import ipaddress
import logging
from collections.abc import Awaitable, Callable

from aiohttp import web

from tagbench.phone.limits import Limits

log = logging.getLogger("tagbench.phone")

Answer = Callable[[web.BaseRequest], Awaitable[web.StreamResponse]]


class Visit(web.RequestHandler):
    """One connection. It is cut off when it is slower than the limits at any moment of its life.

    aiohttp closes idle connections by itself but waits for ever for headers, a body or a reader,
    so a moment is set for each of the three by which it must be done; the door looks at them.
    """

    __slots__ = ("_door", "_loop_at", "_pipe", "called", "ends")

    def __init__(self, door: Door, loop: asyncio.AbstractEventLoop) -> None:
        super().__init__(
            door,
            loop=loop,
            access_log=None,  # type: ignore[arg-type]  # None switches it off
            logger=log,
            keepalive_timeout=door.limits.idle_seconds,
            lingering_time=2.0,
            auto_decompress=False,
        )
        self._door = door
        self._loop_at = loop
        self._pipe: asyncio.Transport | None = None
        self.ends = 0.0
        self.called: str | None = None

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Takes the connection in, if it comes from the home network."""
        super().connection_made(transport)
        assert isinstance(transport, asyncio.Transport)
        self._pipe = transport
        if not is_at_home(address_of(transport)):
            log.warning("cut off %s: not an address of the home network", address_of(transport))
            transport.abort()
            return
        self._within(self._door.limits.headers_seconds)
        self._door.arrived(self)

    def connection_lost(self, exc: BaseException | None) -> None:
        """Forgets the connection."""
        self._door.left(self)
        super().connection_lost(exc)
        self._pipe = None

    def begin(self) -> None:
        """The headers are here and the request is being answered."""
        self._door.busy(self)
        self._within(self._door.limits.exchange_seconds)

    def end(self) -> None:
        """The answer is ready; it may now be taken, and another request made."""
        if self._pipe is not None:
            self._door.waits(self)
            self._within(self._door.limits.idle_seconds)

    def cut_off(self) -> None:
        """Closes the connection at once."""
        if self._pipe is not None:
            self._pipe.abort()

    def _within(self, seconds: float) -> None:
        self.ends = self._loop_at.time() + seconds

    def handle_error(
        self,
        request: web.BaseRequest,
        status: int = 500,
        exc: BaseException | None = None,
        message: str | None = None,
    ) -> web.StreamResponse:
        """A bare answer to a request that could not be read or answered: no detail leaves here."""
        if request.writer.output_size > 0:
            raise ConnectionError("the answer has been begun already")
        if status >= 500:
            log.error("a request failed", exc_info=exc)
        response = web.Response(status=status, text=f"{status}\n", headers={"Server": ""})
        response.force_close()
        return response


class Door(web.Server):
    """Makes a `Visit` for each connection and keeps their number within the limits."""

    def __init__(self, answer: Answer, limits: Limits) -> None:
        super().__init__(answer)
        self.limits = limits
        self._here = asyncio.get_running_loop()
        self._look_after = min(
            1.0, limits.headers_seconds / 4, limits.idle_seconds / 4, limits.exchange_seconds / 4
        )
        self._watch: asyncio.TimerHandle | None = None
        self._present: set[Visit] = set()
        self._waiting: dict[Visit, None] = {}

    def __call__(self) -> Visit:
        """The protocol for a new connection."""
        return Visit(self, self._here)

    def arrived(self, visit: Visit) -> None:
        """A new connection. When there are too many, the longest-waiting one gives way."""
        self._present.add(visit)
        self._waiting[visit] = None
        if self._watch is None:
            self._watch = self._here.call_later(self._look_after, self._cut_off_the_slow)
        if len(self._present) > self.limits.connections:
            oldest = next(iter(self._waiting))
            self.left(oldest)
            oldest.cut_off()

    def busy(self, visit: Visit) -> None:
        """Its request is being answered."""
        self._waiting.pop(visit, None)

    def waits(self, visit: Visit) -> None:
        """It waits for its next request."""
        self._waiting[visit] = None

    def _cut_off_the_slow(self) -> None:
        now = self._here.time()
        for visit in [visit for visit in self._present if visit.ends < now]:
            visit.cut_off()
        self._watch = None
        if self._present:
            self._watch = self._here.call_later(self._look_after, self._cut_off_the_slow)

    def left(self, visit: Visit) -> None:
        """It is gone."""
        self._present.discard(visit)
        self._waiting.pop(visit, None)


def address_of(transport: asyncio.BaseTransport | None) -> str:
    """The network address of the other side; empty when it is gone."""
    peer = transport.get_extra_info("peername") if transport is not None else None
    return str(peer[0]) if peer else ""


def is_at_home(address: str) -> bool:
    """Whether an address is this computer's own or of a private network."""
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return False
    mapped = getattr(found, "ipv4_mapped", None)
    return not (mapped or found).is_global
