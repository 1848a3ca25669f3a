"""The driver of the screens in tests: a keyboard and a hand scanner, with a clock of their own."""

from __future__ import annotations

import asyncio
import time
from collections.abc import AsyncIterator, Callable, Iterator, Sized
from contextlib import asynccontextmanager, contextmanager
from dataclasses import dataclass
from typing import Any, TypeVar

from textual import events
from textual._compositor import Compositor
from textual._context import visible_screen_stack
from textual.keys import _character_to_key
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input

from tagbench.book import Book
from tagbench.screens.app.app import TagbenchApp
from tagbench.screens.widgets.bars import Notice

S = TypeVar("S", bound=Screen[Any])
SMALL, LARGE = (80, 23), (120, 36)
LONGEST_S = 60.0
"""So many seconds anything may take, on a busy machine too."""
TYPING_S, SCANNING_S = 0.2, 0.01
"""Seconds between two keys of a person, and of a hand scanner."""


@dataclass
class Clock:
    """A clock that only goes when it is told to."""

    now: float = 1000.0

    def __call__(self) -> float:
        return self.now


class ScreenDriver:
    """Types, presses keys and scans; each key is one event, as a terminal sends it."""

    def __init__(self, app: TagbenchApp, pilot: Pilot[None], clock: Clock) -> None:
        self.app = app
        self.pilot = pilot
        self.clock = clock

    async def press(self, *keys: str) -> None:
        """Presses keys by name, with a person's pause before each.

        A letter that is a key is kept back by the app until it can be no scan.
        """
        for key in keys:
            self.strike(key)
            await self.settle()
            if len(key) == 1 or key == "space":
                await self.let_a_second_pass()

    def strike(self, key: str) -> None:
        """Presses a key and does not wait for what it does."""
        self._send(key, _CHARACTERS.get(key), TYPING_S)

    async def write(self, text: str, gap: float = TYPING_S) -> None:
        """Types a text into whatever has the focus."""
        for character in text:
            self._send(_character_to_key(character), character, gap)
        await self.settle()

    async def scan(self, text: str, end: str = "enter", gap: float = SCANNING_S) -> None:
        """Scans a tag; without an end key the scanner falls silent for a moment."""
        self.clock.now += 1.0
        for character in text:
            self._send(_character_to_key(character), character, gap)
        if end:
            self._send(end, _CHARACTERS.get(end), gap)
        else:
            await self.settle()
            await self.let_a_second_pass()
        await self.settle()

    async def let_a_second_pass(self) -> None:
        """No scan goes on after it: letters that were kept back are keys, a scan is understood.

        The app looks at the clock again when a timer of its own goes off, in real time; it is
        made to look at once.
        """
        self.clock.now += 1.0
        while self.app.scans.wait() is not None:
            await self.app._scan_may_be_over()
            await self.settle()

    def _send(self, key: str, character: str | None, gap: float) -> None:
        """One key, timed by the clock of the test."""
        self.clock.now += gap
        event = events.Key(key, character)
        event.time = self.clock.now
        self.app.post_message(event)

    async def settle(self) -> None:
        """Waits until everything that was pressed has been done and is drawn.

        That is so when no message waits in any queue, nothing is left to run on the event loop,
        no thread works for the screens, and drawing what changed brings up nothing new.
        """
        deadline = time.monotonic() + LONGEST_S
        while time.monotonic() < deadline:
            await self._run_out()
            if self._threads_busy():
                await asyncio.sleep(0.002)
                continue
            if self.app._exit or self.app._exception is not None:
                return
            self.app.screen._on_timer_update()
            if not await self._run_out():
                return
        raise AssertionError(f"it never comes to rest; the screen shows:\n{self.shown}")

    async def _run_out(self) -> bool:
        """Lets the event loop run until nothing is ready; whether anything was."""
        ready: Sized = asyncio.get_running_loop()._ready  # type: ignore[attr-defined]
        ran = False
        while True:
            await asyncio.sleep(0)
            if not ready and not self._messages_wait():
                return ran
            ran = True

    def _messages_wait(self) -> bool:
        """Whether a message or a callback waits for a widget that takes messages."""
        pumps = [
            self.app,
            *(node for s in self.app.screen_stack for node in s.walk_children(with_self=True)),
        ]
        return any(
            pump._running
            and not pump._closing
            and (pump.message_queue_size or pump._next_callbacks or pump._pending_message)
            for pump in pumps
        )

    def _threads_busy(self) -> bool:
        """Whether a thread works for the screens: every worker thread comes from one pool."""
        pool = asyncio.get_running_loop()._default_executor  # type: ignore[attr-defined]
        if pool is None:
            return False
        return bool(pool._work_queue.qsize() or len(pool._threads) > pool._idle_semaphore._value)

    async def fill(self, **fields: str) -> None:
        """Types into the fields with these ids, by Tab alone, from the first to the last."""
        for name, text in fields.items():
            await self.tab_to(name)
            await self.write(text)

    async def tab_to(self, name: str) -> None:
        """Presses Tab until the field with that id has the focus."""
        for _ in range(30):
            if self.app.focused is not None and self.app.focused.id == name:
                return
            await self.press("tab")
        raise AssertionError(f"Tab never gets to {name}")

    async def until(self, holds: Callable[[], bool]) -> None:
        """Waits until something has come about, beside the screen or after a while."""
        if not await until(self.pilot, holds):
            raise AssertionError(f"it never came about; the screen shows:\n{self.shown}")

    @property
    def screen(self) -> Screen[object]:
        """The open screen or card."""
        return self.app.screen

    def at(self, kind: type[S]) -> S:
        """The open screen, which must be of that kind."""
        screen = self.app.screen
        assert isinstance(screen, kind), f"{screen} is open, not {kind.__name__}"
        return screen

    @property
    def said(self) -> str:
        """What the notice line says."""
        return self.screen.query_one(Notice).sentence

    @property
    def shown(self) -> str:
        """The characters on the screen, line by line."""
        visible_screen_stack.set(self.app._background_screens)
        strips = self.screen._compositor.render_strips()
        return "\n".join(strip.text.rstrip() for strip in strips)

    def field(self, name: str) -> str:
        """What stands in the field with that id."""
        return self.screen.query_one(f"#{name}", Input).value


async def until(pilot: Pilot[Any], holds: Callable[[], bool]) -> bool:
    """Waits until something has come about in an app; whether it has."""
    deadline = time.monotonic() + LONGEST_S
    while not holds():
        if time.monotonic() > deadline:
            return False
        await pilot.pause(0.005)
    return True


_CHARACTERS = {"enter": "\r", "tab": "\t", "escape": "\x1b", "space": " "}


@contextmanager
def _drawn_only_when_looked_at() -> Iterator[None]:
    """Nothing is drawn for a terminal that is not there; what a test looks at is drawn then.

    Drawing each change is a third of what a test of a screen costs.
    """
    draw = Compositor.render_update

    def undrawn(self: Compositor, full: bool = False, *args: Any, **options: Any) -> Any:
        if full:
            return draw(self, full, *args, **options)
        self._dirty_regions.clear()
        return None

    Compositor.render_update = undrawn  # type: ignore[method-assign]
    try:
        yield
    finally:
        Compositor.render_update = draw  # type: ignore[method-assign]


@asynccontextmanager
async def at_the_bench(book: Book, size: tuple[int, int] = SMALL) -> AsyncIterator[ScreenDriver]:
    """The app over a book, and a driver at its keyboard."""
    clock = Clock()
    app = TagbenchApp(book, clock)
    with _drawn_only_when_looked_at():
        async with app.run_test(size=size) as pilot:
            driver = ScreenDriver(app, pilot, clock)
            await driver.settle()
            yield driver
            if app.is_running and app._exception is None and not app._exit:
                _ = driver.shown  # what cannot be drawn fails here
