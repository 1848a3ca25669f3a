"""Rotating backups: good books, kept beside the present one under their revision and time."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from labels.atomic_write import atomic_write

BACKUP_FOLDER = "backups"
KEEP_NEWEST = 10
KEEP_DAYS = 14
EVERY_CHANGES = 25
EVERY = timedelta(minutes=10)

_NAME = re.compile(r"^book-(\d+)-(\d{8}T\d{6})\.json$")
_STAMP = "%Y%m%dT%H%M%S"


class Backup(NamedTuple):
    """One backup file."""

    revision: int
    """Number of the last change in it."""
    at: datetime
    """When it was made, local time."""
    path: Path
    """Where it is."""


def backups(folder: Path) -> list[Backup]:
    """All backups of the book in a folder, newest first."""
    return sorted(_found(folder / BACKUP_FOLDER), reverse=True)


def _found(place: Path) -> Iterator[Backup]:
    if not place.is_dir():
        return
    for path in place.iterdir():
        match = _NAME.match(path.name)
        if match:
            yield Backup(int(match[1]), datetime.fromisoformat(match[2]), path)


def back_up(book: Path, revision: int, now: datetime) -> None:
    """Keeps the good book file as a backup when it is time for one, and drops old ones.

    A hard link suffices because the book is only ever replaced, never written in place.
    """
    now = now.replace(tzinfo=None, microsecond=0)
    known = backups(book.parent)
    if revision == 0 or not _due(known, revision, now):
        return
    place = book.parent / BACKUP_FOLDER
    place.mkdir(exist_ok=True)
    target = place / f"book-{revision:06d}-{now.strftime(_STAMP)}.json"
    link_or_copy(book, target)
    for old in _too_many(backups(book.parent), now):
        old.path.unlink(missing_ok=True)


def keep_now(book: Path, revision: int, now: datetime) -> None:
    """Keeps the good book file as a backup at once, where it would else stand in one copy."""
    if revision and all(backup.revision != revision for backup in backups(book.parent)):
        place = book.parent / BACKUP_FOLDER
        place.mkdir(exist_ok=True)
        stamp = now.replace(tzinfo=None).strftime(_STAMP)
        link_or_copy(book, place / f"book-{revision:06d}-{stamp}.json")


def _due(known: list[Backup], revision: int, now: datetime) -> bool:
    if not known:
        return True
    newest = known[0]
    if newest.revision == revision:
        return False
    ahead = revision - newest.revision
    return not 0 < ahead < EVERY_CHANGES or not timedelta() <= now - newest.at < EVERY


def link_or_copy(source: Path, target: Path) -> None:
    """Keeps a file under a second name, by a hard link where the file system has them."""
    try:
        os.link(source, target)
    except FileExistsError:
        return
    except OSError:  # a file system without hard links, or on another device
        import shutil

        with source.open("rb") as original, atomic_write(target) as copy:
            shutil.copyfileobj(original, copy)


def _too_many(known: list[Backup], now: datetime) -> list[Backup]:
    """Those that are neither among the newest nor the last of a recent day."""
    kept = set(known[:KEEP_NEWEST])
    for backup in known:
        recent = now.date() - backup.at.date() < timedelta(days=KEEP_DAYS)
        if recent and not any(other.at.date() == backup.at.date() for other in kept):
            kept.add(backup)
    return [backup for backup in known if backup not in kept]
