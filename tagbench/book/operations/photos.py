"""Pictures of parts as one change each: put on, captioned, taken off; a folder of them by time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Literal

from labels.progress import Progress
from tagbench.book.book import Book
from tagbench.book.operations.strip import part_by_code
from tagbench.book.photos import ENDINGS, all_or_none, take_in, when_taken
from tagbench.errors import BadInput, NotFound
from tagbench.records import Part, Photo, replace
from tagbench.rules.describe.phrases import named, named_parts
from tagbench.rules.photos_by_time import WINDOW, Match, match_pictures

Moment = Literal["", "before", "after"]

PICTURE_ENDINGS = frozenset({*ENDINGS.values(), ".jpeg", ".tiff", ".heif", ".mpo"})
"""Endings by which pictures in a folder are known."""


@dataclass(frozen=True)
class Folder:
    """The pictures of a folder that are not in the book yet."""

    pictures: tuple[tuple[Path, datetime | None], ...]
    """Each picture with the time it was taken, by name."""
    known: tuple[Path, ...]
    """Pictures that were taken in from here before."""
    unreadable: tuple[str, ...]
    """What is wrong with files that look like pictures and are none, a sentence each."""


def look_through(book: Book, folder: Path, progress: Progress | None = None) -> Folder:
    """Reads when the pictures of a folder were taken; `progress` is told done and all.

    Raises BadInput when there is no such folder or it holds no pictures.
    """
    if not folder.is_dir():
        raise BadInput(f"There is no folder {folder}; check the name.")
    files = sorted(f for f in folder.iterdir() if f.suffix.casefold() in PICTURE_ENDINGS)
    if not files:
        raise BadInput(f"There are no pictures in {folder}; give the folder they lie in.")
    originals = {p.original for part in book.records.parts.values() for p in part.photos}
    pictures: list[tuple[Path, datetime | None]] = []
    known, unreadable = [], []
    for done, file in enumerate(files, 1):
        if str(file.absolute()) in originals:
            known.append(file)
        else:
            try:
                pictures.append((file, when_taken(file)))
            except BadInput as error:
                unreadable.append(str(error))
        if progress is not None:
            progress(done, len(files))
    return Folder(tuple(pictures), tuple(known), tuple(unreadable))


def propose(
    book: Book,
    folder: Folder,
    mark: str = "",
    clock_ahead: timedelta = timedelta(0),
    window: timedelta = WINDOW,
) -> list[Match]:
    """The part that each picture is offered for, by the time it was taken; nothing is changed."""
    parts = [part for part in book.records.parts.values() if mark in ("", part.machine)]
    taken = {str(file): time for file, time in folder.pictures}
    return match_pictures(taken, parts, clock_ahead=clock_ahead, window=window)


def attach(
    book: Book, chosen: Sequence[tuple[Path, str]], *, moment: Moment = "", caption: str = ""
) -> list[Part]:
    """Puts pictures on parts, `(picture, code)` each, as one change; all of them or none.

    Raises BadInput for what is no picture, NotFound for an unknown code.
    """
    if not chosen:
        raise BadInput("Choose at least one picture first.")
    with all_or_none(book) as kept, book.change() as transaction:
        for code in dict(chosen).values():
            part_by_code(transaction.records, code)
        parts: dict[str, Part] = {}
        for path, code in chosen:
            photo = take_in(book, path, code, caption=caption, moment=moment)
            kept.append(photo)
            part = part_by_code(transaction.records, code)
            parts[code] = replace(part, photos=_in_time((*part.photos, photo)))
            transaction.put(parts[code])
        transaction.words = _attach_words(len(chosen), list(parts.values()))
    return list(parts.values())


def _attach_words(pictures: int, parts: Sequence[Part]) -> str:
    many = f"{pictures} photos" if pictures > 1 else "a photo"
    return f"added {many} to {named_parts(parts)}"


def _in_time(photos: Iterable[Photo]) -> tuple[Photo, ...]:
    """Oldest first; those that do not say when they were taken stay behind the others."""
    return tuple(sorted(photos, key=lambda p: p.taken.timestamp() if p.taken else float("inf")))


def describe_photo(
    book: Book, code: str, file: str, *, caption: str | None = None, moment: Moment | None = None
) -> Part:
    """Changes the caption of a picture, or whether it shows before or after."""
    with book.change() as transaction:
        part = part_by_code(transaction.records, code)
        old = photo_of(part, file)
        new = replace(
            old,
            caption=old.caption if caption is None else " ".join(caption.split()),
            moment=old.moment if moment is None else moment,
        )
        part = replace(part, photos=tuple(new if p is old else p for p in part.photos))
        transaction.put(part)
        transaction.words = f"described a photo of {named(part)}"
    return part


def drop_photo(book: Book, code: str, file: str) -> Part:
    """Takes a picture off a part; its file stays in the book, so that undo brings it back."""
    with book.change() as transaction:
        part = part_by_code(transaction.records, code)
        gone = photo_of(part, file)
        part = replace(part, photos=tuple(p for p in part.photos if p is not gone))
        transaction.put(part)
        transaction.words = f"took a photo off {named(part)}"
    return part


def photo_of(part: Part, file: str) -> Photo:
    """A picture of a part by its file name or its number from 1; NotFound names those there are."""
    wanted = file.strip()
    if wanted.isdecimal() and 1 <= int(wanted) <= len(part.photos):
        return part.photos[int(wanted) - 1]
    for photo in part.photos:
        if wanted in (photo.file, Path(photo.file).stem):
            return photo
    there = ", ".join(photo.file for photo in part.photos) or "none"
    raise NotFound(f"{named(part)} has no photo {file} (it has {there}).")
