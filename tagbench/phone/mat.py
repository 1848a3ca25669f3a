"""The mat photographed with the phone: measured right away, and its result waits on the bench."""

from __future__ import annotations

import asyncio
import dataclasses
import tempfile
from datetime import datetime
from pathlib import Path

from aiohttp import web

from tagbench.errors import BadInput, TagbenchError
from tagbench.measure.waiting import keep, keep_result, measured
from tagbench.phone.events import Events, MatPhotographed
from tagbench.phone.executor import Executor
from tagbench.phone.forms import Form, read_form
from tagbench.phone.limits import PhoneLimits
from tagbench.phone.origin import check_origin
from tagbench.phone.pictures import LOOKED_AT_SIDE, write_clean_copy
from tagbench.phone.sessions import session_of
from tagbench.phone.templates import page_for, render

TAKE_ONE = "Take a photo of the mat first."
WAITS = "It waits on the bench: F11 there opens it, and nothing is written down before that."


class MatPages:
    """The form for a photograph of the mat, and what was seen in it."""

    def __init__(self, executor: Executor, events: Events, limits: PhoneLimits) -> None:
        self._executor = executor
        self._events = events
        self._limits = limits
        self._uploads = asyncio.Semaphore(limits.uploads)

    async def form(self, request: web.Request) -> web.StreamResponse:
        """The form."""
        return page_for(session_of(request), render("mat.html", said="", refused=""))

    async def sent(self, request: web.Request) -> web.StreamResponse:
        """Measures the photograph, keeps it for the bench and says what is in it.

        One that cannot be measured is not kept: the page says what to do, and it is taken again.
        """
        session = session_of(request)
        check_origin(request)
        async with read_form(request, session.form_token, self._limits, self._uploads) as form:
            try:
                said = await self._executor.decode(self._measure, form, self._executor.now())
            except TagbenchError as error:
                refused = str(error)
                return page_for(session, render("mat.html", said="", refused=refused), 409)
        self._events.tell(MatPhotographed(said, session.phone))
        return page_for(session, render("mat.html", said=f"{said} {WAITS}", refused=""))

    def _measure(self, form: Form, now: datetime) -> str:
        if not form.photos:
            raise BadInput(TAKE_ONE)
        book = self._executor.book.folder
        sides = dataclasses.replace(self._limits, photo_side=LOOKED_AT_SIDE)
        with tempfile.TemporaryDirectory(prefix="tagbench-mat-") as folder:
            plain = write_clean_copy(form.photos[0], Path(folder) / "mat.jpg", sides).path
            if form.text("what") == "gasket":
                words = _gasket_words(plain)
                keep(book, plain, now)
                return words
            found = measured(plain)
            kept = keep(book, plain, now)
            keep_result(kept, found)
        said = "; ".join(f"{one.quantity}x {one.name}" for one in found.groups) or "nothing sure"
        left = f"; {len(found.unclear)} not measured" if found.unclear else ""
        return f"On the mat: {said}{left}."


def _gasket_words(picture: Path) -> str:
    """What is seen of a gasket; it is followed again on the bench, where it can be mended."""
    from tagbench.measure.extra import need_extra

    need_extra()
    from tagbench.measure.gasket_outline import find_outline
    from tagbench.measure.picture import open_picture
    from tagbench.measure.rectification import straighten

    found = find_outline(straighten(open_picture(picture)))
    holes = "1 bolt hole" if len(found.holes) == 1 else f"{len(found.holes)} bolt holes"
    return f"A gasket of {found.width:.0f} x {found.height:.0f} mm with {holes}."
