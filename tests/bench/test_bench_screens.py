"""The screens from the shell: how soon the first one stands, what they write; Find at each key."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import struct
import sys
import termios
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import median
from types import TracebackType

import pytest
from textual.widgets import Input

from tagbench.book import Book
from tagbench.book.operations.phones import pair
from tagbench.screens.find.screen import FindScreen
from tests.bench.books import Peer, book_of
from tests.bench.rows import TABLE, Row, Wanted, in_turns, milliseconds, reached
from tests.bench.test_bench_find import FREE_LATE_MS, FREE_MS
from tests.bench.test_bench_stalls import at_rest, screens_of

pytestmark = pytest.mark.bench

FIRST_SCREEN = 1.4
"""Most that the first usable screen may take, against a bare app, from the shell."""
PER_KEY_MS = 16
PHONE_KEY, SWITCH_KEY, ENTER = b"\x1b[21~", b"\x0f", b"\r"
"""F10, Ctrl+O and Enter as a terminal sends them."""
LOOKED_ON_SECONDS = 5.0
"""Two of the looks that the Phone screen takes."""

BARE = """
from textual.app import App
from textual.containers import Container, Vertical
from textual.widgets import DataTable, Static

class Bare(App):
    def compose(self):
        yield Static("title")
        with Container(), Vertical():
            for line in range(6):
                yield Static(f"line {line}")
            yield DataTable()
        for line in ("notice", "keys", "more keys"):
            yield Static(line)

    def on_mount(self):
        table = self.query_one(DataTable)
        table.add_columns("code", "name")
        table.add_row("9", "the last row")

Bare().run()
"""


class Terminal:
    """A program in a terminal of its own."""

    def __init__(self, arguments: list[str]) -> None:
        self.pid, self._ours = pty.fork()
        if self.pid == 0:  # pragma: no cover - the child becomes the program
            environ = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
            os.execve(sys.executable, [sys.executable, *arguments], {**environ, "TERM": "xterm"})
        fcntl.ioctl(self._ours, termios.TIOCSWINSZ, struct.pack("HHHH", 36, 120, 1200, 720))

    def __enter__(self) -> Terminal:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        os.kill(self.pid, 9)
        os.waitpid(self.pid, 0)
        os.close(self._ours)

    def read(self, seconds: float, words: bytes = b"") -> bytes:
        """What is written in so many seconds, or until these words are."""
        shown, deadline = b"", time.monotonic() + seconds
        while time.monotonic() < deadline and not (words and words in shown):
            if select.select([self._ours], [], [], 0.05)[0]:
                more = os.read(self._ours, 65536)
                shown += more
                if b"\x1b[c" in more:  # who are you? A VT220, as terminals say
                    os.write(self._ours, b"\x1b[?62;22c")
        return shown

    def until(self, words: bytes) -> None:
        """Waits for these words."""
        shown = self.read(60, words)
        assert words in shown, shown[-2000:]

    def press(self, key: bytes) -> None:
        """Presses a key."""
        os.write(self._ours, key)

    @property
    def milliseconds(self) -> float:
        """Processor time until now, of all its threads."""
        tasks = Path(f"/proc/{self.pid}/task").glob("*/schedstat")
        return sum(int(task.read_text().split()[0]) for task in tasks) / 1e6


def until_shown(arguments: list[str], words: bytes) -> float:
    """Milliseconds of processor time of a program in a terminal until it shows these words."""
    with Terminal(arguments) as terminal:
        terminal.until(words)
        return terminal.milliseconds


@pytest.mark.parametrize("count", [100, 1_000, 10_000, 100_000])
def test_the_first_usable_screen_from_the_shell(books: Callable[[int], Path], count: int) -> None:
    """Bench with what can be done next, against a bare app with as many kinds of widgets."""
    folder = books(count)
    ours, bare = in_turns(
        lambda: until_shown(["-m", "tagbench", "--book", str(folder)], b"Next on the bench"),
        lambda: until_shown(["-c", BARE], b"the last row"),
        turns={1_000: 5, 100_000: 1}.get(count, 3),
    )
    what, peer = "first usable screen from the shell", "a bare Textual app"
    wanted = Wanted(ratio=FIRST_SCREEN if count <= 1_000 else None)
    reached(TABLE.add(Row(what, peer, count, ours, bare, "ms", wanted)))


def test_the_phone_screen_writes_only_what_changed(own_book: Callable[[int], Path]) -> None:
    """Bytes to the terminal while nothing changes, phones on; a bare app writes none either."""
    folder = own_book(100)
    with Book(folder) as book:
        pair(book, "Pocket", "x" * 32)
    with Terminal(["-m", "tagbench", "--book", str(folder)]) as screens:
        screens.until(b"Next on the bench")
        screens.press(PHONE_KEY)
        screens.until(b"Paired phones")
        screens.press(SWITCH_KEY)
        screens.until(b"This computer only")
        screens.press(ENTER)
        screens.until(b"Phones are answered")
        screens.read(LOOKED_ON_SECONDS)
        ours = len(screens.read(LOOKED_ON_SECONDS))
    with Terminal(["-c", BARE]) as bare:
        bare.until(b"the last row")
        bare.read(1.0)
        theirs = len(bare.read(LOOKED_ON_SECONDS))
    what, peer = f"Phone, phones on, {LOOKED_ON_SECONDS:g} s looked at", "a bare Textual app"
    reached(TABLE.add(Row(what, peer, 100, ours, theirs, "bytes", Wanted(most=0))))


async def test_find_keeps_up_with_every_key(books: Callable[[int], Path]) -> None:
    """From the key to the answers ready to be drawn, against FTS5 asked for the same in turn."""
    peer = Peer(book_of(10_000))
    async with screens_of(books(10_000)) as driver:
        await driver.app.go("find")
        await at_rest(driver)
        screen = driver.at(FindScreen)
        ours, theirs = [], []
        for question in ("four M5 screws brake shoe", "gudgen pin left", "kick start lever"):
            for end in range(1, len(question) + 1):
                with screen.prevent(Input.Changed):
                    screen.turn_to(question[:end])
                ours.append(milliseconds(screen.look, time.thread_time)())
                theirs.append(milliseconds(partial(peer.find, question[:end]), time.thread_time)())
    what, late = "a key in the Find screen", int(len(ours) * 0.95)
    mine, others = sorted(ours), sorted(theirs)
    usual = Row(what, "FTS5", 10_000, median(mine), median(others),
                wanted=Wanted(most=PER_KEY_MS, free=FREE_MS))  # fmt: skip
    slow = Row(f"{what}, 95 % under", "FTS5", 10_000, mine[late], others[late],
               wanted=Wanted(most=PER_KEY_MS, free=FREE_LATE_MS))  # fmt: skip
    reached(TABLE.add(usual), TABLE.add(slow))
