"""Forms that were sent: each is done once, however often a slow connection has it sent."""

from __future__ import annotations

import asyncio
from collections import OrderedDict
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from typing import NamedTuple

from aiohttp import web

from tagbench.errors import BadInput
from tagbench.phone.forms import Form

KEPT = 500
"""Answers kept, of all phones together; the oldest one is forgotten."""
CHANGED = (
    "This form was sent before with something else in it, and that was done. If this is to be "
    "done as well, send it once more."
)


class _Answer(NamedTuple):
    """An answer, to be given again."""

    status: int
    body: bytes | None
    headers: dict[str, str]

    def response(self) -> web.Response:
        return web.Response(status=self.status, body=self.body, headers=self.headers)


@dataclass
class _Submission:
    """One form of one page."""

    turn: asyncio.Lock = field(default_factory=asyncio.Lock)
    digest: bytes = b""
    """What was in it when it was done."""
    answer: _Answer | None = None
    """What was answered; None while nothing was done."""


class Submissions:
    """Kept in memory only. A form is known by its token, which no other form carries."""

    def __init__(self) -> None:
        self._kept: OrderedDict[tuple[str, str], _Submission] = OrderedDict()

    async def once(
        self, path: str, form: Form, work: Callable[[], Awaitable[web.Response]]
    ) -> web.Response:
        """Does the form and gives the answer; sent again, it only gets the same answer.

        One that comes while the first is being done waits for it. What was refused was not done
        and may be sent again. Raises BadInput when other words are sent with a form that was
        done: nobody is to believe that they were taken in, and nothing is to be done twice for
        a word that was put right between two taps.
        """
        one = self._kept.setdefault((path, form.token), _Submission())
        self._kept.move_to_end((path, form.token))
        if len(self._kept) > KEPT:
            self._kept.popitem(last=False)
        async with one.turn:
            if one.answer is not None:
                if form.digest != one.digest:
                    raise BadInput(CHANGED)
                return one.answer.response()
            done = await work()
            if done.status < 400:
                body = done.body if isinstance(done.body, bytes) else None
                one.digest = form.digest
                one.answer = _Answer(done.status, body, dict(done.headers))
            return done
