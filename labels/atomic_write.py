"""Files that are either the old one or the whole new one, on the disk itself: an atomic write."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

try:
    import fcntl
except ImportError:  # Windows, where fsync reaches the disk
    fcntl = None  # type: ignore[assignment]

#: Ends the name of a file that is still being written.
PART = ".part"
#: What a disk answers that has no room.
FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}


@contextmanager
def atomic_write(path: Path, mode: int | None = None) -> Iterator[BinaryIO]:
    """A file to write into, that takes the place of `path` when all went well.

    `mode`: who may read it, from the first byte on. Raises OSError when the folder is missing or
    the disk refuses; the old file stays.
    """
    written = path.with_name(f".{path.name}.{os.getpid()}{PART}")
    with contextlib.suppress(FileNotFoundError):
        written.unlink()  # left behind by a program that died
    if mode is not None:
        written.touch(mode=mode)
    try:
        with new_file(written) as stream:
            yield stream
        put_in_place(written, path)
    finally:
        written.unlink(missing_ok=True)


@contextmanager
def new_file(path: Path) -> Iterator[BinaryIO]:
    """A file that is on the disk itself at the end; it is taken away again when that fails."""
    try:
        with path.open("wb") as stream:
            yield stream
            stream.flush()
            flush_to_disk(stream.fileno())
    except BaseException:
        with contextlib.suppress(OSError):
            path.unlink()
        raise


def put_in_place(written: Path, target: Path) -> None:
    """Renames over the target in one step, keeping who may read it; the folder is not flushed."""
    with contextlib.suppress(FileNotFoundError):
        written.chmod(stat.S_IMODE(target.stat().st_mode))
    written.replace(target)


def flush_to_disk(handle: int) -> None:
    """Waits until a file is on the disk itself, not only in its cache.

    On macOS that takes a request of its own (see fcntl(2) there, F_FULLFSYNC).
    """
    full = getattr(fcntl, "F_FULLFSYNC", None)
    if full is not None:
        with contextlib.suppress(OSError):  # not every file system knows it; fsync always works
            fcntl.fcntl(handle, full)
            return
    os.fsync(handle)
