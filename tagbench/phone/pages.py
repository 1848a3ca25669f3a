"""The pages that a paired phone reads."""

from __future__ import annotations

import logging
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Any

from aiohttp import web

from labels.errors import LabelError
from tagbench.errors import NotFound
from tagbench.phone.activity import Activity
from tagbench.phone.away_view import away_view
from tagbench.phone.cache import Cache, Snapshot
from tagbench.phone.errors import PageError
from tagbench.phone.events import Events, TagOpened
from tagbench.phone.executor import Executor
from tagbench.phone.headers import CAMERA_HEADERS
from tagbench.phone.held_photos import NO_PHOTOS, HeldSet
from tagbench.phone.list_views import (
    FOUND,
    assemblies,
    bin_view,
    bins_used_last,
    count_view,
    next_view,
    row,
    settings_view,
)
from tagbench.phone.origin import was_opened_by_hand
from tagbench.phone.pairing import Handovers
from tagbench.phone.part_view import part_view
from tagbench.phone.photo_cache import PhotoCache
from tagbench.phone.sessions import Session, session_of
from tagbench.phone.templates import go_to, page_for, render
from tagbench.records import Bin, Part, Tables
from tagbench.rules.bins import bin_words
from tagbench.rules.describe.away import bag_words, loose_words, row_words
from tagbench.rules.describe.phrases import named
from tagbench.rules.find.index import Found, nothing_fits_all
from tagbench.rules.scan import Opened, look_up, typed_code

log = logging.getLogger("tagbench.phone")

_LIKE_A_CODE = re.compile(r"(?=.*[0-9])[A-Z0-9]{0,3}[0-9OQISZBGUV]+[A-Z0-9]?", re.IGNORECASE)
"""What may be a code or its short form, with the signs that look like digits on paper.

Looked at first, since to mend a code takes as long as to find a part.
"""
TRIED = "4 screws"
"""Looked for once when the records have changed, so that the index is ready for a person."""
REFUSED = 'role="alert"'
"""In the markup of a page that says why something was refused."""
Make = Callable[[Snapshot], str]


@dataclass(frozen=True)
class Refusal:
    """A form that was sent and not done."""

    words: str
    """Why."""
    form: str
    """Which one of its page: the last step of the path that it is sent to."""
    typed: Mapping[str, str]
    """Field → what was typed or chosen in it."""
    held: HeldSet = NO_PHOTOS
    """Its photos."""


@dataclass(frozen=True)
class OwnAddresses:
    """Where this server can be reached besides; asked each time, since that may change."""

    by_name: Callable[[], str]
    """Its address by name; empty when none is announced."""
    encrypted: Callable[[str], str]
    """Its encrypted address for a host; empty when it has none."""
    certificate: Callable[[], bytes]
    """The certificate that a phone installs."""


class Pages:
    """Reads the book and makes pages of it."""

    def __init__(
        self,
        executor: Executor,
        events: Events,
        activity: Activity,
        handovers: Handovers,
        addresses: OwnAddresses,
    ) -> None:
        self._executor = executor
        self._events = events
        self._activity = activity
        self._handovers = handovers
        self.addresses = addresses
        self._cache = Cache()
        self._photos = PhotoCache(executor.book.photos)

    # Pages with a list

    async def next(self, request: web.Request) -> web.StreamResponse:
        """What can be done now."""
        return await self._kept(request, "next", self._next)

    def _next(self, snapshot: Snapshot) -> str:
        return render(
            "next.html",
            view=next_view(snapshot, self._executor.now()),
            name=self.addresses.by_name(),
        )

    async def count(self, request: web.Request) -> web.StreamResponse:
        """Whether anything is missing or left over."""
        return await self._kept(
            request,
            "count",
            lambda now: _about(now.tables, "count.html", view=count_view(now.tables, now.today)),
        )

    async def settings(self, request: web.Request) -> web.StreamResponse:
        """The settings, each with a field for what was measured."""
        return await self._kept(request, "settings", self.settings_page)

    def settings_page(self, snapshot: Snapshot, **shown: Any) -> str:
        """The page of the settings."""
        tables = snapshot.tables
        return _about(tables, "settings.html", view=settings_view(tables), **shown)

    async def away(self, request: web.Request) -> web.StreamResponse:
        """What is with someone else, on order, and left over."""
        return await self._kept(request, "away", self.away_page)

    def away_page(self, snapshot: Snapshot, **shown: Any) -> str:
        """The page of what is away."""
        tables = snapshot.tables
        words = {
            "named": named,
            "row_words": row_words,
            "bag_words": partial(bag_words, tables),
            "loose_words": loose_words,
        }
        view = away_view(tables, self._today())
        return _about(tables, "away.html", view=view, **words, **shown)

    async def to_away(self, request: web.Request) -> web.StreamResponse:
        """An action of that page that is reloaded or typed in by hand: show the page."""
        return go_to("/away")

    async def to_settings(self, request: web.Request) -> web.StreamResponse:
        """A measurement that is reloaded or typed in by hand: show the settings."""
        return go_to("/settings")

    async def to_next(self, request: web.Request) -> web.StreamResponse:
        """A taking back that is reloaded or typed in by hand: show the first page."""
        return go_to("/")

    async def find(self, request: web.Request) -> web.StreamResponse:
        """The parts that answer best; the tag itself when its code was typed."""
        tables = self._executor.records
        words = request.query.get("words", "")[:200].strip()
        key, found, unknown = f"find {words}", list[Found](), ""
        if words and not self._cache.page(tables, key):
            if code := await self._executor.find(_typed_tag, tables, words):
                return go_to(f"/{code}")
            found = await self._executor.find(self._cache.find, tables, words, FOUND)
            unknown = await self._executor.find(self._cache.unknown_code, tables, words)
        return await self._kept(request, key, lambda now: self._found(now, words, found, unknown))

    def _found(self, snapshot: Snapshot, words: str, found: list[Found], unknown: str) -> str:
        rows = [row(snapshot.tables, one.part, why=one.why) for one in found]
        partly = "" if unknown else nothing_fits_all(found, words)
        return render("find.html", words=words, found=rows, unknown=unknown, partly=partly)

    async def scan(self, request: web.Request) -> web.StreamResponse:
        """A form for a photograph of one or several tags."""
        return page_for(session_of(request), self.scan_page(request))

    def scan_page(self, request: web.Request, **shown: Any) -> str:
        """The page for a photograph of tags, and what was seen in one."""
        encrypted = self._encrypted(request)
        return render("scan.html", **{"seen": (), "unknown": (), "encrypted": encrypted, **shown})

    async def camera(self, request: web.Request) -> web.StreamResponse:
        """The camera inside the page; only over an encrypted connection do browsers allow it."""
        if request.scheme != "https":
            return go_to("/scan")
        answer = page_for(session_of(request), render("camera.html"))
        answer.headers.update(CAMERA_HEADERS)
        return answer

    async def certificate(self, request: web.Request) -> web.StreamResponse:
        """How the phone gets to know the certificate of this bench."""
        encrypted = self._encrypted(request)
        if not encrypted:
            return go_to("/scan")
        return page_for(session_of(request), render("certificate.html", url=encrypted))

    async def certificate_file(self, request: web.Request) -> web.StreamResponse:
        """The certificate itself, without its key."""
        if not self._encrypted(request):
            return go_to("/scan")
        data = await self._executor.read(self.addresses.certificate)
        return web.Response(body=data, content_type="application/x-x509-ca-cert")

    def _encrypted(self, request: web.Request) -> str:
        return self.addresses.encrypted(request.url.host or "")

    async def strip(self, request: web.Request) -> web.StreamResponse:
        """The form for a part that came off and has no tag yet."""
        return await self._kept(request, "strip", lambda now: self.start_page(now.tables, ""))

    async def _kept(self, request: web.Request, key: str, make: Make) -> web.StreamResponse:
        """The page kept under a key, or made now, with what this phone has just done."""
        session = session_of(request)
        text = await self.kept_text(key, make)
        return page_for(session, text, top=self._done(request, session))

    async def kept_text(self, key: str, make: Make) -> str:
        """The page under a key for the records as they are now."""
        tables = self._executor.records
        return self._cache.page(tables, key) or await self._executor.read(
            self._make, tables, key, make
        )

    def _make(self, tables: Tables, key: str, make: Make) -> str:
        snapshot = self._cache.over(tables, self._today())
        text = snapshot.page(key)
        if not text:
            text = make(snapshot)
            snapshot.keep(key, text)
        return text

    async def warm(self) -> None:
        """Works out what the first pages need, when the records have changed."""
        tables = await self._executor.fresh()
        if not self._cache.page(tables, "next"):
            await self.kept_text("next", self._next)
            await self._executor.find(self._cache.find, tables, TRIED, FOUND)

    def _today(self) -> date:
        return self._executor.book.now().date()

    # The pages of tags

    async def tag(self, request: web.Request) -> web.StreamResponse:
        """The page of a part, bin or spare tag."""
        session, typed = session_of(request), request.match_info["code"]
        tables = self._executor.records
        opened = _open(tables, typed)
        text = await self.kept_text(
            f"tag {opened.code}", lambda snapshot: self._tag_page(snapshot, opened)
        )
        done = self._done(request, session)
        top = done + self._offer(tables, opened, session)
        if was_opened_by_hand(request) and not done:
            log.info("the phone %s opened %s", session.phone.name, opened.code)
            self._events.tell(TagOpened(opened.code, opened.kind, session.phone))
        if opened.kind != "spare":
            self._activity.opened(session.phone, opened.code)
        return page_for(session, text, top=top)

    async def to_tag(self, request: web.Request) -> web.StreamResponse:
        """An action that is reloaded or typed in by hand: show the tag it is about."""
        return go_to(f"/{self.code(request.match_info['code'])}")

    def code(self, typed: str) -> str:
        """The code of the tag that a path names; raises CodeError or NotFound."""
        return _open(self._executor.records, typed).code

    async def refused_tag(
        self, session: Session, code: str, refusal: Refusal, *, anyway: str = ""
    ) -> web.StreamResponse:
        """The page of a tag again, with why something was not done and what was typed.

        `anyway`: snug or fitted when the refusal can be overruled, else empty.
        """

        def make(now: Snapshot, told: Mapping[str, Any]) -> str:
            return self._tag_page(now, look_up(now.tables, code), **told, anyway=anyway)

        return await self.refused(session, make, refusal, on_top=bool(anyway))

    async def refused(
        self,
        session: Session,
        make: Callable[[Snapshot, Mapping[str, Any]], str],
        refusal: Refusal,
        *,
        on_top: bool = False,
    ) -> web.StreamResponse:
        """A page again, with the refusal at the form that was sent and what was typed in it.

        When that form is no longer on the page, or with `on_top`, the refusal stands on top.
        """

        def told(now: Snapshot) -> str:
            shown = {
                "refused": refusal.words,
                "at": refusal.form,
                "typed": refusal.typed,
                "held": refusal.held,
            }
            text = "" if on_top else make(now, {**shown, "on_top": False})
            return text if REFUSED in text else make(now, shown)

        return await self.page_of(session, told, 409)

    async def page_of(self, session: Session, make: Make, status: int = 200) -> web.StreamResponse:
        """A page that is made for one phone and not kept."""
        text = await self._executor.read(
            lambda: make(self._cache.over(self._executor.records, self._today()))
        )
        return page_for(session, text, status)

    def _tag_page(self, snapshot: Snapshot, opened: Opened, **shown: Any) -> str:
        shown = {"anyway": "", **shown}
        tables = snapshot.tables
        if isinstance(opened.record, Part):
            view: Any = part_view(snapshot, opened.record, self._executor.now())
            mark = opened.record.machine
            bins = bins_used_last(tables, mark)
            return _about(tables, "part.html", **shown, view=view, bins=bins)
        if isinstance(opened.record, Bin):
            bins = bins_used_last(tables, tables.desk.machine)
            view = bin_view(tables, opened.record)
            return _about(tables, "bin.html", **shown, view=view, bins=bins)
        return self.start_page(tables, opened.code, **shown)

    def start_page(self, tables: Tables, code: str, **shown: Any) -> str:
        """The form that starts a part, on a spare tag or with the next code."""
        mark = code.split("-", 1)[0] if code else tables.desk.machine
        parts = tables.parts_of(mark)
        return _about(
            tables,
            "start.html",
            **{"echo": (), **shown},
            code=code,
            assemblies=assemblies(tables, mark),
            bins=bins_used_last(tables, mark),
            last=parts[-1] if parts else None,
        )

    # What one phone is told first

    def _done(self, request: web.Request, session: Session) -> str:
        """What the phone has just done, with the way back."""
        done = self._activity.done(session.phone, request.query.get("done", ""))
        return render("done.html", done=done) if done else ""

    def _offer(self, tables: Tables, opened: Opened, session: Session) -> str:
        """On a bin: to put into it what the phone had open before."""
        before = self._activity.opened_before(session.phone)
        if not isinstance(opened.record, Bin) or before in ("", opened.code):
            return ""
        part, box = tables.parts.get(before), tables.bins.get(before)
        if part is not None and part.bin != opened.code:
            return render("offer.html", code=opened.code, what=before, words=part.name)
        if box is not None and box.kept_in != opened.code and opened.record.kept_in != before:
            return render("offer.html", code=opened.code, what=before, words=bin_words(box))
        return ""

    # What is no page

    async def photo(self, request: web.Request) -> web.StreamResponse:
        """One photo of a part."""
        opened = _open(self._executor.records, request.match_info["code"])
        if not isinstance(opened.record, Part):
            raise PageError(404, f"{opened.code} has no photos.")
        number = int(request.match_info["number"])
        etag, data = await self._executor.decode(self._photos.photo, opened.record, number)
        headers = {"ETag": f'"{etag}"', "Cache-Control": "private, no-cache"}
        if request.headers.get("If-None-Match") == f'"{etag}"':
            return web.Response(status=304, headers=headers)
        return web.Response(body=data, content_type="image/jpeg", headers=headers)

    async def no_icon(self, request: web.Request) -> web.StreamResponse:
        """Browsers ask for an icon by themselves; there is none."""
        return web.Response(status=204)

    async def paired(self, request: web.Request) -> web.StreamResponse:
        """A pairing link opened by a phone that is paired already."""
        return go_to("/")

    async def by_name(self, request: web.Request) -> web.StreamResponse:
        """On to the name of this server, where the phone is known without pairing again."""
        url = self.addresses.by_name()
        if not url or not was_opened_by_hand(request):
            return go_to("/")
        return web.Response(
            status=303,
            headers={"Location": f"{url}pair/{self._handovers.offer(session_of(request).token)}"},
        )


def _about(tables: Tables, template: str, **shown: Any) -> str:
    """A page about these records: the codes of their tags are links."""
    return render(template, **{"known": partial(_has_page, tables), **shown})


def _has_page(tables: Tables, code: str) -> bool:
    """Whether a code that stands in a sentence is one of a tag of this book."""
    try:
        return look_up(tables, code).code == code
    except NotFound:
        return False


def _open(tables: Tables, typed: str) -> Opened:
    """The record of a tag; raises CodeError or NotFound."""
    # Most codes come from our own links and symbols, in their one spelling.
    known = typed in tables.parts or typed in tables.bins
    return look_up(tables, typed if known else typed_code(tables, typed))


def _typed_tag(tables: Tables, words: str) -> str:
    """The code of a tag of this book when that is what was typed, else nothing."""
    if not _LIKE_A_CODE.fullmatch(re.sub(r"[\s\-]", "", words)):
        return ""
    try:
        return _open(tables, words).code
    except (LabelError, NotFound):
        return ""
