"""In real terminals: signals leave them as they were; poor ones get plain signs or a sentence."""

from __future__ import annotations

import errno
import fcntl
import os
import pty
import re
import select
import signal
import struct
import sys
import termios
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.screens.frame.terminal import knows_signs, plain_signs, why_no_screens

LONGEST_S = 60.0
LEAVES_SCREEN = b"\x1b[?1049l"
SHOWS_CURSOR = b"\x1b[?25h"


class Terminal:
    """tagbench in a pseudo-terminal of its own."""

    def __init__(self, folder: Path, size: tuple[int, int], environ: Mapping[str, str]) -> None:
        self.printed = b""
        self.pid, self._end = pty.fork()
        if self.pid == 0:  # pragma: no cover - the child becomes tagbench
            os.execve(
                sys.executable,
                [sys.executable, "-m", "tagbench", "--book", str(folder)],
                {**os.environ, "TERM": "xterm-256color", **environ},
            )
        columns, lines = size
        fcntl.ioctl(self._end, termios.TIOCSWINSZ, struct.pack("HHHH", lines, columns, 0, 0))

    def read(self, until: bytes = b"") -> bytes:
        """What it printed, until that stands there; without it until it ends."""
        deadline = time.monotonic() + LONGEST_S
        while time.monotonic() < deadline:
            if until and until in self.printed:
                return self.printed
            if not select.select([self._end], [], [], 0.1)[0]:
                continue
            try:
                more = os.read(self._end, 65536)
            except OSError as error:  # Linux's way to say that the other end was closed
                assert error.errno == errno.EIO
                more = b""
            if not more:
                assert not until, f"it ended without {until!r}: {self.printed[-400:]!r}"
                return self.printed
            self.printed += more
        raise AssertionError(f"it never printed {until!r} but {self.printed[-400:]!r}")

    def type(self, keys: bytes) -> None:
        """Presses keys."""
        os.write(self._end, keys)

    def vanish(self) -> None:
        """As when its window is closed."""
        os.close(self._end)
        self._end = -1

    def ended(self) -> int:
        """Its exit code, after what it still had to print."""
        if self._end >= 0:
            self.read()
        _, status = os.waitpid(self.pid, 0)
        self.pid = 0
        return os.waitstatus_to_exitcode(status)

    def close(self) -> None:
        """Ends it where a test did not."""
        with suppress(ProcessLookupError, ChildProcessError):
            if self.pid:
                os.kill(self.pid, signal.SIGKILL)
                os.waitpid(self.pid, 0)
        if self._end >= 0:
            os.close(self._end)


@pytest.fixture
def terminals(brake: Book) -> Iterator[Callable[..., Terminal]]:
    """Makes terminals that are closed in the end."""
    made: list[Terminal] = []

    def make(size: tuple[int, int] = (80, 23), **environ: str) -> Terminal:
        made.append(Terminal(brake.folder, size, environ))
        return made[-1]

    yield make
    for one in made:
        one.close()


def text(printed: bytes) -> str:
    """What was printed without the sequences that move the cursor and colour it."""
    return re.sub(r"\x1b(\[[0-9;?<>=]*[A-Za-z]|[()][AB0]|[=>])", "", printed.decode())


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_ends_the_screens_and_restores_the_terminal(
    terminals: Callable[..., Terminal], number: int
) -> None:
    """Exit code 128 and the number of the signal, as shells have it."""
    terminal = terminals()
    terminal.read(b"BENCH")
    os.kill(terminal.pid, number)
    assert terminal.ended() == 128 + number
    assert LEAVES_SCREEN in terminal.printed
    assert SHOWS_CURSOR in terminal.printed
    assert b"Traceback" not in terminal.printed


def test_a_terminal_that_is_gone_ends_the_screens(terminals: Callable[..., Terminal]) -> None:
    """Its window was closed, or the multiplexer: nothing can be written any more, and nobody is
    left to wait for."""
    terminal = terminals()
    terminal.read(b"BENCH")
    terminal.vanish()
    assert terminal.ended() == 128 + signal.SIGHUP


def test_ctrl_z_goes_back_to_the_shell_and_fg_comes_back(
    terminals: Callable[..., Terminal],
) -> None:
    """The terminal is as it was meanwhile."""
    terminal = terminals()
    terminal.read(b"BENCH")
    terminal.type(b"\x1a")
    terminal.read(LEAVES_SCREEN)
    _, status = os.waitpid(terminal.pid, os.WUNTRACED)
    assert os.WIFSTOPPED(status)
    terminal.printed = b""
    os.kill(terminal.pid, signal.SIGCONT)
    terminal.read(b"BENCH")
    os.kill(terminal.pid, signal.SIGTERM)
    assert terminal.ended() == 128 + signal.SIGTERM


def test_a_terminal_without_a_size_has_the_usual_one(terminals: Callable[..., Terminal]) -> None:
    """0 × 0, as a serial line has it."""
    terminal = terminals((0, 0))
    terminal.read(b"BENCH")
    os.kill(terminal.pid, signal.SIGTERM)
    assert terminal.ended() == 128 + signal.SIGTERM
    assert "too small" not in text(terminal.printed)


def test_a_dumb_terminal_gets_a_sentence(terminals: Callable[..., Terminal]) -> None:
    """And exit code 2."""
    terminal = terminals(TERM="dumb")
    assert terminal.ended() == 2
    assert "set TERM to" in " ".join(text(terminal.printed).split())


def test_without_utf_8_everything_is_plain(terminals: Callable[..., Terminal]) -> None:
    """In the C locale nothing but ASCII is printed."""
    terminal = terminals(LC_ALL="C", LANG="C", TERM="vt100")
    terminal.read(b"BENCH")
    terminal.type(b"\x07")  # Ctrl+G: a card with a frame
    terminal.read(b"What to do")
    os.kill(terminal.pid, signal.SIGTERM)
    terminal.ended()
    assert terminal.printed.isascii()


@pytest.mark.parametrize(
    ("environ", "encoding", "knows"),
    [
        ({"LANG": "en_GB.UTF-8"}, "utf-8", True),
        ({"LANG": "C.UTF-8"}, "utf-8", True),
        ({"LC_ALL": "C"}, "utf-8", False),
        ({"LANG": "C", "LC_CTYPE": "C.UTF-8"}, "utf-8", False),
        ({"LANG": "POSIX"}, "utf-8", False),
        ({"LANG": "de_DE.ISO-8859-1"}, "iso8859-1", False),
        ({"LANG": "en_GB.UTF-8", "TAGBENCH_ASCII": "1"}, "utf-8", False),
        ({}, "utf-8", True),
    ],
)
def test_which_terminals_know_more_than_ascii(
    environ: dict[str, str], encoding: str, knows: bool
) -> None:
    """By the locale; Python itself takes the C locale for UTF-8."""
    assert knows_signs(environ, encoding) is knows


def test_plain_signs_are_as_wide_as_those_they_stand_for() -> None:
    """So that nothing moves."""
    assert plain_signs("▸ Büchse 4 × M6, 12–14 N·m …") == "> Buchse 4 x M6, 12-14 N.m ."
    assert plain_signs("┏━┓█▒·") == "+-+#%."
    assert plain_signs("車") == "??"


def test_where_there_is_no_terminal_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """With the way out."""
    monkeypatch.setattr("sys.stdin.isatty", lambda: False, raising=False)
    assert "--help" in why_no_screens({"TERM": "xterm"})
