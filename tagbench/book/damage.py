"""Saying what is wrong with the files of a book, and how on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from tagbench.book.durable import reason
from tagbench.book.history import HISTORY_FILE
from tagbench.book.history_end import HistoryEnd
from tagbench.book.memory import Memory
from tagbench.errors import BookDamaged, BookError, BookTooNew

if TYPE_CHECKING:
    from tagbench.book.backups import Backup


@contextmanager
def told(folder: Path, what: str, verb: str = "written") -> Iterator[None]:
    """Turns an error of the disk into a sentence that begins with `what`.

    `verb` says what was tried: the folder was to be `written` or `read`.
    """
    try:
        yield
    except OSError as error:
        raise BookError(f"{what} because {reason(error, folder, verb)}.") from error


@contextmanager
def read_book(folder: Path, path: Path) -> Iterator[bytes | None]:
    """The bytes of a book file, None when there is none yet; damage found inside is told whole."""
    try:
        yield _bytes_of(folder, path)
    except BookDamaged as error:
        raise BookDamaged(
            f"{path} is damaged ({error}) and was not touched; {way_out(folder)}."
        ) from error
    except BookTooNew as error:
        raise too_new(path, error) from error


@contextmanager
def reading_history(folder: Path) -> Iterator[None]:
    """Damage found in the history while it is read is told whole, with the way out."""
    try:
        yield
    except BookDamaged as error:
        raise BookDamaged(
            f"{folder / HISTORY_FILE} is damaged ({error}) and was not touched; {way_out(folder)}."
        ) from error


def too_new(path: Path, error: BookTooNew) -> BookTooNew:
    """The whole sentence about a book of a newer format."""
    return BookTooNew(
        f"{path} was written by a newer tagbench ({error}) and was not touched; "
        "open it with the newer one."
    )


def _bytes_of(folder: Path, path: Path) -> bytes | None:
    for _ in range(2):  # twice, because another program may just be making the first book
        try:
            return path.read_bytes()
        except FileNotFoundError:
            if not _left_behind(folder):
                return None
        except OSError as error:
            raise BookError(
                f"{path} cannot be read ({error.strerror}); allow reading it and try again."
            ) from error
    raise BookDamaged("it is gone, though its history or its backups are there")


def _left_behind(folder: Path) -> bool:
    from tagbench.book.backups import backups

    history = folder / HISTORY_FILE
    written = history.exists() and history.stat().st_size > 0
    return written or bool(backups(folder)) or HistoryEnd(folder).read() > 0


def way_out(folder: Path) -> str:
    """The command that mends, and what it will start from."""
    import shlex

    good = newest_good(folder)
    command = f"tagbench --book {shlex.quote(str(folder))} check --mend"
    if good is None:
        return f"no good backup is there, but “{command}” brings back what the history holds"
    return f"“{command}” mends it from the newest good backup, {good.path.name}"


def newest_good(folder: Path) -> Backup | None:
    """The newest backup that can be read whole."""
    from tagbench.book.backups import backups

    return next((backup for backup in backups(folder) if memory_of(backup.path)), None)


def memory_of(path: Path) -> Memory | None:
    """What a book file holds; None when it cannot be read whole."""
    memory = Memory()
    try:
        memory.load(path.read_bytes())
    except (OSError, BookError):
        return None
    return memory


def broken(path: Path) -> bool:
    """Whether a book file is damaged; a newer one is not."""
    try:
        Memory().load(path.read_bytes())
    except BookDamaged:
        return True
    except (OSError, BookError):
        return False
    return False
