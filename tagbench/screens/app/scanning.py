"""The app's keys: each is looked at before anything acts on it, since it may be of a scan."""

from __future__ import annotations

from asyncio import Event
from collections.abc import Awaitable, Callable
from typing import TYPE_CHECKING

from textual import events
from textual.app import App
from textual.widgets import Input

from tagbench.screens.shared.base import ScreenMixin
from tagbench.screens.widgets.field import Field

if TYPE_CHECKING:
    from textual.timer import Timer

    from tagbench.book import Book
    from tagbench.screens.frame.scanning import ScanWatch


def event_time() -> float:
    """The time now on the clock by which Textual times its events, in seconds."""
    return events.Event().time


class ScanningApp(App[None], inherit_bindings=False):
    """An app in which a hand scanner works everywhere. Keys wait until the watch has begun."""

    book: Book
    """The open book, as soon as it is here."""
    scans: ScanWatch
    """The watch for a hand scanner, from then on."""

    def __init__(self, clock: Callable[[], float]) -> None:
        super().__init__()
        self._clock = clock
        self._watching = Event()
        self._scan_timer: Timer | None = None

    def start_watching(
        self, scanned: Callable[[str], Awaitable[None]], bad: Callable[[str], None]
    ) -> None:
        """Begins the watch and lets the keys through that were pressed meanwhile.

        `scanned` is called with a code, `bad` with what is wrong with a scan.
        """
        from tagbench.screens.frame.scanning import ScanWatch

        self.scans = ScanWatch(self._clock, lambda code: self.call_later(scanned, code), bad)
        self._watching.set()

    @property
    def is_watching(self) -> bool:
        """Whether keys are acted on."""
        return self._watching.is_set()

    async def on_event(self, event: events.Event) -> None:
        """Looks at every key before anything acts on it; keys wait until the book is here."""
        if isinstance(event, events.Paste) and not event.is_forwarded:
            await self._watching.wait()
            if self._pasted(event):
                return
        elif isinstance(event, events.Key) and not event.is_forwarded:
            await self._watching.wait()
            of_scan = self._is_of_scan(event)
            await self._act_on_typed()
            if of_scan:
                return
        await super().on_event(event)

    def _is_of_scan(self, event: events.Key) -> bool:
        from tagbench.rules.scan import known_marks

        marks = known_marks(self.book.records)
        command = self._letters_are_keys
        swallowed = self.scans.swallows(
            event, self.focused, marks, command=command, writes=command and self._writes(event)
        )
        self._wait_for_scan()
        return swallowed

    @property
    def _letters_are_keys(self) -> bool:
        """Whether letters are kept back until it is no scan: wherever no field takes them.

        On a screen without letter keys too, since the letters of a scan that came in one piece are
        acted on when the record's own screen is open already.
        """
        from tagbench.screens.frame.scanning import text_of

        return isinstance(self.screen, ScreenMixin) and not text_of(self.focused)

    def _writes(self, event: events.Key) -> bool:
        """Whether the key writes something right away on the open screen or card."""
        here = self.screen
        return isinstance(here, ScreenMixin) and event.key.lower() in here.writing_keys()

    def _pasted(self, event: events.Paste) -> bool:
        """Whether a paste is one code, and acts like a scan; else it goes its way.

        A field takes one line: of several it takes all where it holds a list, else the first,
        and that is said.
        """
        from labels.symbols.payload import WHOLE_PAYLOAD

        lines = [line.strip() for line in event.text.splitlines() if line.strip()]
        if len(lines) == 1 and WHOLE_PAYLOAD.fullmatch(lines[0]):
            self.call_later(self.open_scan, lines[0])
            return True
        if len(lines) > 1 and isinstance(self.focused, Input):
            field = self.focused.parent
            if isinstance(field, Field) and field.takes_list:
                event.text = "; ".join(lines)
            elif isinstance(self.screen, ScreenMixin):
                self.screen.refuse(
                    f"Pasted the first of {len(lines)} lines; this field takes one line."
                )
        return False

    async def open_scan(self, text: str) -> None:
        """Opens what a scanned tag names; says what is wrong with one that names nothing."""

    async def _act_on_typed(self) -> None:
        """Lets the keys that were kept back, and are no scan, do what they do."""
        for key in self.scans.typed():
            await super().on_event(key)

    def _wait_for_scan(self) -> None:
        wait = self.scans.wait()
        if wait is not None and self._scan_timer is None:
            # Through the queue, so that keys that have arrived already are looked at before.
            self._scan_timer = self.set_timer(wait, lambda: self.call_later(self._scan_may_be_over))

    async def _scan_may_be_over(self) -> None:
        self._scan_timer = None
        self.scans.tick()
        await self._act_on_typed()
        self._wait_for_scan()
