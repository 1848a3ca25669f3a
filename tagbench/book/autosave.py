"""Half-typed forms, written beside the book so that they outlast a power cut.

They are no part of the book: nothing of them is in its history, and undo knows nothing of them.
One file a form, `unsaved/<form>.json`, is replaced whole, so that it is the old one or the new one.
What was put off lies beside it as `<form>.1.json`, so that the form can be typed in anew.
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

    def file(self, form: str) -> Path:
        """Where a form is written down."""
        return self.folder / f"{re.sub(r'[^0-9A-Za-z-]+', '-', form)}.json"

    def save(self, form: str, unsaved: UnsavedForm) -> None:
        """Writes a form down and flushes it; raises BookError when the disk refuses."""
        target = self.file(form)
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            with atomic_write(target) as file:
                file.write(msgspec.json.encode(unsaved))
        except OSError as error:
            why = reason(error, self.folder, "written")
            raise BookError(f"What you type is not kept until Enter: {why}.") from error

    def load(self, form: str) -> UnsavedForm | None:
        """What was half-typed; None when there is nothing, or nothing that can be read."""
        return _read(self.file(form))

    def latest(self, form: str) -> tuple[Path, UnsavedForm] | None:
        """What was half-typed last, else what was put off last, and the file that it is in."""
        own = self.file(form)
        for file in (own, *sorted(self._put_off(own), key=_number, reverse=True)):
            if (unsaved := _read(file)) is not None:
                return file, unsaved
        return None

    def put_off(self, form: str) -> None:
        """Lays what was half-typed beside the form, which may be typed in anew."""
        own = self.file(form)
        number = max(map(_number, self._put_off(own)), default=0) + 1
        with contextlib.suppress(OSError):
            own.rename(own.with_suffix(f".{number}.json"))

    def bring_back(self, form: str, file: Path) -> None:
        """Makes what is in that file, of `latest`, the half-typed form again."""
        with contextlib.suppress(OSError):
            file.replace(self.file(form))

    def throw_away(self, file: Path) -> None:
        """Forgets what is in that file, of `latest`, for good."""
        with contextlib.suppress(OSError):
            file.unlink(missing_ok=True)

    def _put_off(self, own: Path) -> list[Path]:
        return list(self.folder.glob(f"{own.stem}.*.json"))

    def forms(self) -> list[str]:
        """The names of the forms that were half-typed, as files are named; the latest first."""
        with contextlib.suppress(OSError):
            files = [(one.stat().st_mtime, one.name) for one in self.folder.glob("*.json")]
            latest = sorted(files, reverse=True)
            return list(dict.fromkeys(name.split(".")[0] for _, name in latest))
        return []

    def discard(self, form: str) -> None:
        """Forgets a form: it was saved, emptied, or is not wanted."""
        self.throw_away(self.file(form))


def _read(file: Path) -> UnsavedForm | None:
    try:
        return msgspec.json.decode(file.read_bytes(), type=UnsavedForm)
    except (OSError, msgspec.DecodeError, msgspec.ValidationError):
        return None  # a form that cannot be brought back must not stand in the way of work


def _number(put_off: Path) -> int:
    number = put_off.name.split(".")[1]
    return int(number) if number.isdecimal() else 0
