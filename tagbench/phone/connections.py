"""Connections: from the home network only, so many at once, and each only for so long."""

from __future__ import annotations

import asyncio
import ipaddress
import logging
from collections.abc import Callable

from aiohttp import web

from tagbench.phone.limits import PhoneLimits

log = logging.getLogger("tagbench.phone")


class Connection(web.RequestHandler):
    """One connection, with the moment by which what it does now must be done.

    aiohttp closes idle connections by itself but waits for ever for headers, a body or a reader.
    """

    __slots__ = ("busy", "ends")

    def __init__(self, server: web.Server, limits: PhoneLimits) -> None:
        loop = asyncio.get_running_loop()
        super().__init__(
            server,
            loop=loop,
            access_log=None,  # type: ignore[arg-type]  # None switches it off
            logger=log,
            keepalive_timeout=limits.idle_seconds,
            lingering_time=limits.linger_seconds,
            auto_decompress=False,
        )
        self.busy = False
        self.ends = loop.time() + limits.headers_seconds

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Takes the connection in, if it comes from the home network."""
        super().connection_made(transport)
        if not is_at_home(address_of(transport)):
            log.warning("cut off %s: not an address of the home network", address_of(transport))
            self.cut_off()

    def cut_off(self) -> None:
        """Closes the connection at once, whatever is still to be sent."""
        if isinstance(self.transport, asyncio.Transport):
            self.transport.abort()

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


class Connections:
    """All connections of a server; those that are too slow or too many are cut off."""

    def __init__(self, limits: PhoneLimits) -> None:
        self._limits = limits
        self._open: set[Connection] = set()
        self._look_every = min(
            1.0, limits.headers_seconds / 4, limits.idle_seconds / 4, limits.exchange_seconds / 4
        )

    def protocol_of(self, server: web.Server) -> Callable[[], Connection]:
        """Makes the protocol of each new connection; the one that waits longest gives way."""

        def make() -> Connection:
            made = Connection(server, self._limits)
            self._open = {one for one in self._open if one.transport is not None}
            if len(self._open) >= self._limits.connections:
                oldest = min(self._open, key=lambda one: (one.busy, one.ends))
                self._open.discard(oldest)
                oldest.cut_off()
            self._open.add(made)
            return made

        return make

    async def keep_time(self) -> None:
        """Cuts off what is too slow, until it is cancelled."""
        loop = asyncio.get_running_loop()
        while True:
            await asyncio.sleep(self._look_every)
            for late in [one for one in self._open if one.ends < loop.time()]:
                self._open.discard(late)
                late.cut_off()

    def begin(self, request: web.BaseRequest) -> None:
        """The headers of a request are here and it is being answered."""
        self._now(request, self._limits.exchange_seconds, busy=True)

    def end(self, request: web.BaseRequest) -> None:
        """The answer is ready; it may now be taken, and another request made."""
        self._now(request, self._limits.idle_seconds, busy=False)

    def _now(self, request: web.BaseRequest, seconds: float, *, busy: bool) -> None:
        connection = request.protocol
        assert isinstance(connection, Connection)
        connection.busy = busy
        connection.ends = asyncio.get_running_loop().time() + seconds


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
