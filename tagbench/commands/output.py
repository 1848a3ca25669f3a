"""What leaves for the terminal: nothing unseen in it, and signs that it can show."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, TextIO

from tagbench.errors import TagbenchError
from tagbench.records.text import clean


class OutputLost(TagbenchError):
    """What was to be printed cannot be written; what the command did before is done."""


class OutputClosed(OutputLost):
    """Nobody reads what is printed any more, such as `head` after its lines: no fault to tell."""


@contextmanager
def _told() -> Iterator[None]:
    try:
        yield
    except BrokenPipeError as error:
        raise OutputClosed("Nobody reads the output any more.") from error
    except OSError as error:
        raise OutputLost(
            f"The output cannot be written ({(error.strerror or str(error)).lower()}); what was "
            "saved before is saved all the same. Print it elsewhere."
        ) from error


def open_the_closed() -> None:
    """Opens nowhere in place of what the caller closed: input, output, errors.

    Else the next file that is opened, perhaps the book, would get the number of one of them.
    """
    for number, name in enumerate(("stdin", "stdout", "stderr")):
        try:
            os.fstat(number)
        except OSError:
            nowhere = os.open(os.devnull, os.O_RDWR)
            if nowhere != number:
                os.dup2(nowhere, number)
                os.close(nowhere)
        if getattr(sys, name) is None:
            mode = "r" if name == "stdin" else "w"
            setattr(sys, name, open(number, mode, encoding="utf-8", closefd=False))  # noqa: SIM115


def let_go_of_output() -> None:
    """Sends what is still to be printed nowhere, so that nothing fails when the program ends."""
    _let_go_of(sys.stdout)


def let_go_of_what_is_stuck() -> None:
    """The same for output and errors that cannot be written: Python would end with code 120."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except OSError:
            _let_go_of(stream)


def _let_go_of(stream: TextIO) -> None:
    if not isinstance(stream, io.TextIOWrapper):
        return  # a stream of a test has no number
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, stream.fileno())
    os.close(nowhere)


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
        with _told():
            try:
                self._stream.write(text)
            except UnicodeEncodeError:
                encoding = self._stream.encoding or "ascii"
                self._stream.write(text.encode(encoding, "replace").decode(encoding))
        return len(text)

    def flush(self) -> None:
        """Sends on what was written; raises `OutputLost` where that cannot be."""
        with _told():
            self._stream.flush()

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


@contextmanager
def clean_output() -> Iterator[None]:
    """Puts `CleanStream` in front of the standard output while commands run."""
    stream = sys.stdout
    clean_stream = CleanStream(stream)
    sys.stdout = clean_stream  # it passes everything else on
    try:
        yield
        clean_stream.flush()
    finally:
        sys.stdout = stream


def write_as_is(text: str) -> None:
    """Prints a line of our own with signs for the terminal in it."""
    if isinstance(sys.stdout, CleanStream):
        sys.stdout.write_as_is(f"{text}\n")
    else:
        print(text)
