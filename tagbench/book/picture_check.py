"""The pictures of a book against their records: missing, altered, left over, half copied."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from labels.atomic_write import PART
from tagbench.book.backups import BACKUP_FOLDER, link_or_copy
from tagbench.book.book import Book
from tagbench.book.photos import is_whole
from tagbench.records import Photo

ORPHANS = "left-over-photos"
"""Folder beside the backups for pictures that no record names."""


def picture_faults(book: Book) -> Iterator[str]:
    """What is wrong with the pictures that records name, a sentence each."""
    for code, photo in _named(book):
        path = book.photos / photo.file
        if Path(photo.file).name != photo.file:
            yield f"The picture {photo.file} of {code} lies outside of the photos folder."
        elif not path.is_file():
            way = _way(book, code, photo)
            yield f"The picture {photo.file} of {code} is missing in {book.photos}; {way}."
        elif not path.stat().st_size:
            yield f"The picture {photo.file} of {code} is empty; {_way(book, code, photo)}."
        elif not is_whole(path, photo):
            yield f"The picture {photo.file} of {code} was altered; {_way(book, code, photo)}."


def picture_notes(book: Book) -> Iterator[str]:
    """Files among the pictures that no record names, a sentence each; no fault of the book."""
    for path in _half_copies(book):
        yield f"{path.name} in {book.photos} is a half copied picture; mending takes it away."
    for path in _orphans(book):
        yield f"The picture {path.name} belongs to no part; mending puts it into {ORPHANS}."


def mend_pictures(book: Book) -> list[str]:
    """Brings pictures back from their backup and sweeps the folder; says what it did."""
    said = []
    for code, photo in _named(book):
        path, kept = book.photos / photo.file, _backup(book, photo)
        if Path(photo.file).name != photo.file or is_whole(path, photo):
            continue
        if is_whole(kept, photo):
            if path.exists():
                path.replace(path.with_name(f"damaged-{path.name}"))
            book.photos.mkdir(exist_ok=True)
            link_or_copy(kept, path)
            said.append(f"The picture {photo.file} of {code} is back from its backup.")
    for path in _half_copies(book):
        path.unlink()
        said.append(f"The half copied picture {path.name} is taken away.")
    for path in _orphans(book):
        place = book.folder / BACKUP_FOLDER / ORPHANS
        place.mkdir(parents=True, exist_ok=True)
        path.replace(place / path.name)
        said.append(f"The picture {path.name}, which belongs to no part, is in {place} now.")
    return said


def _named(book: Book) -> Iterator[tuple[str, Photo]]:
    for part in book.records.parts.values():
        for photo in part.photos:
            yield part.code, photo


def _backup(book: Book, photo: Photo) -> Path:
    return book.folder / BACKUP_FOLDER / book.photos.name / photo.file


def _way(book: Book, code: str, photo: Photo) -> str:
    if is_whole(_backup(book, photo), photo):
        return "“check --mend” brings it back from its backup"
    return f"bring it back, or take it off with “photos drop {code} {photo.file}”"


def _files(book: Book) -> list[Path]:
    return sorted(path for path in book.photos.glob("*") if path.is_file())


def _half_copies(book: Book) -> list[Path]:
    return [path for path in _files(book) if path.suffix == PART]


def _orphans(book: Book) -> list[Path]:
    named = {photo.file for _, photo in _named(book)}
    return [
        path
        for path in _files(book)
        if path.name not in named and path.suffix != PART and not path.name.startswith("damaged-")
    ]
