"""How much a phone, or somebody who pretends to be one, may ask of the server."""

from __future__ import annotations

import time
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class PhoneLimits:
    """Sizes in bytes, times in seconds. The defaults leave the phones of one garage plenty."""

    connections: int = 160
    """Connections open at once; the one that has waited longest gives way to a new one."""
    headers_seconds: float = 10.0
    """Time for a request line and its headers to arrive on a new connection."""
    linger_seconds: float = 2.0
    """Time in which the rest of a refused upload is still taken, so that the answer is read."""
    idle_seconds: float = 20.0
    """Time for an answer to be taken and the next request to arrive."""
    exchange_seconds: float = 240.0
    """Time for one whole request, its photos included, until its answer is ready."""
    form_bytes: int = 32 * 1024
    """A form without photos."""
    form_seconds: float = 15.0
    """Time for a form without photos to arrive."""
    field_bytes: int = 4 * 1024
    """One typed field."""
    fields: int = 60
    """Fields of one form, photos counted in."""
    photos: int = 12
    """Photos sent at once."""
    photo_bytes: int = 32 * 1024**2
    """One photo as it is sent."""
    photo_pixels: int = 80_000_000
    """Width times height of a photo; more is not decoded."""
    decoded_pixels: int = 45_000_000
    """Pixels held in memory at once while a photo is decoded, 4 bytes each."""
    photo_side: int = 2048
    """The long side of a photo as it is kept, pixels."""
    upload_bytes: int = 160 * 1024**2
    """All photos of one form together."""
    stall_seconds: float = 10.0
    """How long an upload may stand still."""
    upload_pace: int = 8 * 1024
    """Bytes a second that an upload must reach on average after the first `stall_seconds`."""
    uploads: int = 2
    """Uploads taken in at once; others wait."""
    phone_burst: int = 600
    """Requests that a paired phone may make at once."""
    phone_pace: float = 30.0
    """Requests a second that a paired phone may keep up."""
    stranger_burst: int = 60
    """Requests that an address without a paired phone may make at once."""
    stranger_pace: float = 3.0
    """Requests a second that such an address may keep up."""
    busy_seconds: float = 1.5
    """How long a phone waits for a book that something else is changing."""


REMEMBERED = 4096
"""Callers remembered at once; the one that has been quiet longest is forgotten."""


class Rate:
    """A bucket of tries for each caller: `burst` at once, refilled at `pace` a second."""

    def __init__(
        self, burst: int, pace: float, *, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._burst = float(burst)
        self._pace = pace
        self._clock = clock
        self._left: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def allows(self, caller: str) -> bool:
        """Whether this caller may ask once more now; takes one try when so."""
        now = self._clock()
        left, since = self._left.pop(caller, (self._burst, now))
        left = min(self._burst, left + (now - since) * self._pace)
        allowed = left >= 1.0
        self._left[caller] = (left - 1.0 if allowed else left, now)
        if len(self._left) > REMEMBERED:
            self._left.popitem(last=False)
        return allowed
