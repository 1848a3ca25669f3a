"""The screens with 10 000 parts: how soon the first one stands, and Find at each key."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path
from statistics import median

import pytest
from textual.widgets import Input

from tagbench.book import Book
from tagbench.screens.app.app import TagbenchApp
from tagbench.screens.find.screen import FindScreen
from tests.bench.rows import TABLE, Row, Wanted, reached
from tests.bench.test_bench_find import ten_thousand

pytestmark = pytest.mark.bench

RUNS = 7
FIRST_SCREEN = 1.5
"""Most that the first usable screen may take, against a bare app with an empty table."""
PER_KEY_MS = 16

BARE = """
import time
start = time.perf_counter()
from textual.app import App
from textual.widgets import DataTable

class Bare(App):
    def compose(self):
        yield DataTable()

    def on_mount(self):
        self.query_one(DataTable).add_columns("code", "name")

    def on_ready(self):
        print(time.perf_counter() - start)
        self.exit()

Bare().run(headless=True, size=(120, 36))
"""
OURS = """
import sys, time
start = time.perf_counter()
from tagbench.screens.app.app import TagbenchApp

def open_book():
    from pathlib import Path
    from tagbench.book import Book
    return Book(Path(sys.argv[1]))

class Timed(TagbenchApp):
    def on_ready(self):
        print(time.perf_counter() - start)

    def book_changed(self):
        super().book_changed()
        self.call_after_refresh(self.shown)

    def shown(self):
        print(time.perf_counter() - start)
        self.exit()

Timed(open_book).run(headless=True, size=(120, 36))
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book of 10 000 parts on the disk."""
    where = tmp_path_factory.mktemp("large") / "book"
    tables = ten_thousand()
    with Book(where) as book, book.change("ten thousand parts") as transaction:
        for record in (*tables.bins.values(), *tables.parts.values()):
            transaction.put(record)
    return where


def timed(program: str, *arguments: str) -> list[float]:
    """The seconds a program prints, from its own start."""
    command = [sys.executable, "-c", program, *arguments]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    return [float(line) for line in done.stdout.split()]


def test_the_first_screen_stands_almost_as_soon_as_a_bare_app(folder: Path) -> None:
    """Best of several turns each, one after the other in the same run."""
    turns = [(timed(BARE)[0], timed(OURS, str(folder))) for _ in range(RUNS)]
    bare = min(turn[0] for turn in turns)
    first = min(turn[1][0] for turn in turns)
    whole = min(turn[1][1] for turn in turns)
    seen = Row("first screen, whole book", "bare app", 10_000, 1e3 * whole, 1e3 * bare)
    wanted = Wanted(ratio=FIRST_SCREEN)
    row = Row("first screen", "bare app", 10_000, 1e3 * first, 1e3 * bare, wanted=wanted)
    TABLE.add(seen)
    reached(TABLE.add(row))


async def test_find_keeps_up_with_every_key(folder: Path) -> None:
    """From the key to the answers ready to be drawn; processor time, since others run too."""
    app = TagbenchApp(Book(folder))
    async with app.run_test(size=(120, 36)) as pilot:
        await app.go("find")
        app.index.up_to_date()
        await pilot.pause(0.2)
        screen = app.screen
        assert isinstance(screen, FindScreen)
        times = []
        for question in ("four M5 screws brake shoe", "gudgen pin left", "kick start lever"):
            for end in range(1, len(question) + 1):
                with screen.prevent(Input.Changed):
                    screen.turn_to(question[:end])
                start = time.thread_time()
                screen.look()
                times.append(time.thread_time() - start)
    times.sort()
    usual, late = (1e3 * seconds for seconds in (median(times), times[int(len(times) * 0.95)]))
    wanted = Wanted(most=PER_KEY_MS)
    reached(
        TABLE.add(Row("a key in the Find screen", "none", 10_000, usual, 0, wanted=wanted)),
        TABLE.add(Row("the same, 95 % under", "none", 10_000, late, 0, wanted=wanted)),
    )
