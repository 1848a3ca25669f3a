"""How long the screens keep a key waiting: the longest callback of the event loop.

Measured in processor time of the thread that the screens run in, so that other programs do not
count; what waits for a thread of our own is seen only as far as that takes the processor.
"""

from __future__ import annotations

import asyncio
import gc
import time
from asyncio import events
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import asynccontextmanager, contextmanager
from pathlib import Path
from typing import Any

import pytest
from textual.app import App, ComposeResult
from textual.screen import Screen
from textual.widgets import Input

from tagbench.book import Book
from tagbench.cli import GARBAGE
from tagbench.records import replace
from tagbench.screens.app.app import TagbenchApp
from tagbench.screens.strip.screen import StripScreen
from tests.bench.rows import TABLE, Row, Wanted, reached
from tests.screens.driver import LARGE, Clock, ScreenDriver

pytestmark = pytest.mark.bench

SCREENS = ("strip", "find", "tags", "clean", "buy", "build", "count", "settings", "stock", "shop")
FIELDS = 12
"""The peer is a bare screen with so many fields, as the form of Strip has."""
LONGEST_MS = {10_000: 100.0, 100_000: 300.0}
"""Parts → the longest that anything may keep the screens."""
OTHER_SAVED_MS = {10_000: 50.0}
"""The same where another program saved."""
FREE_MS = 20
"""What the longest callback of the bare form takes on a computer that is free."""
FREE_FORM_MS = 55
"""The same of all its callbacks."""
REOPENED_MS = 80
"""Most that all of Strip may take when it is come back to."""


class Stalls:
    """What the event loop ran, milliseconds of its thread."""

    longest = 0.0
    """The longest that one callback kept it."""
    total = 0.0
    """All callbacks together."""

    async def begin(self) -> None:
        """Begins anew; what runs now, and asks for this, does not count with what it did before."""
        await asyncio.sleep(0)
        self.longest = self.total = 0.0


@contextmanager
def watched() -> Iterator[Stalls]:
    """Times every callback of the event loop by the processor time of its thread."""
    stalls = Stalls()
    kind: Any = events.Handle
    run = kind._run

    def timed(handle: events.Handle) -> None:
        start = time.thread_time()
        run(handle)
        spent = (time.thread_time() - start) * 1e3
        stalls.longest = max(stalls.longest, spent)
        stalls.total += spent

    kind._run = timed
    try:
        yield stalls
    finally:
        kind._run = run


@contextmanager
def garbage_as_in_the_program() -> Iterator[None]:
    """The collector looks as seldom as it does in the program itself (`cli.main`)."""
    before = gc.get_threshold()
    gc.set_threshold(*GARBAGE)
    try:
        yield
    finally:
        gc.set_threshold(*before)
        gc.unfreeze()


class BareForm(Screen[None]):
    """As many fields as Strip has."""

    def compose(self) -> ComposeResult:
        for at in range(FIELDS):
            yield Input(placeholder=f"field {at}", compact=True)


async def at_rest(driver: ScreenDriver) -> None:
    """Waits until no thread works for the screens; draws nothing itself, as the driver would."""
    await asyncio.sleep(0.2)
    while driver._threads_busy():
        await asyncio.sleep(0.05)
    await asyncio.sleep(0.2)


@asynccontextmanager
async def screens_of(folder: Path) -> AsyncIterator[ScreenDriver]:
    """The screens over a book as the program runs them, with all modules read ahead."""
    clock = Clock()
    with garbage_as_in_the_program(), Book(folder) as book:
        app = TagbenchApp(book, clock)
        app._alone = True
        async with app.run_test(size=LARGE) as pilot:
            driver = ScreenDriver(app, pilot, clock)
            await asyncio.sleep(2)
            await at_rest(driver)
            yield driver


async def bare_form(stalls: Stalls) -> tuple[float, float]:
    """Longest callback and all of them for a bare form laid over a bare app."""
    bare: App[None] = App()
    async with bare.run_test(size=LARGE) as pilot:
        await stalls.begin()
        await bare.push_screen(BareForm())
        await pilot.pause(0.5)
        return stalls.longest, stalls.total


@pytest.mark.parametrize("count", LONGEST_MS)
async def test_nothing_keeps_the_screens_waiting(
    own_book: Callable[[int], Path], count: int
) -> None:
    """Each screen opened first, a part saved, another program's save taken in."""
    folder = own_book(count)
    rows: list[Row] = []

    def seen(what: str, most: float | None) -> None:
        wanted = Wanted(most=most, free=FREE_MS)
        what = f"longest stall, {what}"
        rows.append(TABLE.add(Row(what, "a bare form", count, stalls.longest, peer, "ms", wanted)))

    most = LONGEST_MS[count]
    with watched() as stalls:
        peer, _ = await bare_form(stalls)
        async with screens_of(folder) as driver:
            app = driver.app
            for name in SCREENS:
                await stalls.begin()
                await app.go(name)
                await at_rest(driver)
                seen(f"{name} opened first", most)
            await app.go("strip")
            await at_rest(driver)
            screen = driver.at(StripScreen)
            screen.form["name"].value = "hub"
            await stalls.begin()
            driver.strike("enter")
            await at_rest(driver)
            seen("a part saved", most)
            await app.go("bench")
            await at_rest(driver)
            with Book(folder) as other:
                part = next(iter(other.records.parts.values()))
                with other.change("note") as draft:
                    draft.put(replace(part, note="seen from elsewhere"))
                await stalls.begin()
                app.look_for_changes()
                await at_rest(driver)
                seen("another program saved", OTHER_SAVED_MS.get(count))
                assert app.book.records.parts[part.code].note == "seen from elsewhere"
    reached(*rows)


@pytest.mark.parametrize("count", [100, 1_000, 10_000, 100_000])
async def test_a_screen_that_was_open_before_is_there_at_once(
    own_book: Callable[[int], Path], count: int
) -> None:
    """Strip: all that the event loop does from the key until it stands there again."""
    with watched() as stalls:
        _, peer = await bare_form(stalls)
        async with screens_of(own_book(count)) as driver:
            taken = []
            for _ in range(4):
                await driver.app.go("strip")
                await at_rest(driver)
                taken.append(stalls.total)
                await driver.app.go("bench")
                await at_rest(driver)
                await stalls.begin()
    again = sorted(taken[1:])[1]
    wanted = Wanted(most=REOPENED_MS, free=FREE_FORM_MS)
    reached(
        TABLE.add(Row("Strip reopened", "a bare form opened", count, again, peer, "ms", wanted))
    )
