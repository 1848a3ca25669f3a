"""The errors a person may meet: each says in one sentence what is wrong and the way out."""

from __future__ import annotations


class TagbenchError(Exception):
    """Something went wrong that the person should read; `str()` is one clear sentence."""

    exit_code = 1


class BadInput(TagbenchError):
    """What was typed cannot be used; the sentence names the accepted forms. Exit code 2."""

    exit_code = 2


class Refused(BadInput):
    """A rule stands in the way (burying a part, a torque out of range); says why and how on."""


class NotFound(BadInput):
    """Nothing in the book goes by that code or name."""


class BookError(TagbenchError):
    """The book on disk cannot be read or written; what was saved before is still whole."""


class BookBusy(BookError):
    """Something else is changing the book just now; nothing was changed."""


class BookDamaged(BookError):
    """book.json is not a whole book; it was not touched."""


class BookTooNew(BookError):
    """The book was written by a newer tagbench; it was not touched."""
