"""Pairing: a six-digit code and a one-time link that the bench shows for a few minutes."""

from __future__ import annotations

import asyncio
import hmac
import secrets
import time
from base64 import b32encode
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from enum import Enum

LIFE_SECONDS = 300.0
"""How long a code and its link are good."""
ATTEMPTS = 5
"""Wrong codes of one address until it may try no more."""
ATTEMPTS_OF_ALL = 20
"""Wrong codes of all addresses until the digits are no longer good; the link still is."""
WAIT_SECONDS = 0.5
"""Wait after the first wrong code of an address; it doubles with each one."""
LONGEST_WAIT_SECONDS = 8.0
QUEUE = 2
"""Tries of one address that may wait at once; more are told that it is busy."""
REMEMBERED = 1024
"""Addresses remembered at once; the one that was heard longest ago is forgotten."""


class Outcome(Enum):
    """What came of a try to pair with the six digits."""

    RIGHT = "right"
    WRONG = "wrong"
    BUSY = "busy"
    """An earlier try of the same address is not yet answered; this one was not looked at."""
    SPENT = "spent"
    """Too many wrong ones; a fresh code is needed, or the link."""


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


@dataclass
class _Address:
    """What is known of one address that has tried."""

    turn: asyncio.Lock = field(default_factory=asyncio.Lock)
    waiting: int = 0
    wrong_here: int = 0
    """Wrong codes for the invitation that is open now."""
    wrong_ever: int = 0


class Pairing:
    """At most one invitation at a time; a wrong code slows the next try of its address down.

    Tries of one address are answered one after the other, so that many at once gain nothing;
    nobody waits for the tries of another address, and nothing that is typed ends the link.
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
        self._wrong = 0
        self._addresses: OrderedDict[str, _Address] = OrderedDict()

    def invite(self) -> Invitation:
        """A fresh code and link; an earlier one is no longer good."""
        self._invitation = Invitation(
            code=f"{secrets.randbelow(10**6):06d}",
            secret=new_secret(),
            ends=self._clock() + LIFE_SECONDS,
        )
        self._wrong = 0
        for address in self._addresses.values():
            address.wrong_here = 0
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
    def digits_spent(self) -> bool:
        """Whether too many wrong codes came, so that only the link is good."""
        return self._wrong >= ATTEMPTS_OF_ALL

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
            self.close()
        return right

    async def accept_code(self, typed: str, address: str = "") -> Outcome:
        """Whether these are the six digits; used up when right, slower when wrong."""
        known = self._known(address)
        if known.waiting >= QUEUE:
            return Outcome.BUSY
        known.waiting += 1
        try:
            async with known.turn:
                return await self._try_code(typed, known)
        finally:
            known.waiting -= 1

    async def _try_code(self, typed: str, address: _Address) -> Outcome:
        if self.digits_spent or address.wrong_here >= ATTEMPTS:
            return Outcome.SPENT
        open_now = self.invitation
        digits = "".join(character for character in typed if character not in " -\u2013")
        if open_now is not None and _same(open_now.code, digits):
            self.close()
            address.wrong_ever = 0
            return Outcome.RIGHT
        address.wrong_ever += 1
        if open_now is not None:
            address.wrong_here += 1
            self._wrong += 1
        await asyncio.sleep(self._wait(address))
        return Outcome.WRONG

    def wait(self, address: str = "") -> float:
        """Seconds that the answer to the last wrong code of an address was held back."""
        return self._wait(self._known(address))

    def _wait(self, address: _Address) -> float:
        doubled = self._wait_seconds * 2.0 ** min(address.wrong_ever - 1, 10)
        return min(doubled, LONGEST_WAIT_SECONDS)

    def _known(self, address: str) -> _Address:
        known = self._addresses.setdefault(address, _Address())
        self._addresses.move_to_end(address)
        if len(self._addresses) > REMEMBERED:
            idle = next((name for name, one in self._addresses.items() if not one.waiting), "")
            self._addresses.pop(idle, None)
        return known


HANDOVER_SECONDS = 60.0
"""How long a link is good that takes a paired phone to another address of this server."""


class Handovers:
    """One-time links by which a paired phone is known at another address of this server too.

    A browser keeps its secret by address, so a phone that was paired at a number is a stranger at
    the name. The link is made for the phone itself, on a page that only it sees.
    """

    def __init__(self, *, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._tokens: dict[str, tuple[str, float]] = {}

    def offer(self, token: str) -> str:
        """The secret of a fresh link for the phone with this token."""
        now = self._clock()
        self._tokens = {name: one for name, one in self._tokens.items() if one[1] > now}
        secret = new_secret()
        self._tokens[secret] = token, now + HANDOVER_SECONDS
        return secret

    def take(self, secret: str) -> str:
        """The token of the phone that the link is for; empty when it is no longer good."""
        token, ends = self._tokens.pop(secret, ("", 0.0))
        return token if self._clock() < ends else ""


def new_secret() -> str:
    """128 random bits in base 32."""
    return b32encode(secrets.token_bytes(16)).decode().rstrip("=")


def _same(kept: str, given: str) -> bool:
    """Compares in a time that tells nothing about how much of it is right."""
    return hmac.compare_digest(kept.encode(), given.encode())
