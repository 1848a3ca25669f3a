"""Photographs of the mat that wait for the bench: sent from a phone, measured, kept by the book.

It needs nothing of the extra: the home screen asks how many wait.
"""

from __future__ import annotations

import dataclasses
import os
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from labels.atomic_write import atomic_write

if TYPE_CHECKING:
    from tagbench.measure.lay.groups import LaidGroups

FOLDER = "mat"
"""Folder of the book that holds them."""
_RESULT = ".json"


@dataclass(frozen=True, slots=True)
class Waiting:
    """One photograph."""

    picture: Path
    measured: bool
    """Whether its result is there already."""


def waiting(book: Path) -> list[Waiting]:
    """The photographs that wait in a book's folder, newest first."""
    folder = book / FOLDER
    if not folder.is_dir():
        return []
    names = sorted((one.name for one in os.scandir(folder)), reverse=True)
    pictures = [name for name in names if not name.endswith((_RESULT, ".part"))]
    return [
        Waiting(folder / name, Path(name).with_suffix(_RESULT).name in names) for name in pictures
    ]


def keep(book: Path, picture: Path, at: datetime) -> Path:
    """Copies a photograph in; its name says when it came."""
    folder = book / FOLDER
    folder.mkdir(exist_ok=True)
    suffix = picture.suffix if picture.suffix.isascii() and len(picture.suffix) <= 5 else ""
    stem, number = f"{at:%Y-%m-%d %H%M%S}", 1
    while (
        target := folder / f"{stem}{f' {number}' if number > 1 else ''}{suffix or '.jpg'}"
    ).exists():
        number += 1
    with picture.open("rb") as original, atomic_write(target) as copy:
        shutil.copyfileobj(original, copy)
    return target


def keep_result(picture: Path, found: LaidGroups) -> None:
    """Writes the result beside its photograph."""
    with atomic_write(picture.with_suffix(_RESULT)) as file:
        file.write(msgspec.json.encode(found))


def measured(
    picture: Path, told: Callable[[str], None] = lambda _: None, name: str = ""
) -> LaidGroups:
    """What lies on a photograph: as it was measured before, else measured now.

    `name` is what the person calls the file, where that is another one.
    Raises BadInput for what is no picture of the mat, ExtraMissing without the extra.
    """
    from tagbench.measure.extra import need_extra

    result = picture.with_suffix(_RESULT)
    need_extra()
    from tagbench.measure.lay.groups import LaidGroups, grouped

    if picture.parent.name == FOLDER and result.exists():
        try:
            return msgspec.json.decode(result.read_bytes(), type=LaidGroups)
        except (msgspec.DecodeError, OSError):
            pass  # it is measured once more
    from tagbench.measure.lay.laid import measure_laid
    from tagbench.measure.picture import open_picture
    from tagbench.measure.rectification import straighten

    told("opening the picture")
    opened = open_picture(picture)
    if name:
        opened = dataclasses.replace(opened, name=name)
    return grouped(measure_laid(straighten(opened, None, told), told))


def drop(picture: Path) -> None:
    """Takes a photograph that waited away with its result, once it was looked at."""
    if picture.parent.name == FOLDER:
        picture.with_suffix(_RESULT).unlink(missing_ok=True)
        picture.unlink(missing_ok=True)
