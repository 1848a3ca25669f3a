"""Pairing: a six-digit code and a one-time link that the bench shows for a few minutes."""

from __future__ import annotations

import asyncio
import hmac
import secrets
import time
from base64 import b32encode
from collections.abc import Callable
from dataclasses import dataclass

LIFE_SECONDS = 300.0
"""How long a code and its link are good."""
ATTEMPTS = 5
"""Wrong codes until the code is no longer good."""
WAIT_SECONDS = 0.5
"""Wait after the first wrong code; it doubles with each one."""
LONGEST_WAIT_SECONDS = 8.0
QUEUE = 4
"""Tries that may wait at once; more are refused unread."""


@dataclass(frozen=True)
class Invitation:
    """What the bench shows while it waits for a phone."""

    code: str
    """Six digits."""
    secret: str
    """The one-time part of the link in the QR symbol: 128 random bits in base 32 (RFC 4648),
    capitals and digits only, so that the symbol stays small."""
    ends: float
    """When it stops being good, on the pairing's clock, seconds."""

    @property
    def spaced(self) -> str:
        """The code as it is read aloud: `123 456`."""
        return f"{self.code[:3]} {self.code[3:]}"


class Pairing:
    """At most one invitation at a time; a wrong code slows the next try down.

    Tries are answered one after the other, so that many at once gain nothing.
    """

    def __init__(
        self,
        *,
        clock: Callable[[], float] = time.monotonic,
        wait_seconds: float = WAIT_SECONDS,
    ) -> None:
        self._clock = clock
        self._wait_seconds = wait_seconds
        self._invitation: Invitation | None = None
        self._wrong_here = 0
        self._wrong_ever = 0
        self._turn = asyncio.Lock()
        self._waiting = 0

    def invite(self) -> Invitation:
        """A fresh code and link; an earlier one is no longer good."""
        self._invitation = Invitation(
            code=f"{secrets.randbelow(10**6):06d}",
            secret=b32encode(secrets.token_bytes(16)).decode().rstrip("="),
            ends=self._clock() + LIFE_SECONDS,
        )
        self._wrong_here = 0
        return self._invitation

    def close(self) -> None:
        """Ends the invitation."""
        self._invitation = None

    @property
    def invitation(self) -> Invitation | None:
        """The invitation, while it is good."""
        if self._invitation is not None and self._clock() >= self._invitation.ends:
            self._invitation = None
        return self._invitation

    @property
    def seconds_left(self) -> float:
        """How long the invitation is still good; 0 without one."""
        open_now = self.invitation
        return max(0.0, open_now.ends - self._clock()) if open_now else 0.0

    def accept_link(self, secret: str) -> bool:
        """Whether this is the link of the invitation; it is used up when it is."""
        open_now = self.invitation
        right = open_now is not None and _same(open_now.secret, secret)
        if right:
            self._used()
        return right

    async def accept_code(self, typed: str) -> bool:
        """Whether these are the six digits; used up when right, slower when wrong."""
        if self._waiting >= QUEUE:
            return False
        self._waiting += 1
        try:
            async with self._turn:
                return await self._try_code(typed)
        finally:
            self._waiting -= 1

    async def _try_code(self, typed: str) -> bool:
        open_now = self.invitation
        digits = "".join(character for character in typed if character not in " -\u2013")
        if open_now is not None and _same(open_now.code, digits):
            self._used()
            return True
        self._wrong(open_now)
        await asyncio.sleep(self.wait)
        return False

    @property
    def wait(self) -> float:
        """Seconds that the answer to a wrong code is held back."""
        doubled = self._wait_seconds * 2.0 ** min(self._wrong_ever - 1, 10)
        return min(doubled, LONGEST_WAIT_SECONDS)

    def _wrong(self, open_now: Invitation | None) -> None:
        self._wrong_ever += 1
        self._wrong_here += 1
        if open_now is not None and self._wrong_here >= ATTEMPTS:
            self._invitation = None

    def _used(self) -> None:
        self._invitation = None
        self._wrong_ever = 0


def _same(kept: str, given: str) -> bool:
    """Compares in a time that tells nothing about how much of it is right."""
    return hmac.compare_digest(kept.encode(), given.encode())
