"""What is felt at the screens: the first one, the longest stall, memory, questions typed badly."""

from __future__ import annotations

import asyncio
import fcntl
import os
import pty
import random
import select
import struct
import subprocess
import sys
import termios
import time
from asyncio import events
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from textual.app import App, ComposeResult
from textual.screen import Screen
from textual.widgets import Input

from tagbench.book import Book
from tagbench.book.operations.machines import add
from tagbench.records import replace
from tagbench.rules.find.index import Index
from tagbench.screens.app.app import TagbenchApp
from tests.bench.rows import TABLE, Row, Wanted, in_turns, reached
from tests.bench.test_bench_find import Peer, book_of
from tests.rules.find.slips import large_book, questions, with_slips
from tests.screens.driver import Clock, ScreenDriver

pytestmark = pytest.mark.bench

LARGE = 10_000
SCREENS = ("strip", "find", "tags", "clean", "buy", "build", "count", "settings", "stock", "shop")
FIELDS = 12
"""The peer is a bare screen with so many fields, as the form of Strip has."""


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> Callable[[int], Path]:
    """Books of so many parts on the disk, each made once."""
    made: dict[int, Path] = {}

    def folder(count: int) -> Path:
        if count not in made:
            made[count] = tmp_path_factory.mktemp(f"of{count}") / "book"
            tables = book_of(count)
            with Book(made[count]) as book:
                add(book, "Tarnbrook Packman", "TP")
                with book.change("many parts") as draft:
                    for record in (*tables.bins.values(), *tables.parts.values()):
                        draft.put(record)
        return made[count]

    return folder


# Memory

OPENED = """
import sys
from pathlib import Path
def resident():
    return next(int(l.split()[1]) for l in open("/proc/self/status") if l.startswith("VmRSS"))
{how}
print(resident() / 1024)
"""
OURS = OPENED.format(how="from tagbench.book import Book\nbook = Book(Path(sys.argv[1]))")
THEIRS = OPENED.format(how="import json\nb = json.load(open(Path(sys.argv[1]) / 'book.json'))")


def megabytes(program: str, folder: Path) -> Callable[[], float]:
    """What a process of its own keeps in memory at its end."""
    command = [sys.executable, "-c", program, str(folder)]
    return lambda: float(subprocess.run(command, capture_output=True, check=True).stdout)


@pytest.mark.timeout(900)  # writing the large book down takes longer than all the rest
@pytest.mark.parametrize("count", [LARGE, 100_000])
def test_memory_of_an_open_book(folders: Callable[[int], Path], count: int) -> None:
    """Against the same file as plain lists and dictionaries."""
    folder = folders(count)
    ours, theirs = in_turns(megabytes(OURS, folder), megabytes(THEIRS, folder), turns=1)
    wanted = Wanted(most=200)
    row = Row("memory of an open book", "json.load of its file", count, ours, theirs, "MB", wanted)
    reached(TABLE.add(row))


# The first screen, from the shell

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


def until_shown(arguments: list[str], words: bytes) -> float:
    """Milliseconds of processor time of a program in a terminal until it shows these words."""
    pid, terminal = pty.fork()
    if pid == 0:  # pragma: no cover - the child becomes the program
        environ = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        os.execve(sys.executable, [sys.executable, *arguments], {**environ, "TERM": "xterm"})
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 36, 120, 1200, 720))
    shown, deadline = b"", time.monotonic() + 60
    try:
        while words not in shown and time.monotonic() < deadline:
            if select.select([terminal], [], [], 0.05)[0]:
                more = os.read(terminal, 65536)
                shown += more
                if b"\x1b[c" in more:
                    os.write(terminal, b"\x1b[?62;22c")
        assert words in shown
        tasks = Path(f"/proc/{pid}/task").glob("*/schedstat")
        return sum(int(task.read_text().split()[0]) for task in tasks) / 1e6
    finally:
        os.kill(pid, 9)
        os.waitpid(pid, 0)
        os.close(terminal)


def test_the_first_usable_screen_from_the_shell(folders: Callable[[int], Path]) -> None:
    """Bench with what can be done next, against a bare app with as many kinds of widgets."""
    folder = folders(1_000)
    ours, bare = in_turns(
        lambda: until_shown(["-m", "tagbench", "--book", str(folder)], b"Next on the bench"),
        lambda: until_shown(["-c", BARE], b"the last row"),
    )
    what, peer = "first usable screen from the shell", "a bare Textual app"
    reached(TABLE.add(Row(what, peer, 1_000, ours, bare, "ms", Wanted(ratio=1.4))))


# Stalls of the event loop


class Stalls:
    """The longest time that one callback kept the event loop, milliseconds of its thread."""

    def __init__(self) -> None:
        self.longest = 0.0

    def reset(self) -> None:
        """Begins anew."""
        self.longest = 0.0


@contextmanager
def watched() -> Iterator[Stalls]:
    """Times every callback of the event loop by the processor time of its thread."""
    stalls = Stalls()
    kind: Any = events.Handle
    run = kind._run

    def timed(handle: events.Handle) -> None:
        start = time.thread_time()
        run(handle)
        stalls.longest = max(stalls.longest, (time.thread_time() - start) * 1e3)

    kind._run = timed
    try:
        yield stalls
    finally:
        kind._run = run


class BareForm(Screen[None]):
    """As many fields as Strip has."""

    def compose(self) -> ComposeResult:
        for at in range(FIELDS):
            yield Input(placeholder=f"field {at}", compact=True)


async def at_rest(driver: ScreenDriver) -> None:
    """Waits until no thread works for the screens; draws nothing itself, as the driver would."""
    await asyncio.sleep(0.3)
    while driver._threads_busy():
        await asyncio.sleep(0.05)
    await asyncio.sleep(0.3)


async def test_no_screen_stalls_when_it_is_opened_first(folders: Callable[[int], Path]) -> None:
    """Nor does another program's change; the peer is a bare form laid over a bare app."""
    folder = folders(LARGE)
    with watched() as stalls:
        bare: App[None] = App()
        async with bare.run_test(size=(120, 36)) as pilot:
            stalls.reset()
            await bare.push_screen(BareForm())
            await pilot.pause(0.5)
            peer = stalls.longest
        clock = Clock()
        app = TagbenchApp(Book(folder), clock)
        async with app.run_test(size=(120, 36)) as pilot:
            driver = ScreenDriver(app, pilot, clock)
            await asyncio.sleep(2)  # the modules of the screens are read ahead
            await at_rest(driver)
            for name in SCREENS:
                stalls.reset()
                await app.go(name)
                await at_rest(driver)
                what = f"longest stall, {name} opened first"
                wanted = Wanted(most=100)
                TABLE.add(Row(what, "a bare form", LARGE, stalls.longest, peer, "ms", wanted))
            await app.go("bench")
            await at_rest(driver)
            with Book(folder) as other:
                part = next(iter(other.records.parts.values()))
                with other.change("note") as draft:
                    draft.put(replace(part, note=f"{time.time()}"))
                stalls.reset()
                app.look_for_changes()
                await at_rest(driver)
            what, wanted = "longest stall, another program saved", Wanted(most=50)
            TABLE.add(Row(what, "a bare form", LARGE, stalls.longest, peer, "ms", wanted))
    reached(*(row for row in TABLE.rows if row.what.startswith("longest stall")))


# Questions typed badly

ASKED, SHOWN = 100, 5


@pytest.mark.parametrize(("kind", "least"), [("two slips in each word", 75), ("run together", 95)])
def test_hard_questions(kind: str, least: int) -> None:
    """How many of a hundred have their part among the first five, against FTS5 trigram."""
    tables = large_book(LARGE, 2024)
    dice, ours, theirs = random.Random(2024), 0, 0
    index, peer = Index(tables), Peer(tables)
    for words, question in questions(tables, ASKED, 2024):
        dice.shuffle(words)
        slipped = " ".join(with_slips(word, 2, dice) for word in words)
        text = slipped if kind.startswith("two") else "".join(words)
        ours += any(question.is_answered_by(hit.part) for hit in index.find(text, SHOWN))
        codes = peer.find(text)[:SHOWN]
        theirs += any(question.is_answered_by(tables.parts[code]) for code in codes)
    wanted = Wanted(least=least)
    row = Row(f"find, {kind}", "SQLite FTS5 trigram", LARGE, ours, theirs, "of 100", wanted)
    reached(TABLE.add(row))
