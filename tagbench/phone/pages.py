"""The pages that a paired phone reads."""

from __future__ import annotations

import logging
import secrets
from datetime import date
from typing import Any

from aiohttp import web

from labels.errors import LabelError
from tagbench.errors import BadInput, NotFound
from tagbench.phone.album import Album
from tagbench.phone.events import Events, TagOpened
from tagbench.phone.forms import Form
from tagbench.phone.guard import was_opened_by_hand
from tagbench.phone.outlook import Lookout
from tagbench.phone.page_error import PageError
from tagbench.phone.part_view import part_view
from tagbench.phone.routes import Route
from tagbench.phone.templates import ARMOUR, go_to, page, render
from tagbench.phone.views import FOUND, assemblies, bin_view, next_view, row
from tagbench.phone.visitors import Visitor
from tagbench.phone.workroom import Workroom
from tagbench.records import Bin, Part, Tables
from tagbench.rules.scan import Opened, look_up, typed_code

log = logging.getLogger("tagbench.phone")

ANY_TOKEN = secrets.token_hex(32)
"""Stands in a page that is kept for all phones, where each one's own form token belongs."""
SAID = {
    "photos": "The photos were added.",
    "care": "Ticked.",
    "fitted": "Fitted.",
    "snug": "Snug.",
    "short": "Written down.",
    "started": "The part is started.",
}
"""What a page may say at its top after something was done; the address names only the key."""


class Pages:
    """Reads the book and makes pages of it."""

    def __init__(self, room: Workroom, events: Events) -> None:
        self._room = room
        self._events = events
        self._lookout = Lookout()
        self._album = Album(room.book.photos)

    async def answer(self, request: web.BaseRequest, asked: Route, who: Visitor) -> web.Response:
        """The page for a route."""
        tables = await self._room.fresh()
        match asked.name:
            case "tag":
                return await self._tag(tables, request, asked, who)
            case "next":
                return page(await self._room.read(self._next, tables))
            case "find":
                return await self._find(tables, request.query.get("words", "")[:200].strip())
            case "photo":
                return await self._photo(request, asked)
            case "pair":
                return go_to("/")
        # A deed reloaded or typed in by hand: show the tag it is about.
        return go_to(f"/{await self._room.read(self.code, asked.code)}")

    def _next(self, tables: Tables) -> str:
        return render("next.html", view=next_view(self._lookout.over(tables, self._today())))

    async def _find(self, tables: Tables, words: str) -> web.Response:
        code = await self._room.read(_typed_tag, tables, words)
        return (
            go_to(f"/{code}") if code else page(await self._room.read(self._found, tables, words))
        )

    def _found(self, tables: Tables, words: str) -> str:
        found = self._lookout.find(tables, words, FOUND) if words else []
        rows = [row(tables, one.part, why=one.why) for one in found]
        return render("find.html", words=words, found=rows)

    async def _tag(
        self, tables: Tables, request: web.BaseRequest, asked: Route, who: Visitor
    ) -> web.Response:
        kept = self._lookout.kept(tables, asked.code)
        if kept is None:
            kept = await self._room.read(self._opened, tables, asked.code)
        opened, text = kept
        said = SAID.get(request.query.get("said", ""), "")
        if said:
            text = await self._room.read(self._tag_page, tables, opened, said=said)
        elif was_opened_by_hand(request):
            log.info("the phone %s opened %s", who.phone.name, opened.code)
            self._events.tell(TagOpened(opened.code, opened.kind, who.phone))
        return page(text.replace(ANY_TOKEN, who.form_token))

    def _today(self) -> date:
        return self._room.book.now().date()

    def code(self, typed: str) -> str:
        """The code of the tag that a path names; raises CodeError or NotFound."""
        tables = self._room.records
        return look_up(tables, typed_code(tables, typed)).code

    def _opened(self, tables: Tables, typed: str) -> tuple[Opened, str]:
        opened = look_up(tables, typed_code(tables, typed))
        text = self._tag_page(tables, opened)
        self._lookout.over(tables, self._today()).keep(typed, opened, text)
        return opened, text

    def refused(self, code: str, who: Visitor, form: Form, error: BadInput, anyway: str) -> str:
        """The page of a tag again, with why something was not done and what was typed.

        `anyway`: snug or fitted when the refusal can be overruled, else empty.
        """
        tables = self._room.records
        opened = look_up(tables, code)
        text = self._tag_page(tables, opened, refused=str(error), typed=form.fields, anyway=anyway)
        return text.replace(ANY_TOKEN, who.form_token)

    def _tag_page(self, tables: Tables, opened: Opened, **shown: Any) -> str:
        """The page of a part, bin or spare tag, with `ANY_TOKEN` where a form token belongs."""
        shown = {"typed": {}, "anyway": "", "form_token": ANY_TOKEN, **shown}
        if isinstance(opened.record, Part):
            view = part_view(self._lookout.over(tables, self._today()), opened.record)
            return render("part.html", **shown, view=view)
        if isinstance(opened.record, Bin):
            return render("bin.html", **shown, view=bin_view(tables, opened.record))
        known = assemblies(tables, opened.code.split("-", 1)[0])
        return render("spare.html", **shown, code=opened.code, assemblies=known)

    async def _photo(self, request: web.BaseRequest, asked: Route) -> web.Response:
        opened = look_up(self._room.records, self.code(asked.code))
        if not isinstance(opened.record, Part):
            raise PageError(404, f"{opened.code} has no photos.")
        mark, data = await self._room.decode(self._album.photo, opened.record, int(asked.item))
        headers = {**ARMOUR, "ETag": f'"{mark}"', "Cache-Control": "private, no-cache"}
        if request.headers.get("If-None-Match") == f'"{mark}"':
            return web.Response(status=304, headers=headers)
        return web.Response(body=data, content_type="image/jpeg", headers=headers)


def _typed_tag(tables: Tables, words: str) -> str:
    """The code of a tag of this book when that is what was typed, else nothing."""
    try:
        return look_up(tables, typed_code(tables, words)).code
    except (LabelError, NotFound):
        return ""
