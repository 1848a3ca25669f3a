"""Writing so that it survives a crash: aside, flushed to the disk, then put in place."""

from __future__ import annotations

import contextlib
import errno
import os
import stat
from collections.abc import Iterable
from pathlib import Path

try:
    import fcntl
except ImportError:  # Windows, where fsync reaches the disk
    fcntl = None  # type: ignore[assignment]

#: What a disk answers that has no room.
FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
#: What it answers where nothing may be written.
FORBIDDEN = {errno.EACCES, errno.EPERM, errno.EROFS}
#: What file systems answer that cannot flush a folder; the rename itself is still in order.
_NO_FOLDER_SYNC = {errno.EINVAL, errno.ENOTSUP, errno.EBADF, errno.EACCES}


def write_aside(path: Path, pieces: Iterable[bytes]) -> None:
    """Writes a new file and flushes it to the disk; takes it away again when that fails."""
    try:
        with path.open("wb") as file:
            file.writelines(pieces)
            file.flush()
            flush_to_disk(file.fileno())
    except BaseException:
        with contextlib.suppress(OSError):
            path.unlink()
        raise


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


def put_in_place(aside: Path, target: Path) -> None:
    """Renames over the target in one step, keeping who may read it; the folder is not flushed."""
    with contextlib.suppress(FileNotFoundError):
        aside.chmod(stat.S_IMODE(target.stat().st_mode))
    aside.replace(target)


def sync_folder(folder: Path) -> None:
    """Flushes the names in a folder to the disk, where the file system can."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError as error:
        if error.errno in _NO_FOLDER_SYNC:  # Windows opens no folders
            return
        raise
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in _NO_FOLDER_SYNC:
            raise
    finally:
        os.close(handle)


def append(path: Path, data: bytes) -> None:
    """Adds to the end of a file and flushes it; on failure the file is as long as before."""
    with path.open("ab", buffering=0) as file:
        before = file.seek(0, os.SEEK_END)
        try:
            left = memoryview(data)
            while left:
                left = left[file.write(left) :]
            flush_to_disk(file.fileno())
        except BaseException:
            file.truncate(before)
            raise


def cut(path: Path, length: int) -> None:
    """Shortens a file to `length` bytes and flushes it."""
    with path.open("r+b") as file:
        file.truncate(length)
        flush_to_disk(file.fileno())


def reason(error: OSError, folder: Path, verb: str) -> str:
    """Why a folder could not be `written` or `read`: half a sentence, with the way out."""
    if error.errno in FULL:
        return "the disk is full; make room and do it again"
    if error.errno in FORBIDDEN:
        return f"{folder} may not be {verb}; allow that there or use another --book folder"
    if error.errno in (errno.ENOTDIR, errno.EEXIST):
        return f"{folder} is not a folder; give a folder with --book DIR"
    what = error.strerror or str(error)
    return f"the disk answered “{what}”; check the disk and do it again"
