"""Writing so that it survives a crash: new files, folders and ends of files flushed to the disk."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterable
from pathlib import Path

from labels.atomic_write import FULL, flush_to_disk, new_file

#: What it answers where nothing may be written.
FORBIDDEN = {errno.EACCES, errno.EPERM, errno.EROFS}
#: What file systems answer that cannot flush a folder; the rename itself is still in order.
_NO_FOLDER_SYNC = {errno.EINVAL, errno.ENOTSUP, errno.EBADF, errno.EACCES}


def write_new(path: Path, pieces: Iterable[bytes]) -> None:
    """Writes a new file and flushes it to the disk; takes it away again when that fails."""
    with new_file(path) as file:
        file.writelines(pieces)


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


def truncate(path: Path, length: int) -> None:
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
