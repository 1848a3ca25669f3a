"""The phone page: every request comes in here, and every answer leaves from here."""

from __future__ import annotations

import errno
import logging
from collections.abc import Collection
from datetime import datetime, timedelta
from time import monotonic

from aiohttp import web

from labels.errors import CodeError, LabelError
from tagbench.book.operations.phones import were_here
from tagbench.errors import BadInput, BookError, NotFound, TagbenchError
from tagbench.phone.deeds import Deeds
from tagbench.phone.doorstep import Doorstep
from tagbench.phone.guard import READING, check_host
from tagbench.phone.limits import Limits
from tagbench.phone.page_error import DISK_FULL, PageError
from tagbench.phone.pages import Pages
from tagbench.phone.rates import Rate
from tagbench.phone.routes import Route, route
from tagbench.phone.templates import ARMOUR, told
from tagbench.phone.visitors import Visitor, visitor
from tagbench.phone.visits import Visit
from tagbench.phone.workroom import Workroom

log = logging.getLogger("tagbench.phone")

SEEN_APART = timedelta(hours=12)
"""A visit is written down when the last one written is older than this."""
BROKEN = "Something went wrong on the bench computer; nothing was kept. Try again."
_STATUS = {CodeError: 404, NotFound: 404, BookError: 503, BadInput: 409}


class Site:
    """Answers requests; `hosts` and `port` are what this server may be called by."""

    def __init__(
        self, room: Workroom, pages: Pages, deeds: Deeds, doorstep: Doorstep, limits: Limits
    ) -> None:
        self.hosts: Collection[str] = ()
        self.port = 0
        self.seen: dict[int, datetime] = {}
        self._noted: dict[int, float] = {}
        self._room = room
        self._pages = pages
        self._deeds = deeds
        self._doorstep = doorstep
        self._paired = Rate(limits.phone_burst, limits.phone_pace)
        self._strangers = Rate(limits.stranger_burst, limits.stranger_pace)

    async def answer(self, request: web.BaseRequest) -> web.StreamResponse:
        """The answer to any request at all; never raises for what a request says."""
        visit = request.protocol
        assert isinstance(visit, Visit)
        visit.begin()
        try:
            return await self._answer(request)
        finally:
            visit.end()

    async def _answer(self, request: web.BaseRequest) -> web.Response:
        who = None
        try:
            check_host(request, self.hosts, self.port)
            who = visitor(request.headers.getall("Cookie", ()), self._room.records.phones)
            self._refuse_haste(request, who)
            asked = route(request.path)
            if who is None:
                return await self._doorstep.answer(request, asked)
            return await self._for_phone(request, asked, who)
        except PageError as error:
            log.warning("%s: %s %s", _name(request, who), error.status, error)
            return _refused(error.status, str(error), who)
        except (TagbenchError, LabelError) as error:
            likely = getattr(error, "candidates", ())
            return _refused(_status(error), str(error), who, likely)
        except OSError as error:
            log.error("%s: %s", _name(request, who), error)  # noqa: TRY400 - one line will do
            full = error.errno in (errno.ENOSPC, errno.EDQUOT)
            return _refused(507, DISK_FULL, who) if full else _refused(500, BROKEN, who)
        except Exception:
            log.exception("%s: a request failed", _name(request, who))
            return _refused(500, BROKEN, who)

    async def _for_phone(
        self, request: web.BaseRequest, asked: Route | None, who: Visitor
    ) -> web.Response:
        await self._note(who)
        if asked is None:
            raise PageError(404, "There is no such page: scan a tag, or find a part.")
        if request.method in READING:
            return await self._pages.answer(request, asked, who)
        if request.method == "POST":
            return await self._deeds.answer(request, asked, who)
        raise PageError(405, "This page can only be read or filled in.")

    async def _note(self, who: Visitor) -> None:
        """Keeps in mind that the phone was here; writes it down when that is news."""
        phone, tick = who.phone, monotonic()
        if tick - self._noted.get(phone.id, -1.0) < 1.0:
            return
        self._noted[phone.id] = tick
        now = self.seen[phone.id] = self._room.now()
        if phone.seen is None or now - phone.seen > SEEN_APART:
            try:
                await self._room.change(were_here, self._room.book, {phone.id: now}, SEEN_APART)
            except BookError as error:
                log.warning("when %s was here could not be written down: %s", phone.name, error)

    def _refuse_haste(self, request: web.BaseRequest, who: Visitor | None) -> None:
        rate = self._strangers if who is None else self._paired
        caller = request.remote or "" if who is None else str(who.phone.id)
        if not rate.allows(caller):
            raise PageError(429, "Too many requests at once: wait a moment.")


def _refused(
    status: int, sentence: str, who: Visitor | None, likely: tuple[str, ...] = ()
) -> web.Response:
    """The reason, to a paired phone; a stranger gets the number alone."""
    if who is None:
        return web.Response(status=status, body=f"{status}\n".encode(), headers=ARMOUR)
    return told(status, sentence, paired=True, likely=likely)


def _status(error: Exception) -> int:
    return next((number for kind, number in _STATUS.items() if isinstance(error, kind)), 400)


def _name(request: web.BaseRequest, who: Visitor | None) -> str:
    return f"the phone {who.phone.name}" if who else f"a stranger at {request.remote}"
