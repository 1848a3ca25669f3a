"""Files that are either the old one or the whole new one: written aside, then renamed."""

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from labels.errors import OutputError


@contextmanager
def written_aside(path: Path) -> Iterator[BinaryIO]:
    """A file to write into, that takes the place of `path` when all went well.

    Raises `OutputError` when the folder is missing or the disk refuses; the old file stays.
    """
    aside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with aside.open("wb") as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        aside.replace(path)
    except OSError as error:
        full = error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
        what = "the disk is full; make room first" if full else error.strerror or error
        raise OutputError(f"{path} cannot be written: {what}.") from error
    finally:
        aside.unlink(missing_ok=True)
