"""The phone server: started and stopped by the screens or by `tagbench phone`, on their loop."""

from __future__ import annotations

import asyncio
import errno
import logging
import socket
import ssl
from collections.abc import Callable
from contextlib import suppress
from datetime import timedelta

from aiohttp import web

from tagbench.book import Book
from tagbench.book.operations import phones
from tagbench.errors import BadInput, TagbenchError
from tagbench.phone.actions import Actions
from tagbench.phone.activity import Activity
from tagbench.phone.addresses import (
    HOME_NETWORK,
    LOOPBACK,
    address_in_tags,
    check_port,
    home_addresses,
    hosts_answered,
    local_name,
    spell_host,
    url,
)
from tagbench.phone.announce import Announcer, can_announce
from tagbench.phone.app import make_app
from tagbench.phone.certificate import Certificates, can_encrypt
from tagbench.phone.connections import Connections
from tagbench.phone.events import AddressChanged, Events, Listener
from tagbench.phone.executor import Executor
from tagbench.phone.forms import sweep_uploads
from tagbench.phone.held_photos import HeldPhotos
from tagbench.phone.limits import PhoneLimits
from tagbench.phone.mat import MatPages
from tagbench.phone.middleware import Middleware
from tagbench.phone.pages import OwnAddresses, Pages
from tagbench.phone.pairing import Handovers, Invitation, Pairing
from tagbench.phone.stranger import StrangerPage
from tagbench.phone.submissions import Submissions
from tagbench.records import Phone, replace

log = logging.getLogger("tagbench.phone")

SEEN_APART = timedelta(minutes=10)
"""At the end a phone's last visit is written down when that is news by more than this."""
PRESS_KEYS = "press F10, then Ctrl+N"
"""How the screens show a pairing code."""
CLOSING_SECONDS = 5.0
LOOK_SECONDS = 5.0
"""How often it is looked whether this computer has another address."""


class PhoneServer:
    """Serves the phone page of one book.

    Made anywhere; `start` and `stop` run on the event loop that serves it. Listeners are called
    on that loop. What is left out is taken from what the book remembers: `host` (by default
    this computer only), `port`, and whether `announce` puts `NAME.local` on the network; at first
    it does so if it can. `invite` tells a phone what is done at the bench to show a pairing code.
    """

    def __init__(
        self,
        book: Book,
        *,
        host: str | None = None,
        port: int | None = None,
        announce: bool | None = None,
        encrypt: bool | None = None,
        certificates: Certificates | None = None,
        limits: PhoneLimits | None = None,
        invite: str = PRESS_KEYS,
    ) -> None:
        desk = book.records.desk
        self.host = spell_host(desk.phone_host if host is None else host)
        self.port = desk.phone_port if port is None else port
        self.pairing = Pairing()
        self.handovers = Handovers()
        self._book = book
        named = desk.phone_address.startswith(f"{local_name()}.local:")
        by_itself = (named or not desk.phone_address) and can_announce()
        self._announce = by_itself if announce is None else announce
        self._name_may_fail = announce is None and not named
        self._certificates = certificates or Certificates()
        wanted = self._certificates.exist and can_encrypt() if encrypt is None else encrypt
        self._encrypt = wanted
        self.encrypted_port = 0
        """Where encrypted pages are answered; 0 when they are not."""
        self._limits = limits or PhoneLimits()
        self._invite = invite
        self._events = Events()
        self._announcer = Announcer()
        self._server: asyncio.Server | None = None
        self._encrypted: asyncio.Server | None = None
        self._runner: web.AppRunner | None = None
        self._middleware: Middleware | None = None
        self._executor: Executor | None = None
        self._held: HeldPhotos | None = None
        self._watching: asyncio.Task[None] | None = None

    @property
    def running(self) -> bool:
        """Whether phones are being answered."""
        return self._server is not None

    @property
    def urls(self) -> list[str]:
        """The addresses it answers at, the best one for a phone first."""
        hosts = [self.host or LOOPBACK]
        if self.host == HOME_NETWORK:
            hosts = [f"{self.name}.local"] * bool(self.name) + (home_addresses() or [LOOPBACK])
        return [url(host, self.port) for host in hosts]

    @property
    def name(self) -> str:
        """The name announced on the network, without `.local`; empty when none is."""
        return local_name() if self._announce and self.host == HOME_NETWORK else ""

    @property
    def address(self) -> str:
        """The `host:port` for the symbols of tags; empty when only this computer is answered."""
        return address_in_tags(self.host, self.port, self.name)

    def listen(self, listener: Listener) -> Callable[[], None]:
        """Calls `listener` with every event from now on; call the result to end that."""
        return self._events.listen(listener)

    async def start(self) -> list[str]:
        """Begins to answer and gives the addresses. Nothing is written in the book.

        Raises TagbenchError when the port or the host cannot be had, or the name not announced.
        """
        if self._server is not None:
            return self.urls
        if self.port:
            check_port(self.port)
        await asyncio.to_thread(sweep_uploads)
        connections = Connections(self._limits)
        self._executor = Executor(self._book, self._limits)
        self._runner = web.AppRunner(
            self._make_app(self._executor, connections), shutdown_timeout=CLOSING_SECONDS
        )
        try:
            await self._runner.setup()
            next_port = self.port + 1 if 0 < self.port < 65535 else 0
            self._server = await self._open(connections, self.port)
            self.port = _port_of(self._server)
            if self._encrypt:
                await self._open_encrypted(connections, next_port)
            await self._announce_name()
        except BaseException:
            await self.stop()
            raise
        self._answer_to_names()
        self._watching = asyncio.get_running_loop().create_task(
            self._watch_address(home_addresses(), self.address)
        )
        log.info("answering phones at %s", ", ".join(self.urls))
        return self.urls

    async def _announce_name(self) -> None:
        """Puts the name on the network; nobody asked for it yet, so it may fail the first time."""
        if not self.name:
            return
        try:
            await self._announcer.open(self.name, home_addresses(), self.port)
        except TagbenchError as error:
            if not self._name_may_fail:
                raise
            self._announce = False
            log.warning("%s", error)

    def _answer_to_names(self) -> None:
        assert self._middleware is not None
        own = self._book.records.desk.phone_address.partition(":")[0]
        self._middleware.ports = {"http": self.port, "https": self.encrypted_port}
        self._middleware.names = hosts_answered(self.host, [own, f"{self.name}.local"])

    async def _watch_address(self, numbers: list[str], before: str) -> None:
        """Looks whether the network has given out another address; new tags then carry it."""
        while True:
            await asyncio.sleep(LOOK_SECONDS)
            now = await asyncio.to_thread(home_addresses)
            if not now or now == numbers:
                continue
            numbers = now
            self._answer_to_names()
            if self.name:
                await self._announcer.close()
                with suppress(TagbenchError):
                    await self._announcer.open(self.name, numbers, self.port)
            if self.address != before:
                await self._address_changed(before)
                before = self.address

    async def _address_changed(self, before: str) -> None:
        assert self._executor is not None
        log.warning("phones are answered at %s from now on", self.address)
        try:
            await self._executor.change(None, self.remember)
        except TagbenchError as error:
            log.warning("the new address could not be written down: %s", error)
        self._events.tell(AddressChanged(before, self.address))

    async def _open(
        self, connections: Connections, port: int, context: ssl.SSLContext | None = None
    ) -> asyncio.Server:
        assert self._runner is not None
        assert self._runner.server is not None
        try:
            return await asyncio.get_running_loop().create_server(
                connections.protocol_of(self._runner.server),
                self.host or LOOPBACK,
                port,
                backlog=256,
                ssl=context,
            )
        except OSError as error:
            raise _why_not(error, self.host or LOOPBACK, port) from error

    async def _open_encrypted(self, connections: Connections, port: int) -> None:
        """The same pages, encrypted, at the next port."""
        names = hosts_answered(self.host, [f"{self.name}.local"])
        context = await asyncio.to_thread(self._certificates.for_server, names)
        self._encrypted = await self._open(connections, port, context)
        self.encrypted_port = _port_of(self._encrypted)

    def _encrypted_url(self, host: str) -> str:
        if not self.encrypted_port or not host:
            return ""
        return url(host, self.encrypted_port).replace("http:", "https:", 1)

    def _make_app(self, executor: Executor, connections: Connections) -> web.Application:
        async def pair(name: str, token_hash: str) -> Phone:
            made = await executor.change(None, phones.pair, self._book, name, token_hash)
            return made.result

        activity, handovers = Activity(), self.handovers
        addresses = OwnAddresses(self._name_url, self._encrypted_url, self._certificates.authority)
        pages = Pages(executor, self._events, activity, handovers, addresses)
        submissions, self._held = Submissions(), HeldPhotos()
        actions = Actions(
            executor, pages, self._events, activity, self._limits, submissions, self._held
        )
        stranger = StrangerPage(
            lambda: self.pairing, handovers, pair, self._events, self._limits, self._invite
        )
        self._middleware = Middleware(executor, connections, stranger.answer, self._limits)
        mat = MatPages(executor, self._events, self._limits, submissions)
        return make_app(pages, actions, mat, self._middleware, connections)

    def _name_url(self) -> str:
        return url(f"{self.name}.local", self.port) if self.name else ""

    async def stop(self) -> None:
        """Answers nobody any more; what was begun is finished first."""
        server, self._server = self._server, None
        runner, self._runner = self._runner, None
        self.pairing.close()
        if self._watching is not None:
            self._watching.cancel()
            with suppress(asyncio.CancelledError):
                await self._watching
            self._watching = None
        await self._announcer.close()
        encrypted, self._encrypted = self._encrypted, None
        self.encrypted_port = 0
        for one in (server, encrypted):
            if one is not None:
                one.close()
        if runner is not None:
            await runner.cleanup()
        if self._held is not None:
            self._held.close()
            self._held = None
        if self._executor is not None:
            await self._write_down_visits(self._executor)
            await asyncio.to_thread(self._executor.close)
            self._executor = None

    async def _write_down_visits(self, executor: Executor) -> None:
        if self._middleware is None:
            return
        await self._middleware.close()
        seen = self._middleware.seen
        if seen:
            try:
                await executor.change(None, phones.were_here, self._book, seen, SEEN_APART)
            except TagbenchError as error:
                log.warning("when phones were last here could not be written down: %s", error)

    def invite(self) -> Invitation:
        """A fresh pairing code and link, good for five minutes and one phone."""
        return self.pairing.invite()

    def pairing_url(self, invitation: Invitation) -> str:
        """The link for the symbol that pairs a phone in one scan, in capitals like on the tags."""
        return f"{self.urls[0]}pair/{invitation.secret}".upper()

    def phones(self) -> list[Phone]:
        """The paired phones with when each was last here, the latest first."""
        seen = self._middleware.seen if self._middleware is not None else {}
        known = [
            phone if phone.id not in seen else replace(phone, seen=seen[phone.id])
            for phone in self._book.records.phones.values()
        ]
        return sorted(known, key=lambda phone: phone.seen or phone.paired, reverse=True)

    def forget(self, number: int) -> Phone:
        """Takes a phone away at once; it is asked to pair again at its next request."""
        return phones.forget(self._book, number)

    def remember(self) -> None:
        """Writes down host, port and the address that tags are printed with."""
        phones.answer_at(self._book, self.host, self.port, self.address)


def _port_of(server: asyncio.Server) -> int:
    return int(server.sockets[0].getsockname()[1])


def _why_not(error: OSError, host: str, port: int) -> TagbenchError:
    """A host that is none of this computer's was mistyped; the rest failed."""
    other = isinstance(error, socket.gaierror) or error.errno in (errno.EADDRNOTAVAIL, None)
    if other:
        return BadInput(
            f"{host} is not a name or an address of this computer: use home for the home network."
        )
    if error.errno == errno.EADDRINUSE:
        return TagbenchError(
            f"Port {port} is in use by another program: choose another port, such as {port + 1}."
        )
    return TagbenchError(
        f"The phone page cannot answer at {host}:{port} ({error.strerror}): try another port."
    )
