"""The hands at the keyboard and the hand scanner, with a clock of their own."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass
from typing import Any, TypeVar

from textual import events
from textual.keys import _character_to_key
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input

from tagbench.book import Book
from tagbench.screens.app.app import TagbenchApp
from tagbench.screens.widgets.notice import Notice

S = TypeVar("S", bound=Screen[Any])
SMALL, LARGE = (80, 24), (120, 36)
TYPING_S, SCANNING_S = 0.2, 0.01
"""Seconds between two keys of a person, and of a hand scanner."""


@dataclass
class Clock:
    """A clock that only goes when it is told to."""

    now: float = 1000.0

    def __call__(self) -> float:
        return self.now


class Hands:
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
            self._send(key, _CHARACTERS.get(key), TYPING_S)
            await self.settle()
            if len(key) == 1 or key == "space":
                self.clock.now += 1.0
                await self.until(lambda: self.app.scans.wait() is None)
                await self.settle()

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
            self.clock.now += 1.0
            await self.pilot.pause(0.15)
        await self.settle()

    def _send(self, key: str, character: str | None, gap: float) -> None:
        """One key, timed by the clock of the test."""
        self.clock.now += gap
        event = events.Key(key, character)
        event.time = self.clock.now
        self.app.post_message(event)

    async def settle(self) -> None:
        """Waits until everything that was pressed has been done.

        A key goes from the app to a field, bubbles up to the screen and moves the focus: each
        pause lets every queue run empty once.
        """
        for _ in range(5):
            await self.pilot.pause(0)

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
        """Waits for work beside the screen, two seconds at most."""
        for _ in range(200):
            if holds():
                return
            await self.pilot.pause(0.01)
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
        strips = self.screen._compositor.render_strips()
        return "\n".join(strip.text.rstrip() for strip in strips)

    def field(self, name: str) -> str:
        """What stands in the field with that id."""
        return self.screen.query_one(f"#{name}", Input).value


_CHARACTERS = {"enter": "\r", "tab": "\t", "escape": "\x1b", "space": " "}


@asynccontextmanager
async def at_the_bench(book: Book, size: tuple[int, int] = SMALL) -> AsyncIterator[Hands]:
    """The app over a book, with hands at its keyboard."""
    clock = Clock()
    app = TagbenchApp(book, clock)
    async with app.run_test(size=size) as pilot:
        hands = Hands(app, pilot, clock)
        await hands.settle()
        yield hands
