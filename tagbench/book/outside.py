"""Files that are written outside of the book: the whole new one, or the old one as it was."""

from __future__ import annotations

from pathlib import Path

from labels.atomic_write import FULL, atomic_write
from labels.output.output_file import NO_FOLDER, check_folder
from tagbench.book.disk import BOOK_FILE
from tagbench.book.durable import FORBIDDEN
from tagbench.book.history import HISTORY_FILE
from tagbench.book.history_end import END_FILE
from tagbench.book.locking import LOCK_FILE
from tagbench.errors import BadInput, BookError

BOOK_FILES = frozenset({BOOK_FILE, HISTORY_FILE, END_FILE, LOCK_FILE})
"""The files that a book is made of; nothing else is ever written over them."""


def write_file(path: Path, data: bytes) -> None:
    """Writes a file; one that was there before stays whole until the new one is.

    Raises BadInput for a file that a book is made of, `NoFolderError` (labels) for one in a folder
    that is not there, BookError with the reason and the way out when it cannot be written.
    """
    if path.name in BOOK_FILES and (path.parent / BOOK_FILE).exists():
        raise BadInput(f"{path} belongs to the book that is there; choose another name or place.")
    try:
        with atomic_write(path) as file:
            file.write(data)
    except OSError as error:
        if error.errno in NO_FOLDER:
            check_folder(path)
        raise BookError(f"{path} was not written because {_reason(error, path)}.") from error


def _reason(error: OSError, path: Path) -> str:
    if error.errno in FULL:
        return "the disk is full; make room and do it again"
    if error.errno in FORBIDDEN:
        return f"{path.parent} may not be written; allow that or choose another place"
    what = error.strerror or str(error)
    return f"the disk answered “{what}”; choose another place or name"
