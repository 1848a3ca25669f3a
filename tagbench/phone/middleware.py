"""What every request passes on its way in."""

from __future__ import annotations

import asyncio
import errno
import logging
from collections.abc import Awaitable, Callable, Collection, Mapping
from datetime import datetime, timedelta
from time import monotonic

from aiohttp import web

from labels.errors import CodeError, LabelError
from tagbench.book.operations.phones import were_here
from tagbench.errors import BadInput, BookBusy, BookError, NotFound, TagbenchError
from tagbench.phone.addresses import split_host
from tagbench.phone.connections import Connections
from tagbench.phone.errors import (
    BROKEN,
    DISK_FULL,
    NO_PAGE,
    READ_ONLY,
    PageError,
    RefusalLog,
)
from tagbench.phone.executor import BUSY, Executor
from tagbench.phone.limits import PhoneLimits, Rate
from tagbench.phone.sessions import (
    find_session,
    is_paired,
    keep_session,
    name_of,
    session_of,
    token_in,
)
from tagbench.phone.templates import message_page
from tagbench.records import Phone

log = logging.getLogger("tagbench.phone")

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]
SEEN_APART = timedelta(hours=12)
"""When a phone was here is written down when the last time written is older than this."""
_STATUS: Mapping[type[Exception], int] = {
    CodeError: 404,
    NotFound: 404,
    BookError: 503,
    BadInput: 409,
}


class Middleware:
    """`chain` is what an application puts around its handlers, the outermost first.

    `names` and `ports` (by scheme) are what this server may be called by.
    """

    def __init__(
        self, executor: Executor, connections: Connections, stranger: Handler, limits: PhoneLimits
    ) -> None:
        self.names: Collection[str] = ()
        self.ports: dict[str, int] = {}
        self.seen: dict[int, datetime] = {}
        self.refusals = RefusalLog()
        self.chain = (self.timed, self.errors_told, self.own_host, self.session)
        self._executor = executor
        self._connections = connections
        self._stranger = stranger
        self._phones = Rate(limits.phone_burst, limits.phone_pace)
        self._strangers = Rate(limits.stranger_burst, limits.stranger_pace)
        self._noted: dict[int, float] = {}
        self._notes: set[asyncio.Task[None]] = set()

    @web.middleware
    async def timed(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """Sets the moments by which a request must be answered and its answer taken."""
        self._connections.begin(request)
        try:
            return await handler(request)
        finally:
            self._connections.end(request)

    @web.middleware
    async def errors_told(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """Makes a page of whatever goes wrong: a sentence for a paired phone, else a number."""
        try:
            return await handler(request)
        except web.HTTPException as error:
            sentence = {404: NO_PAGE, 405: READ_ONLY}.get(error.status, str(error.reason))
            return self._refused(request, error.status, sentence)
        except PageError as error:
            return self._refused(request, error.status, str(error))
        except BookBusy:
            return self._refused(request, 503, BUSY)
        except (TagbenchError, LabelError) as error:
            likely = getattr(error, "candidates", ())
            return self._refused(request, _status(error), str(error), likely)
        except OSError as error:
            log.error("%s: %s", name_of(request), error)  # noqa: TRY400 - one line will do
            full = error.errno in (errno.ENOSPC, errno.EDQUOT)
            return self._page(request, *((507, DISK_FULL) if full else (500, BROKEN)))
        except Exception:
            log.exception("%s: a request failed", name_of(request))
            return self._page(request, 500, BROKEN)

    @web.middleware
    async def own_host(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """Refuses a request that calls this server by a name that is not its own.

        The address that the phone connected to is always its own, also when the router has
        given out a new one since the start.
        """
        given = request.headers.getall("Host", [])
        host, port = split_host(given[0], request.scheme) if len(given) == 1 else ("", 0)
        if port != self.ports.get(request.scheme) or not (
            host in self.names or host == _reached_at(request)
        ):
            raise PageError(421, "This is not the address of the bench: scan the tag again.")
        return await handler(request)

    @web.middleware
    async def session(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """Looks up who asks in the book as it is now; a stranger gets the stranger's page."""
        token = token_in(request.headers.getall("Cookie", ()))
        tables = await self._executor.fresh() if token else self._executor.records
        found = find_session(token, tables.phones) if token else None
        rate, caller = self._strangers, request.remote or ""
        if found is not None:
            keep_session(request, found)
            rate, caller = self._phones, str(found.phone.id)
        if not rate.allows(caller):
            raise PageError(429, "Too many requests at once: wait a moment, then try again.")
        if found is None:
            return await self._stranger(request)
        self._note(found.phone)
        return await handler(request)

    def _refused(
        self, request: web.Request, status: int, sentence: str, likely: tuple[str, ...] = ()
    ) -> web.Response:
        self.refusals.note(name_of(request), status, sentence)
        return self._page(request, status, sentence, likely)

    def _page(
        self, request: web.Request, status: int, sentence: str, likely: tuple[str, ...] = ()
    ) -> web.Response:
        """The reason, to a paired phone; a stranger gets the number alone."""
        if not is_paired(request):
            return web.Response(status=status, body=f"{status}\n".encode())
        return message_page(status, sentence, session_of(request), likely=likely)

    def _note(self, phone: Phone) -> None:
        """Keeps in mind that the phone was here; has it written down when that is news."""
        tick = monotonic()
        if tick - self._noted.get(phone.id, -1.0) < 1.0:
            return
        self._noted[phone.id] = tick
        now = self.seen[phone.id] = self._executor.now()
        if phone.seen is None or now - phone.seen > SEEN_APART:
            writing = asyncio.get_running_loop().create_task(self._write_down(phone, now))
            self._notes.add(writing)
            writing.add_done_callback(self._notes.discard)

    async def _write_down(self, phone: Phone, now: datetime) -> None:
        seen = {phone.id: now}
        try:
            await self._executor.change(phone, were_here, self._executor.book, seen, SEEN_APART)
        except (TagbenchError, OSError) as error:
            log.warning("when %s was here could not be written down: %s", phone.name, error)

    async def close(self) -> None:
        """Waits for what is being written down."""
        if self._notes:
            await asyncio.wait(self._notes)
        self.refusals.close()


def _status(error: Exception) -> int:
    return next((number for kind, number in _STATUS.items() if isinstance(error, kind)), 400)


def _reached_at(request: web.Request) -> str:
    """The address of this computer that the phone has connected to."""
    here = request.get_extra_info("sockname")
    return str(here[0]) if here else ""
