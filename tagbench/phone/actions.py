"""What a paired phone does: photos, care, fitting, bins, a part started, taking back."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import AsyncIterator, Awaitable, Callable, Iterable
from contextlib import asynccontextmanager, suppress
from typing import Any

from aiohttp import web

from labels.errors import LabelError
from labels.scanning.reading import read_picture
from tagbench.book import Book
from tagbench.book.operations import away
from tagbench.book.operations.away import AwayForm
from tagbench.book.operations.bins import move_bin
from tagbench.book.operations.building import FitForm, fit_part, missing_fasteners, take_off_again
from tagbench.book.operations.care import tick_off
from tagbench.book.operations.composing import strip_twin, take_apart
from tagbench.book.operations.pictures import Sent, add_sent, start_sent
from tagbench.book.operations.settings import measure
from tagbench.book.operations.strip import StripForm, edit, part_by_code
from tagbench.errors import BadInput, NotFound, Refused
from tagbench.phone.activity import Activity
from tagbench.phone.away_view import AWAY_WORK
from tagbench.phone.cache import Snapshot
from tagbench.phone.errors import PageError, log_line
from tagbench.phone.events import BookChanged, Events
from tagbench.phone.executor import Executor, Made
from tagbench.phone.forms import Form, read_form
from tagbench.phone.held_photos import NO_PHOTOS, HeldPhotos, HeldSet
from tagbench.phone.limits import PhoneLimits
from tagbench.phone.origin import check_origin
from tagbench.phone.pages import Pages, Refusal
from tagbench.phone.pictures import look_at, write_clean_copy
from tagbench.phone.sessions import Session, session_of
from tagbench.phone.submissions import Submissions
from tagbench.phone.templates import go_to, page_for
from tagbench.records import CARE_STEPS, Fastener
from tagbench.rules.buying.open_orders import ORDERS
from tagbench.rules.days import parse_day
from tagbench.rules.describe.fasteners import PLAIN_UNIT
from tagbench.rules.describe.phrases import named
from tagbench.rules.rebuild.fit_text import read_torques
from tagbench.rules.scan import Opened, look_up, open_tag
from tagbench.trade.fasteners.reading import read_fasteners, typed_lines
from tagbench.trade.fasteners.spelling import spell

log = logging.getLogger("tagbench.phone")

TagHandler = Callable[[str, Form, Session], Awaitable[Made[Any]]]
"""Does it to the tag with a code."""
VERDICTS = ("reuse", "replace")


class Actions:
    """Changes the book for a phone, by the operations that screens and commands use."""

    def __init__(
        self,
        executor: Executor,
        pages: Pages,
        events: Events,
        activity: Activity,
        limits: PhoneLimits,
        submissions: Submissions,
        held: HeldPhotos,
    ) -> None:
        self._executor = executor
        self._pages = pages
        self._events = events
        self._activity = activity
        self._limits = limits
        self._submissions = submissions
        self._held = held
        self._uploads = asyncio.Semaphore(limits.uploads)
        self.of_tags: dict[str, TagHandler] = {
            "care": self._care,
            "verdict": self._verdict,
            "fit": self._fit,
            "off": self._off,
            "short": self._short,
            "fasteners": self._fasteners,
            "photos": self._photos,
            "put": self._put,
            "twin": self._twin,
            "apart": self._apart,
            "sent": self._sent,
            "here": self._here,
            "lost": self._lost,
            "start": self._start,
        }
        """Last step of the path → what is done to the tag before it."""

    # The requests

    async def tag(self, request: web.Request) -> web.StreamResponse:
        """Does something to a tag and shows its page, which says what was done.

        When a rule stands in the way, the page comes back with the reason and what was typed.
        """
        session, name = session_of(request), request.match_info["action"]
        async with self._form(request, session) as form:
            code = self._pages.code(request.match_info["code"])

            async def work() -> web.Response:
                made = await self.of_tags[name](code, form, session)
                self._held.drop(session.phone, form.text("held"))
                return self._done(session, made.result.code if name == "twin" else code, made)

            try:
                if name == "start" and form.text("how") == "check":
                    return await self._checked(code, form, session)
                return await self._submissions.once(request.path, form, work)
            except BadInput as error:
                overruled = name == "fit" and isinstance(error, Refused)
                return await self._pages.refused_tag(
                    session,
                    code,
                    await self._refusal(name, form, session, error),
                    anyway=form.text("how") if overruled else "",
                )

    async def strip(self, request: web.Request) -> web.StreamResponse:
        """Starts a part that has no tag yet; its page says the code to write on the bag."""
        session = session_of(request)
        async with self._form(request, session) as form:

            async def work() -> web.Response:
                made = await self._start("", form, session)
                self._held.drop(session.phone, form.text("held"))
                return self._done(session, made.result.code, made)

            try:
                if form.text("how") == "check":
                    return await self._checked("", form, session)
                return await self._submissions.once(request.path, form, work)
            except BadInput as error:
                return await self._pages.refused(
                    session,
                    lambda now, told: self._pages.start_page(now.tables, "", **told),
                    await self._refusal("start", form, session, error),
                )

    async def measure(self, request: web.Request) -> web.StreamResponse:
        """Writes down what a setting was measured at."""
        session, number = session_of(request), int(request.match_info["number"])
        return await self._listed(
            request,
            "/settings",
            str(number),
            lambda form: self._change(session, measure, number, form.text("value")),
            self._pages.settings_page,
        )

    async def away(self, request: web.Request) -> web.StreamResponse:
        """Does something to what is away, on order or left over, and shows the page again."""
        session, what = session_of(request), request.match_info["what"]
        return await self._listed(
            request,
            "/away",
            what,
            lambda form: self._change(session, AWAY_WORK[what], form),
            self._pages.away_page,
        )

    async def _listed(
        self,
        request: web.Request,
        path: str,
        name: str,
        change: Callable[[Form], Awaitable[Made[Any]]],
        make: Callable[..., str],
    ) -> web.StreamResponse:
        """Does what one form of a page with a list is for, and shows the page again."""
        session = session_of(request)
        async with self._form(request, session) as form:

            async def work() -> web.Response:
                return self._done(session, "", await change(form), path)

            try:
                return await self._submissions.once(request.path, form, work)
            except BadInput as error:
                return await self._pages.refused(
                    session,
                    lambda now, told: make(now, **told),
                    await self._refusal(name, form, session, error),
                )

    async def undo(self, request: web.Request) -> web.StreamResponse:
        """Takes back one thing that this phone has just done, and nothing else."""
        session = session_of(request)
        async with self._form(request, session) as form:

            async def work() -> web.Response:
                done = self._activity.done(session.phone, form.text("change"))
                if done is None or not done.can_be_undone:
                    raise PageError(
                        409,
                        "That cannot be taken back from here any more; at the bench Ctrl+T takes "
                        "back the last change.",
                    )
                made = await self._change(session, Book.undo, done.number)
                return self._done(session, done.code, made, self._page_of(done.code))

            return await self._submissions.once(request.path, form, work)

    async def scan(self, request: web.Request) -> web.StreamResponse:
        """Reads the tags in a photograph: opens the one, or lists several to go through."""
        session = session_of(request)
        async with self._form(request, session) as form:
            if not form.photos:
                return self._scanned(request, (), (), "Take a photo of the tag first.")
            texts: dict[str, None] = {}
            for path in form.photos:
                try:
                    picture = await self._executor.decode(look_at, path, self._limits)
                    found = await self._executor.decode(read_picture, picture)
                except (BadInput, LabelError) as error:
                    return self._scanned(request, (), (), str(error))
                texts |= dict.fromkeys(one.text for one in found)
        seen, unknown = self._known(texts)
        if not texts:
            return self._scanned(request, (), (), NOTHING_SEEN)
        if len(seen) == 1 and not unknown:
            return go_to(f"/{seen[0].code}")
        return self._scanned(request, tuple(seen), tuple(unknown))

    def _known(self, texts: Iterable[str]) -> tuple[list[Opened], list[str]]:
        """The tags of this book among what was read, each once, and why others are none."""
        seen: dict[str, Opened] = {}
        unknown: list[str] = []
        for text in texts:
            try:
                opened = open_tag(self._executor.records, text)
                seen[opened.code] = opened
            except (LabelError, NotFound) as error:
                unknown.append(str(error))
        return list(seen.values()), unknown

    def _scanned(
        self,
        request: web.Request,
        seen: tuple[Opened, ...],
        unknown: tuple[str, ...],
        refused: str = "",
    ) -> web.StreamResponse:
        text = self._pages.scan_page(request, seen=seen, unknown=unknown, refused=refused)
        return page_for(session_of(request), text, 409 if refused else 200)

    async def camera(self, request: web.Request) -> web.StreamResponse:
        """What the script of the camera page asks: which tags are in a frame, or in read texts."""
        session = session_of(request)
        async with self._form(request, session) as form:
            texts = dict.fromkeys(filter(None, [form.text("text")]))
            for path in form.photos:
                picture = await self._executor.decode(look_at, path, self._limits)
                found = await self._executor.decode(read_picture, picture)
                texts |= dict.fromkeys(one.text for one in found)
        seen, unknown = self._known(texts)
        return web.json_response(
            {"codes": [one.code for one in seen], "said": "" if seen else " ".join(unknown)}
        )

    # What all have in common

    @asynccontextmanager
    async def _form(self, request: web.Request, session: Session) -> AsyncIterator[Form]:
        check_origin(request)
        async with read_form(request, session, self._limits, self._uploads) as form:
            yield form

    async def _change(
        self, session: Session, work: Callable[..., Any], *args: Any, **how: Any
    ) -> Made[Any]:
        """Runs an operation on the book for the phone, if it is still paired then."""
        return await self._executor.change(session.phone, work, self._executor.book, *args, **how)

    def _done(self, session: Session, code: str, made: Made[Any], path: str = "") -> web.Response:
        path = path or f"/{code}"
        if made.change is None:
            return go_to(path)
        log.info("the phone %s: %s", session.phone.name, made.change.words)
        done = self._activity.did(session.phone, code, made.change)
        self._events.tell(BookChanged(code, made.change.words, session.phone))
        return go_to(f"{path}?done={done.number}")

    def _page_of(self, code: str) -> str:
        """The page of a tag, or the first page when the tag is no longer of anything."""
        try:
            return f"/{look_up(self._executor.records, code).code}"
        except NotFound:
            return "/"

    async def _refusal(self, name: str, form: Form, session: Session, error: BadInput) -> Refusal:
        """What is told of a form that was refused; its photos are kept for the next try."""
        log.info("the phone %s was refused: %s", session.phone.name, log_line(error))
        held, lost = await self._hold(form, session)
        words = str(error) if lost in str(error) else f"{error} {lost}"
        return Refusal(words, name, form.fields, held)

    # Care, fitting, fasteners

    async def _care(self, code: str, form: Form, session: Session) -> Made[Any]:
        step = form.text("step")
        if step not in CARE_STEPS:
            raise BadInput(f"Tick one of {', '.join(CARE_STEPS)}.")
        with_what = form.text("with_what")
        return await self._change(session, tick_off, [code], step, with_what=with_what)

    async def _verdict(self, code: str, form: Form, session: Session) -> Made[Any]:
        verdict = form.text("verdict")
        if verdict not in VERDICTS:
            raise BadInput("Say whether it is used again or replaced: reuse or replace.")
        orders = form.text("orders")
        if orders not in ORDERS:
            raise BadInput("Say whether the order is kept or called off: keep or off.")
        return await self._change(session, tick_off, [code], verdict, orders=orders)

    async def _fit(self, code: str, form: Form, session: Session) -> Made[Any]:
        how = form.text("how")
        if how not in ("snug", "fitted"):
            raise BadInput("Say whether it is snug or fitted.")
        anyway = form.text("anyway") == "yes"
        if anyway and not form.text("why"):
            raise Refused("Say why it goes on all the same, so that it can be understood later.")
        torqued = self._torqued(code, form)
        wanted = FitForm(snug=how == "snug", torqued=torqued, anyway=anyway, why=form.text("why"))
        return await self._change(session, fit_part, code, wanted)

    def _torqued(self, code: str, form: Form) -> dict[int, float]:
        """Line → torque, each from the field of its line."""
        part = part_by_code(self._executor.records, code)
        machine = self._executor.records.machines.get(part.machine)
        unit = machine.units.torque if machine else PLAIN_UNIT
        texts = (
            (number, form.text(f"torque{number}")) for number in range(1, len(part.fasteners) + 1)
        )
        return read_torques(part, [f"{number}={text}" for number, text in texts if text], unit)

    async def _off(self, code: str, form: Form, session: Session) -> Made[Any]:
        return await self._change(session, take_off_again, code)

    async def _short(self, code: str, form: Form, session: Session) -> Made[Any]:
        line, short = form.number("line"), form.number("short")
        return await self._change(session, missing_fasteners, code, {line: short})

    async def _fasteners(self, code: str, form: Form, session: Session) -> Made[Any]:
        """Other words for the fasteners; those whose words are the same stay as they are."""
        part = part_by_code(self._executor.records, code)
        kept = {spell(line): line for line in part.fasteners}
        fasteners = tuple(kept.get(text) or fastener for text, fastener in _read_fasteners(form))
        words = f"changed the fasteners of {named(part)}"
        return await self._change(session, edit, code, words, fasteners=fasteners)

    # Where it is kept

    async def _put(self, code: str, form: Form, session: Session) -> Made[Any]:
        """Puts the tag's part or bin into another one, or into this bin what was open before."""
        what, into = form.text("what") or code, form.text("into")
        if form.text("what"):
            into = code
        if not into:
            raise BadInput("Say which bag, box or shelf: its code, its name or its path.")
        if what in self._executor.records.bins:
            return await self._change(session, move_bin, what, into)
        part = part_by_code(self._executor.records, what)
        words = f"put {part.said} ({what}) into {into}"
        return await self._change(session, edit, what, words, bin=into)

    # Photos and new parts

    async def _photos(self, code: str, form: Form, session: Session) -> Made[Any]:
        return await self._change(session, add_sent, code, await self._cleaned(form, session))

    async def _start(self, code: str, form: Form, session: Session) -> Made[Any]:
        typed = StripForm(
            name=form.text("name"),
            assembly=form.text("assembly"),
            position=form.text("position"),
            quantity=form.number("quantity") if form.text("quantity") else 1,
            fasteners=tuple(fastener for _, fastener in _read_fasteners(form)),
            sits_how=form.text("sits_how"),
            bin=form.text("bin"),
            note=read_fasteners(form.lines("fasteners")).note(),
            behind=(form.text("behind"),) if form.text("behind") else (),
        )
        sent = await self._cleaned(form, session)
        return await self._change(session, start_sent, typed, code, sent)

    async def _checked(self, code: str, form: Form, session: Session) -> web.StreamResponse:
        """The form again, with how its fasteners are understood; nothing is written."""
        await self._cleaned(form, session)
        echo = _echo(form.lines("fasteners"))
        held, _ = await self._hold(form, session)

        def make(now: Snapshot) -> str:
            return self._pages.start_page(now.tables, code, typed=form.fields, echo=echo, held=held)

        return await self._pages.page_of(session, make)

    async def _twin(self, code: str, form: Form, session: Session) -> Made[Any]:
        """The same part on the other side, its words mirrored, and the two linked."""
        return await self._change(session, strip_twin, code)

    async def _sent(self, code: str, form: Form, session: Session) -> Made[Any]:
        """Goes to someone else."""
        due = parse_day(form.text("due"), self._executor.now().date())
        errand = AwayForm(form.text("who"), form.text("what_for"), due=due)
        return await self._change(session, away.send_away, [code], errand)

    async def _here(self, code: str, form: Form, session: Session) -> Made[Any]:
        """Came back from someone else, or was found again."""
        part = part_by_code(self._executor.records, code)
        if part.away is not None:
            return await self._change(session, away.bring_back, [code])
        return await self._change(session, away.found_again, code)

    async def _lost(self, code: str, form: Form, session: Session) -> Made[Any]:
        return await self._change(session, away.lose, code, form.text("last_seen"))

    async def _apart(self, code: str, form: Form, session: Session) -> Made[Any]:
        """Takes a sub-assembly apart."""
        return await self._change(session, take_apart, code)

    async def _cleaned(self, form: Form, session: Session) -> list[Sent]:
        """The photos kept with a form and those sent in it, as they may be kept in the book.

        Raises BadInput, which names each that is none; the others are clean all the same.
        """
        none = []
        for number, path in enumerate(form.photos, 1):
            target = path.with_suffix(".jpg")
            try:
                picture = await self._executor.decode(write_clean_copy, path, target, self._limits)
            except BadInput as error:
                none.append(f"Photo {number}: {error}")
                continue
            finally:
                path.unlink()
            form.clean.append(Sent(picture.path, picture.taken, f"the phone {session.phone.name}"))
        form.photos.clear()
        if none:
            raise BadInput(" ".join(none))
        wanted = [*self._held_with(form, session).photos, *form.clean]
        if len(wanted) > self._limits.photos:
            raise BadInput(
                f"Send at most {self._limits.photos} photos at once: the first of them are kept."
            )
        return wanted

    def _held_with(self, form: Form, session: Session) -> HeldSet:
        """The photos that are kept with a form and wanted; raises BadInput when they are gone."""
        if form.text("without"):
            return NO_PHOTOS
        return self._held.of(session.phone, form.text("held"))

    async def _hold(self, form: Form, session: Session) -> tuple[HeldSet, str]:
        """Keeps the photos of a form that comes back, so that nobody chooses them again.

        Gives them, and a sentence about those that cannot be kept.
        """
        lost, held = "", NO_PHOTOS
        try:
            await self._cleaned(form, session)
        except BadInput as error:
            lost = str(error)
        with suppress(BadInput):  # that they are gone is in the sentence
            held = self._held_with(form, session)
        if form.clean:
            wanted = [*held.photos, *form.clean][: self._limits.photos]
            held = self._held.hold(session.phone, wanted)
        if form.text("held") != held.key:
            self._held.drop(session.phone, form.text("held"))
        return held, lost


NOTHING_SEEN = (
    "No tag was seen in the photo: hold the phone closer, keep it still, avoid glare. "
    "Or type the words or the code that are printed on the tag."
)


def _read_fasteners(form: Form) -> list[tuple[str, Fastener]]:
    """Each line as typed and as understood; what is not understood stands in its words."""
    return [
        (text, fastener)
        for text in typed_lines(form.lines("fasteners"))
        for fastener in read_fasteners(text).lines
    ]


def _echo(text: str) -> tuple[tuple[str, str, bool], ...]:
    """Each typed line, how it is understood, and whether all of it is."""
    told = []
    for line in typed_lines(text):
        reading = read_fasteners(line)
        said = "; ".join(map(spell, reading.lines))
        told.append((line, " ".join([said, *reading.answer()]), not reading.answer()))
    return tuple(told)
