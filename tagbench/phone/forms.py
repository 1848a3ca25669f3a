"""Reading what a phone sends: small forms whole, photos streamed to a folder of their own."""

from __future__ import annotations

import asyncio
import hashlib
import os
import re
import shutil
import tempfile
import time
from collections.abc import AsyncIterator, Awaitable
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar
from urllib.parse import parse_qsl

from aiohttp import BodyPartReader, MultipartReader, web
from aiohttp.http_exceptions import HttpProcessingError

from tagbench.book.operations.pictures import Sent
from tagbench.errors import BadInput
from tagbench.phone.errors import FORGED, TOO_LARGE, TOO_SLOW, UNREADABLE, PageError
from tagbench.phone.limits import PhoneLimits
from tagbench.phone.sessions import Session
from tagbench.records.text import one_line

T = TypeVar("T")
TOKEN_FIELD = "form"
UPLOAD_PREFIX = "tagbench-upload-"
"""Before the number of the process, in the name of the folder that holds what it takes in."""
CHUNK = 64 * 1024
MOST_DIGITS = 6
"""Of a number that is typed: nobody counts a million pieces."""
_BROKEN = (
    ValueError,
    RuntimeError,
    LookupError,
    AssertionError,
    HttpProcessingError,
    web.RequestPayloadError,
)


@dataclass
class Form:
    """What was typed, and the photos as files that live as long as the request."""

    fields: dict[str, str] = field(default_factory=dict)
    """Field → what was typed; the last one of a name counts."""
    photos: list[Path] = field(default_factory=list)
    """The photos as they were sent, not yet looked at."""
    photo_names: list[str] = field(default_factory=list)
    """What the phone calls each of them."""
    clean: list[Sent] = field(default_factory=list)
    """Those that were looked at, as they may be kept."""
    token: str = ""
    """The token of this form, as its page carried it."""
    photo_digests: list[bytes] = field(default_factory=list)
    """SHA-256 of each photo as it was sent."""

    @property
    def digest(self) -> bytes:
        """SHA-256 of everything that was typed, chosen and sent in it."""
        said = repr((sorted(self.fields.items()), self.photo_digests))
        return hashlib.sha256(said.encode()).digest()

    def text(self, name: str) -> str:
        """What was typed in a field, on one line; empty when it is not there."""
        return " ".join(self.fields.get(name, "").split())

    def number(self, name: str) -> int:
        """The whole number that was typed in a field; raises BadInput."""
        text = self.text(name)
        if not (text.isascii() and text.isdigit() and len(text) <= MOST_DIGITS):
            raise BadInput("Say how many as a whole number, such as 1.")
        return int(text)

    def lines(self, name: str) -> str:
        """What was typed in a field of several lines."""
        return self.fields.get(name, "").strip()


@asynccontextmanager
async def read_form(
    request: web.Request, session: Session, limits: PhoneLimits, uploads: asyncio.Semaphore
) -> AsyncIterator[Form]:
    """The form of a request, once its token is right; its photos are gone at the end.

    Raises PageError: 403 without the right token, 408 too slow, 413 too large, 415 no form,
    400 not to be read. A length that is too large is refused before anything is read.
    """
    kind = request.content_type
    if "Content-Encoding" in request.headers:
        raise PageError(415, UNREADABLE)
    if kind == "application/x-www-form-urlencoded":
        yield _checked(Form(fields=await read_fields(request, limits)), session)
    elif kind == "multipart/form-data":
        refuse_length(request, limits.upload_bytes)
        async with uploads:
            with tempfile.TemporaryDirectory(prefix=f"{UPLOAD_PREFIX}{os.getpid()}-") as folder:
                yield await _Upload(request, session, limits, Path(folder)).read()
    else:
        raise PageError(415, UNREADABLE)


def sweep_uploads() -> int:
    """Removes what killed programs of this user have left of uploads; gives how many folders."""
    swept = 0
    for folder in Path(tempfile.gettempdir()).glob(f"{UPLOAD_PREFIX}*"):
        owner = re.fullmatch(rf"{UPLOAD_PREFIX}([0-9]+)-\w+", folder.name)
        with suppress(OSError):
            if owner and not folder.is_symlink() and not _is_running(int(owner[1])):
                shutil.rmtree(folder)
                swept += 1
    return swept


def _is_running(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:  # it runs and belongs to somebody else
        return True
    return True


def refuse_length(request: web.Request, most: int) -> None:
    """Refuses a body that says it is too large, before it is read."""
    if (request.content_length or 0) > most:
        raise PageError(413, TOO_LARGE)


async def read_fields(request: web.Request, limits: PhoneLimits) -> dict[str, str]:
    """The fields of a form without photos, limited in size and time."""
    refuse_length(request, limits.form_bytes)
    body = bytearray()
    try:
        async with asyncio.timeout(limits.form_seconds):
            async for chunk in request.content.iter_any():
                body += chunk
                if len(body) > limits.form_bytes:
                    raise PageError(413, TOO_LARGE)
        pairs = parse_qsl(
            body.decode(), keep_blank_values=True, errors="strict", max_num_fields=limits.fields
        )
    except TimeoutError:
        raise PageError(408, TOO_SLOW) from None
    except ValueError:  # not UTF-8, or too many fields
        raise PageError(400, UNREADABLE) from None
    return {name: _typed(text, limits) for name, text in pairs}


def _plain_name(text: str) -> str:
    """The name of a file without its folders, as it may stand in a sentence; never a path here."""
    return one_line(re.split(r"[/\\]", text)[-1], 40) or "the photo"


def _typed(text: str, limits: PhoneLimits) -> str:
    if len(text.encode()) > limits.field_bytes:
        raise PageError(413, "One of the texts is too long; shorten it.")
    plain = text.replace("\r\n", "\n")
    return "".join(sign if sign.isprintable() or sign == "\n" else " " for sign in plain)


def _checked(form: Form, session: Session) -> Form:
    form.token = form.fields.pop(TOKEN_FIELD, "")
    if not session.gave(form.token):
        raise PageError(403, FORGED)
    return form


class _Upload:
    """One multipart form being read; the token must come before the first photo."""

    def __init__(
        self, request: web.Request, session: Session, limits: PhoneLimits, folder: Path
    ) -> None:
        self.request = request
        self.session = session
        self.limits = limits
        self.folder = folder
        self.form = Form()
        self.trusted = False
        self.since = time.monotonic()
        self.taken = 0

    async def read(self) -> Form:
        try:
            reader = await self.request.multipart()
            for _ in range(self.limits.fields):
                part = await self._soon(reader.next())
                if part is None:
                    return self._whole()
                await self._take(part)
        except _BROKEN:
            raise PageError(400, UNREADABLE) from None
        raise PageError(413, TOO_LARGE)

    def _whole(self) -> Form:
        if not self.trusted:
            raise PageError(403, FORGED)
        return self.form

    async def _take(self, part: MultipartReader | BodyPartReader) -> None:
        if not isinstance(part, BodyPartReader) or not part.name:
            raise PageError(400, UNREADABLE)
        if part.filename is None:
            await self._take_field(part.name, part)
        elif self.trusted:
            await self._take_photo(part)
        else:
            raise PageError(403, FORGED)

    async def _take_field(self, name: str, part: BodyPartReader) -> None:
        text = bytearray()
        while chunk := await self._chunk(part):
            text += chunk
            if len(text) > self.limits.field_bytes:
                raise PageError(413, "One of the texts is too long; shorten it.")
        self.form.fields[name] = _typed(text.decode(), self.limits)
        if name == TOKEN_FIELD:
            _checked(self.form, self.session)
            self.trusted = True

    async def _take_photo(self, part: BodyPartReader) -> None:
        path = self.folder / f"{len(self.form.photos):03d}"
        size, digest = 0, hashlib.sha256()
        with path.open("wb") as file:
            while chunk := await self._chunk(part):
                size += len(chunk)
                if size > self.limits.photo_bytes:
                    raise PageError(413, TOO_LARGE)
                file.write(chunk)
                digest.update(chunk)
        # A browser sends an empty file for a field in which nothing was chosen.
        if size:
            self.form.photos.append(path)
            self.form.photo_names.append(_plain_name(part.filename or ""))
            self.form.photo_digests.append(digest.digest())
        if len(self.form.photos) > self.limits.photos:
            raise PageError(413, f"Send at most {self.limits.photos} photos at once.")

    async def _chunk(self, part: BodyPartReader) -> bytes:
        chunk = await self._soon(part.read_chunk(CHUNK))
        self.taken += len(chunk)
        seconds = time.monotonic() - self.since - self.limits.stall_seconds
        if self.taken > self.limits.upload_bytes:
            raise PageError(413, TOO_LARGE)
        if seconds > 0 and self.taken < seconds * self.limits.upload_pace:
            raise PageError(408, TOO_SLOW)
        return chunk

    async def _soon(self, waiting: Awaitable[T]) -> T:
        try:
            async with asyncio.timeout(self.limits.stall_seconds):
                return await waiting
        except TimeoutError:
            raise PageError(408, TOO_SLOW) from None
