"""What leaves for the terminal: nothing unseen in it, and signs that it can show."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, TextIO

from tagbench.records.text import clean


class CleanStream:
    """A text stream that passes on what is written to it without control and hidden characters.

    A name in a book, a file name or something typed may hold what would move the cursor, hide text
    or run a command of the terminal. Signs that the encoding of the stream lacks become `?`.
    """

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        """Writes the text, cleaned."""
        return self.write_as_is(clean(text))

    def write_as_is(self, text: str) -> int:
        """Writes a text of our own that holds signs for the terminal."""
        try:
            self._stream.write(text)
        except UnicodeEncodeError:
            encoding = self._stream.encoding or "ascii"
            self._stream.write(text.encode(encoding, "replace").decode(encoding))
        return len(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


@contextmanager
def clean_output() -> Iterator[None]:
    """Puts `CleanStream` in front of the standard output while commands run."""
    stream = sys.stdout
    sys.stdout = CleanStream(stream)
    try:
        yield
        stream.flush()
    finally:
        sys.stdout = stream


def write_as_is(text: str) -> None:
    """Prints a line of our own with signs for the terminal in it."""
    if isinstance(sys.stdout, CleanStream):
        sys.stdout.write_as_is(f"{text}\n")
    else:
        print(text)
