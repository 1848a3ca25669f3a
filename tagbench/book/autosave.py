"""Half-typed forms, written beside the book so that they outlast a power cut.

They are no part of the book: nothing of them is in its history, and undo knows nothing of them.
One file a form, `unsaved/<form>.json`, is replaced whole, so that it is the old one or the new one.
"""

from __future__ import annotations

import contextlib
import re
from datetime import datetime
from pathlib import Path

import msgspec

from labels.atomic_write import atomic_write
from tagbench.book.durable import reason
from tagbench.errors import BookError

FOLDER = "unsaved"


class UnsavedForm(msgspec.Struct, frozen=True):
    """What stood in a form."""

    at: datetime
    """When it was written down."""
    fields: dict[str, str]
    """Id of the field → what stood in it."""


class Autosave:
    """The half-typed forms of one book folder."""

    def __init__(self, book_folder: Path) -> None:
        self.folder = book_folder / FOLDER

    def _file(self, form: str) -> Path:
        return self.folder / f"{re.sub(r'[^0-9A-Za-z-]+', '-', form)}.json"

    def save(self, form: str, unsaved: UnsavedForm) -> None:
        """Writes a form down and flushes it; raises BookError when the disk refuses."""
        target = self._file(form)
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            with atomic_write(target) as file:
                file.write(msgspec.json.encode(unsaved))
        except OSError as error:
            why = reason(error, self.folder, "written")
            raise BookError(f"What you type is not kept until Enter: {why}.") from error

    def load(self, form: str) -> UnsavedForm | None:
        """What was half-typed; None when there is nothing, or nothing that can be read."""
        try:
            return msgspec.json.decode(self._file(form).read_bytes(), type=UnsavedForm)
        except (OSError, msgspec.DecodeError, msgspec.ValidationError):
            return None  # a form that cannot be brought back must not stand in the way of work

    def forms(self) -> list[str]:
        """The names of the forms that were half-typed, as files are named; the latest first."""
        with contextlib.suppress(OSError):
            files = [(one.stat().st_mtime, one.stem) for one in self.folder.glob("*.json")]
            return [name for _, name in sorted(files, reverse=True)]
        return []

    def discard(self, form: str) -> None:
        """Forgets a form: it was saved, emptied, or is not wanted."""
        with contextlib.suppress(OSError):
            self._file(form).unlink(missing_ok=True)
