"""Where to print: a file that was typed, asked about before it is written over, or a printer."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from labels.output.png import page_file
from tagbench.book.operations.printing import FILE_ENDINGS
from tagbench.errors import BadInput

if TYPE_CHECKING:
    from tagbench.screens.shared.base import ScreenMixin

HINT = "file.pdf or printer"


def file_named(text: str) -> Path | None:
    """The file that was typed; None when it is the name of a printer."""
    path = Path(text.strip()).expanduser()
    return path if path.suffix.casefold() in FILE_ENDINGS else None


def place_named(text: str) -> tuple[Path | None, str]:
    """The file, or None and the name of a printer; raises BadInput when nothing was typed."""
    if not text.strip():
        raise BadInput("Say where to: a file that ends in .pdf or .png, or a printer.")
    file = file_named(text)
    return file, "" if file else text.strip()


def fresh_file(text: str) -> str:
    """A file name that nothing has yet: `~/tags.pdf`, then `~/tags-2.pdf` and so on, so that
    every print has one of its own."""
    wanted = Path(text)
    for number in count(1):
        name = wanted if number == 1 else wanted.with_stem(f"{wanted.stem}-{number}")
        if not name.expanduser().exists():
            return str(name)
    raise AssertionError("numbers do not end")


def files_of(target: Path | None, pages: int) -> list[Path]:
    """The files that so many pages will be written to."""
    if target is None:
        return []
    if target.suffix.casefold() != ".png":
        return [target]
    return [page_file(target, number, pages) for number in range(1, pages + 1)]


async def may_write(screen: ScreenMixin, files: Sequence[Path]) -> bool:
    """Whether the files may be written: none is there yet, or the person says so. In a worker."""
    from tagbench.screens.shared.confirm import confirmed

    there = [str(file) for file in files if file.exists()]
    if not there:
        return True
    more = f" and {len(there) - 1} more are" if len(there) > 1 else " is"
    words = f"{there[0]}{more} there already."
    return await confirmed(screen, "Write over it?", words, "Write over")
