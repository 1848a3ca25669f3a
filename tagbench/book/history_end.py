"""The end mark: how far the history went, so that lines lost at its end are missed.

It is written behind every change without waiting for the disk: after a power cut it may be
older than the history, which means nothing; newer than the history it means that changes are gone.
"""

from __future__ import annotations

import os
import zlib
from contextlib import suppress
from io import FileIO
from pathlib import Path

END_FILE = "history.end"
_WIDTH = 20


class HistoryEnd:
    """The file `history.end` of a book: the number of the last change, in figures."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / END_FILE

    def write(self, number: int) -> None:
        """Notes the last change; a disk that refuses it costs only this second look."""
        text = _text(number).encode()
        with suppress(OSError), self._opened() as file:
            file.write(text)
            if file.seek(0, os.SEEK_END) > len(text):
                file.truncate(len(text))

    def _opened(self) -> FileIO:
        """The file, to be written over where it stands: some file systems wait for the disk when a
        file that was emptied first is closed, as long as a whole change takes."""
        try:
            return self.path.open("r+b", buffering=0)
        except FileNotFoundError:
            return self.path.open("wb", buffering=0)

    def read(self) -> int:
        """Number of the last change that was noted; 0 when there is none or it cannot be read."""
        try:
            text = self.path.read_bytes().decode()
        except (OSError, UnicodeDecodeError):
            return 0
        figures = text[:_WIDTH].strip()
        number = int(figures) if figures.isascii() and figures.isdigit() else 0
        return number if text == _text(number) else 0


def _text(number: int) -> str:
    """The figures with their CRC-32, so that a damaged mark is no mark."""
    figures = f"{number:>{_WIDTH}}"
    return f"{figures} {zlib.crc32(figures.encode()):08x}\n"
