"""A file of labels: the whole new one or the old one, and one sentence when it cannot be."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from labels.atomic_write import FULL, atomic_write
from labels.errors import OutputError


@contextmanager
def output_file(path: Path) -> Iterator[BinaryIO]:
    """A file to write into, that takes the place of `path` when all went well.

    Raises `OutputError` when the folder is missing or the disk refuses; the old file stays.
    """
    try:
        with atomic_write(path) as stream:
            yield stream
    except OSError as error:
        full = error.errno in FULL
        what = "the disk is full; make room first" if full else error.strerror or error
        raise OutputError(f"{path} cannot be written: {what}.") from error
