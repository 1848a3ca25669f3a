"""The mat photographed with the phone: measured right away, and its result waits on the bench."""

from __future__ import annotations

import asyncio
import dataclasses
import tempfile
from datetime import datetime
from pathlib import Path

from aiohttp import web

from tagbench.errors import BadInput, TagbenchError
from tagbench.measure.refusals import NoMatSeen
from tagbench.measure.waiting import keep, keep_result, measured
from tagbench.phone.events import Events, MatPhotographed
from tagbench.phone.executor import Executor
from tagbench.phone.forms import Form, read_form
from tagbench.phone.limits import PhoneLimits
from tagbench.phone.origin import check_origin
from tagbench.phone.pictures import LOOKED_AT_SIDE, write_clean_copy
from tagbench.phone.sessions import session_of
from tagbench.phone.submissions import Submissions
from tagbench.phone.templates import page_for, render

TAKE_ONE = "Take a photo of the mat first."
ONE_ONLY = "Send one picture at a time: the one just taken, or one that was taken before."
PRINTED = ". The bench computer prints the mat with: tagbench mat -o mat.pdf"
WAITS = "It waits on the bench: F11 there opens it, and nothing is written down before that."


class MatPages:
    """The form for a photograph of the mat, and what was seen in it."""

    def __init__(
        self, executor: Executor, events: Events, limits: PhoneLimits, submissions: Submissions
    ) -> None:
        self._executor = executor
        self._events = events
        self._limits = limits
        self._submissions = submissions
        self._uploads = asyncio.Semaphore(limits.uploads)

    async def form(self, request: web.Request) -> web.StreamResponse:
        """The form."""
        return page_for(session_of(request), render("mat.html", said="", what=""))

    async def sent(self, request: web.Request) -> web.StreamResponse:
        """Measures the photograph, keeps it for the bench and says what is in it.

        One that cannot be measured is not kept: the page says what to do, and it is taken again.
        """
        session = session_of(request)
        check_origin(request)
        async with read_form(request, session, self._limits, self._uploads) as form:
            what = form.text("what")

            async def work() -> web.Response:
                said = await self._executor.decode(self._measure, form, self._executor.now())
                self._events.tell(MatPhotographed(said, session.phone))
                return page_for(session, render("mat.html", said=f"{said} {WAITS}", what=what))

            try:
                return await self._submissions.once(request.path, form, work)
            except TagbenchError as error:
                refused = error.plain + PRINTED if isinstance(error, NoMatSeen) else str(error)
                text = render("mat.html", said="", what=what, refused=refused)
                return page_for(session, text, 409)

    def _measure(self, form: Form, now: datetime) -> str:
        if not form.photos:
            raise BadInput(TAKE_ONE)
        if len(form.photos) > 1:
            raise BadInput(ONE_ONLY)
        book = self._executor.book.folder
        sides = dataclasses.replace(self._limits, photo_side=LOOKED_AT_SIDE)
        with tempfile.TemporaryDirectory(prefix="tagbench-mat-") as folder:
            plain = write_clean_copy(form.photos[0], Path(folder) / "mat.jpg", sides).path
            called = form.photo_names[0]
            if form.text("what") == "gasket":
                words = _gasket_words(plain, called)
                keep(book, plain, now)
                return words
            found = measured(plain, name=called)
            kept = keep(book, plain, now)
            keep_result(kept, found)
        said = "; ".join(f"{one.quantity}x {one.name}" for one in found.groups) or "nothing sure"
        left = f"; {len(found.unclear)} not measured" if found.unclear else ""
        return " ".join(filter(None, [f"On the mat: {said}{left}.", found.note]))


def _gasket_words(picture: Path, called: str) -> str:
    """What is seen of a gasket; it is followed again on the bench, where it can be mended."""
    from tagbench.measure.extra import need_extra

    need_extra()
    from tagbench.measure.gasket_outline import find_outline
    from tagbench.measure.picture import open_picture
    from tagbench.measure.rectification import straighten

    opened = dataclasses.replace(open_picture(picture), name=called)
    found = find_outline(straighten(opened))
    holes = "1 bolt hole" if len(found.holes) == 1 else f"{len(found.holes)} bolt holes"
    said = f"A gasket of {found.width:.0f} x {found.height:.0f} mm with {holes}."
    return " ".join([said, *found.notes])
