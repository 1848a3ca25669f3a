"""Writes the demo book into a folder, whole or not at all."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from demo.evenings import Evenings, ShareDone
from demo.story import story
from tagbench.book import Book
from tagbench.errors import BadInput, BookError

STAGING = ".demo-being-written"
"""The book is written in here and moved out whole, so that half a demo is never opened."""


def is_demo(folder: Path) -> bool:
    """Whether the folder holds a demo book; raises BookError when it holds an unreadable one."""
    if not (folder / "book.json").exists():
        return False
    told = story().machine
    with Book(folder) as book:
        machine = book.records.machines.get(told.mark)
        return machine is not None and machine.serial == told.serial


def write_demo(
    folder: Path,
    *,
    now: Callable[[], datetime] | None = None,
    progress: ShareDone | None = None,
) -> Book:
    """Writes the demo into a new or empty folder and gives the open book.

    `now` is the clock of the book; the last weeks of the story lie before it. Raises BadInput
    when the folder holds anything else, BookError when it cannot be written.
    """
    folder = Path(folder)
    _refuse_used(folder)
    staging = folder / STAGING
    try:
        shutil.rmtree(staging, ignore_errors=True)
        staging.mkdir(parents=True)
    except OSError as error:
        raise BookError(
            f"The demo cannot be written into {folder} ({error.strerror}); name another folder."
        ) from error
    today = (now or (lambda: datetime.now().astimezone()))()
    Evenings(staging, today, progress).write()
    _move_out(staging, folder)
    return Book(folder, now=now)


def _refuse_used(folder: Path) -> None:
    if not folder.exists():
        return
    if not folder.is_dir():
        raise BadInput(f"{folder} is a file; name a folder for the demo book.")
    if (folder / "book.json").exists():
        raise BadInput(
            f"{folder} already holds a book, which stays as it is; "
            "name a new folder for the demo, or open that one with --book."
        )
    if any(path.name != STAGING for path in folder.iterdir()):
        raise BadInput(f"{folder} is not empty; name a new folder for the demo book.")


def _move_out(staging: Path, folder: Path) -> None:
    """Moves everything up, book.json last: the folder is a book only when all of it is there."""
    for path in sorted(staging.iterdir(), key=lambda path: path.name == "book.json"):
        path.replace(folder / path.name)
    staging.rmdir()
