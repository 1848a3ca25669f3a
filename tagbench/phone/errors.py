"""A request that is not answered with what it asked for, and how that is logged."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable

from tagbench.errors import TagbenchError
from tagbench.records.text import shortened

log = logging.getLogger("tagbench.phone")


class PageError(TagbenchError):
    """Carries the HTTP status (RFC 9110) and the sentence for the person who holds the phone."""

    def __init__(self, status: int, sentence: str) -> None:
        super().__init__(shortened(sentence))
        self.status = status


FORGED = "This page is out of date or was sent from somewhere else: open the tag again."
TOO_LARGE = "That is more than can be taken in at once: send fewer photos, or smaller ones."
TOO_SLOW = "The connection was too slow; nothing was kept. Go nearer to the bench and try again."
UNREADABLE = "What the phone sent could not be read; nothing was kept. Go back and try again."
NO_PAGE = "There is no such page: scan a tag, or find a part."
READ_ONLY = "This page can only be read; go back and open the tag again."
DISK_FULL = (
    "The disk of the bench computer is full, so this was not kept. What was saved before is "
    "still there: make room and try again."
)
BROKEN = "Something went wrong on the bench computer; nothing was kept. Try again."


def log_line(error: object) -> str:
    """An error as one line of the log, whatever was typed."""
    return shortened(str(error))


class RefusalLog:
    """Logs refusals: the first of a kind as it comes, the others as a number once a minute."""

    def __init__(self, *, every: float = 60.0, clock: Callable[[], float] = time.monotonic) -> None:
        self._every = every
        self._clock = clock
        self._since: dict[int, float] = {}
        self._more: dict[int, int] = {}

    def note(self, who: str, status: int, words: object) -> None:
        """A request of `who` was refused with that status."""
        now = self._clock()
        if now - self._since.get(status, -self._every) < self._every:
            self._more[status] = self._more.get(status, 0) + 1
            return
        self._say_more(status)
        self._since[status] = now
        log.warning("%s: %s %s", who, status, log_line(words))

    def close(self) -> None:
        """Logs what was counted and not yet told."""
        for status in tuple(self._more):
            self._say_more(status)

    def _say_more(self, status: int) -> None:
        if more := self._more.pop(status, 0):
            log.warning("%s more requests were refused with %s", more, status)
