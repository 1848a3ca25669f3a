"""A request that is not answered with what it asked for."""

from __future__ import annotations

from tagbench.errors import TagbenchError


class PageError(TagbenchError):
    """Carries the HTTP status (RFC 9110) and the sentence for the person who holds the phone."""

    def __init__(self, status: int, sentence: str) -> None:
        super().__init__(sentence)
        self.status = status


FORGED = "This page is out of date or was sent from somewhere else: open the tag again."
TOO_LARGE = "That is more than can be taken in at once: send fewer photos, or smaller ones."
TOO_SLOW = "The connection was too slow; nothing was kept. Go nearer to the bench and try again."
UNREADABLE = "What the phone sent could not be read; nothing was kept. Go back and try again."
DISK_FULL = (
    "The disk of the bench computer is full, so this was not kept. What was saved before is "
    "still there: make room and try again."
)


def one_line(error: object) -> str:
    """An error as one line of the log, whatever was typed."""
    return " ".join(str(error).split())
