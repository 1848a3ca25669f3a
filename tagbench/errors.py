"""The errors a person may meet: each says in one sentence what is wrong and the way out."""

from __future__ import annotations

from enum import IntEnum


class ExitCode(IntEnum):
    """What every command ends with. Signals end it with 128 and their number, as shells have it."""

    DONE = 0
    """It did what was asked. A report of what is open is a result, not a failure."""
    FAILED = 1
    """The disk, the book, a printer or the network failed, or a check found damage."""
    BAD_INPUT = 2
    """What was typed cannot be used, or a rule refused it; nothing was changed."""


class TagbenchError(Exception):
    """Something went wrong that the person should read; `str()` is one clear sentence."""

    exit_code = ExitCode.FAILED


class BadInput(TagbenchError):
    """What was typed cannot be used; the sentence names the accepted forms. Exit code 2."""

    exit_code = ExitCode.BAD_INPUT


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
