"""What a paired phone does: photos, care, fitting, fasteners short, a part started."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable

from aiohttp import web

from tagbench.book.operations.building import FitForm, fit, missing_fasteners
from tagbench.book.operations.care import mark
from tagbench.book.operations.pictures import Sent, add_sent, start_sent
from tagbench.book.operations.strip import StripForm, part_by_code
from tagbench.errors import BadInput, Refused
from tagbench.phone.events import BookChanged, Events
from tagbench.phone.forms import Form, read_form
from tagbench.phone.guard import check_origin
from tagbench.phone.limits import Limits
from tagbench.phone.page_error import PageError, one_line
from tagbench.phone.pages import Pages
from tagbench.phone.pictures import clean
from tagbench.phone.routes import Route
from tagbench.phone.templates import go_to, page
from tagbench.phone.visitors import Visitor
from tagbench.phone.workroom import Workroom
from tagbench.records import CARE_STEPS
from tagbench.rules.describe.fasteners import PLAIN_UNIT
from tagbench.rules.rebuild.fit_text import read_torques

log = logging.getLogger("tagbench.phone")

Deed = Callable[[str, Form, Visitor], Awaitable[str]]
"""Does it to the tag with a code; gives the key of what the page says afterwards."""


class Deeds:
    """Changes the book for a phone, by the verbs that screens and commands use."""

    def __init__(self, room: Workroom, pages: Pages, events: Events, limits: Limits) -> None:
        self._room = room
        self._pages = pages
        self._events = events
        self._limits = limits
        self._uploads = asyncio.Semaphore(limits.uploads)
        self._deeds: dict[str, Deed] = {
            "care": self._care,
            "fit": self._fit,
            "short": self._short,
            "photos": self._photos,
            "start": self._start,
        }

    async def answer(self, request: web.BaseRequest, asked: Route, who: Visitor) -> web.Response:
        """Does what was asked and sends the phone on to the tag's page.

        When a rule stands in the way, the page comes back with the reason and what was typed.
        """
        check_origin(request)
        deed = self._deeds.get(asked.name)
        if deed is None:
            raise PageError(405, "This page can only be read.")
        async with read_form(request, who.form_token, self._limits, self._uploads) as form:
            code = await self._room.read(self._pages.code, asked.code)
            try:
                said = await deed(code, form, who)
            except BadInput as error:
                log.info("the phone %s was refused: %s", who.phone.name, one_line(error))
                how = form.text("how") if asked.name == "fit" and isinstance(error, Refused) else ""
                text = await self._room.read(self._pages.refused, code, who, form, error, how)
                return page(text, 409)
        self._tell(code, who, await self._room.read(self._last_words, code))
        return go_to(f"/{code}?said={said}")

    def _last_words(self, code: str) -> str:
        changes = self._room.book.history(code, limit=1)
        return changes[0].words if changes else ""

    def _tell(self, code: str, who: Visitor, words: str) -> None:
        log.info("the phone %s: %s", who.phone.name, words)
        self._events.tell(BookChanged(code, words, who.phone))

    async def _care(self, code: str, form: Form, who: Visitor) -> str:
        step = form.text("step")
        if step not in CARE_STEPS:
            raise BadInput(f"Tick one of {', '.join(CARE_STEPS)}.")
        with_what = form.text("with_what")
        await self._room.change(mark, self._room.book, [code], step, with_what=with_what)
        return "care"

    async def _fit(self, code: str, form: Form, who: Visitor) -> str:
        how = form.text("how")
        if how not in ("snug", "fitted"):
            raise BadInput("Say whether it is snug or fitted.")
        anyway = form.text("anyway") == "yes"
        if anyway and not form.text("why"):
            raise Refused("Say why it goes on all the same, so that it can be understood later.")
        torqued = await self._room.read(self._torqued, code, form.text("torqued"))
        wanted = FitForm(snug=how == "snug", torqued=torqued, anyway=anyway, why=form.text("why"))
        part = await self._room.change(fit, self._room.book, code, wanted)
        return part.fitted  # one that was given only some of its torques stays snug

    def _torqued(self, code: str, text: str) -> dict[int, float]:
        if not text:
            return {}
        part = part_by_code(self._room.records, code)
        machine = self._room.records.machines.get(part.machine)
        unit = machine.units.torque if machine else PLAIN_UNIT
        return read_torques(part, text.split(";"), unit)

    async def _short(self, code: str, form: Form, who: Visitor) -> str:
        line, short = _number(form, "line"), _number(form, "short")
        await self._room.change(missing_fasteners, self._room.book, code, {line: short})
        return "short"

    async def _photos(self, code: str, form: Form, who: Visitor) -> str:
        await self._room.change(add_sent, self._room.book, code, await self._cleaned(form, who))
        return "photos"

    async def _start(self, code: str, form: Form, who: Visitor) -> str:
        typed = StripForm(name=form.text("name"), assembly=form.text("assembly"))
        sent = await self._cleaned(form, who)
        await self._room.change(start_sent, self._room.book, typed, code, sent)
        return "started"

    async def _cleaned(self, form: Form, who: Visitor) -> list[Sent]:
        """The photos of a form as they may be kept; BadInput names the one that is none."""
        sent = []
        for number, path in enumerate(form.photos, 1):
            target = path.with_suffix(".jpg")
            try:
                picture = await self._room.decode(clean, path, target, self._limits)
            except BadInput as error:
                raise BadInput(f"Photo {number}: {error}") from error
            path.unlink()
            sent.append(Sent(picture.path, picture.taken, f"the phone {who.phone.name}"))
        return sent


def _number(form: Form, name: str) -> int:
    text = form.text(name)
    if not (text.isascii() and text.isdigit() and len(text) < 6):
        raise BadInput("Say how many are missing as a whole number, such as 1.")
    return int(text)
