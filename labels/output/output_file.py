"""A file of labels: the whole new one or the old one, and one sentence when it cannot be."""

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from labels.atomic_write import FULL, atomic_write
from labels.errors import NoFolderError, OutputError

NO_FOLDER = (errno.ENOENT, errno.ENOTDIR)
"""What the system answers where the folder of a new file is not there."""


def check_folder(path: Path) -> None:
    """Raises `NoFolderError` when the folder that a file is to be written into is not there."""
    folder = path.absolute().parent
    if not folder.is_dir():
        raise NoFolderError(f"There is no folder {folder}; make it first.")


@contextmanager
def output_file(path: Path) -> Iterator[BinaryIO]:
    """A file to write into, that takes the place of `path` when all went well.

    Raises `NoFolderError` when its folder is missing, `OutputError` when the disk refuses; the old
    file stays.
    """
    try:
        with atomic_write(path) as stream:
            yield stream
    except OSError as error:
        if error.errno in NO_FOLDER:
            check_folder(path)
        full = error.errno in FULL
        what = "the disk is full; make room first" if full else error.strerror or error
        raise OutputError(f"{path} cannot be written: {what}.") from error
