"""How many requests one phone, or one stranger's address, may make."""

from __future__ import annotations

import time
from collections import OrderedDict
from collections.abc import Callable

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
