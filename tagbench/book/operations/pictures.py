"""Pictures that a phone sent: put on a part, or on a part that a spare tag starts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from tagbench.book.book import Book
from tagbench.book.operations.bins import new_bin_said
from tagbench.book.operations.strip import StripForm, part_by_code, strip_in
from tagbench.book.photos import take_in
from tagbench.errors import BadInput
from tagbench.records import Part, Photo, replace
from tagbench.rules.describe.phrases import named


@dataclass(frozen=True)
class Sent:
    """A picture ready to be kept."""

    path: Path
    """The file, which is copied."""
    taken: datetime | None
    """When it was taken; the file itself does not tell any more."""
    sender: str
    """Who sent it, in words."""


def add_sent(book: Book, code: str, pictures: Sequence[Sent]) -> Part:
    """Puts pictures on a part as one change; all of them or, when one fails, none."""
    if not pictures:
        raise BadInput("No photo was chosen: take one or choose some, then send them.")
    with _all_or_none(book) as kept, book.change(f"added photos to {code}") as transaction:
        part_by_code(transaction.records, code)
        kept += (_kept(book, one, code) for one in pictures)
        part = part_by_code(transaction.records, code)
        part = replace(part, photos=(*part.photos, *kept))
        transaction.put(part)
        many = f"{len(kept)} photos" if len(kept) > 1 else "a photo"
        transaction.words = f"added {many} to {named(part)}"
        return part


def start_sent(book: Book, form: StripForm, code: str, pictures: Sequence[Sent]) -> Part:
    """Takes a part off, with its pictures, as one change.

    `code` is a spare tag's code; empty gives out the next one of the machine.
    """
    with _all_or_none(book) as kept, book.change(f"took off {form.name.strip()}") as transaction:
        part = strip_in(transaction, form, code)
        kept += (_kept(book, one, part.code) for one in pictures)
        part = replace(part, photos=tuple(kept))
        transaction.put(part)
        transaction.words = f"took off {named(part)}{new_bin_said(transaction, part.bin)}"
        return part


def _kept(book: Book, sent: Sent, code: str) -> Photo:
    photo = take_in(book, sent.path, code)
    return replace(photo, taken=sent.taken, original=sent.sender)


@contextmanager
def _all_or_none(book: Book) -> Iterator[list[Photo]]:
    """Pictures copied for a change that fails in the end are taken away again."""
    kept: list[Photo] = []
    try:
        yield kept
    except BaseException:
        for photo in kept:
            (book.photos / photo.file).unlink(missing_ok=True)
        raise
