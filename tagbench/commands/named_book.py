"""The book that was named with `--book` or `TAGBENCH_BOOK`: what is wrong with the name, and what
was meant."""

from __future__ import annotations

from pathlib import Path

from tagbench.errors import BadInput, NotFound

BOOK, HISTORY = "book.json", "history.jsonl"
TRACES = (BOOK, HISTORY, "history.end", "backups", "book.json.new")
"""What a folder has in it that is a book, or was one before something went wrong."""


def book_there(path: Path) -> Path:
    """The folder or the file of the book that was named; raises BadInput when it can be neither.

    The live file of a book stands for its folder, since the history may be ahead of it.
    """
    try:
        if path.is_file():
            return path.parent if path.name == BOOK and (path.parent / HISTORY).exists() else path
        if path.exists() and not path.is_dir():
            raise BadInput(f"{path} is neither a folder nor a book file; give --book a folder.")
    except OSError as error:
        raise BadInput(
            f"--book cannot be {path} ({error.strerror}); give it the name of a folder."
        ) from error
    return path


def must_hold_one(folder: Path) -> None:
    """Raises NotFound for a folder that holds no book, with the one that is likely meant."""
    if is_book(folder):
        return
    near = [*sorted(_books_inside(folder)), *(one for one in folder.parents if is_book(one))]
    if near:
        raise NotFound(f"There is no book in {folder}; there is one in {near[0]}.")
    raise NotFound(
        f"There is no book in {folder}; look at the spelling, or take a first part off there "
        "with: strip NAME --from ASSEMBLY."
    )


def is_book(folder: Path) -> bool:
    """Whether a folder holds a book, be it a damaged one."""
    return any((folder / name).exists() for name in TRACES)


def _books_inside(folder: Path) -> list[Path]:
    try:
        return [one for one in folder.iterdir() if one.is_dir() and is_book(one)]
    except OSError:
        return []  # it is not there, or cannot be read: then none can be offered
