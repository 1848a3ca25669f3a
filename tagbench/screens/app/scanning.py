"""The app's keys: each is looked at before anything acts on it, since it may be of a scan."""

from __future__ import annotations

import os
from asyncio import sleep
from collections import deque
from collections.abc import Awaitable, Callable, Mapping
from functools import partial
from time import monotonic
from typing import TYPE_CHECKING, NamedTuple

from textual import events
from textual.app import App
from textual.widgets import Input

from tagbench.screens.shared.base import ScreenMixin
from tagbench.screens.widgets.field import Field

if TYPE_CHECKING:
    from textual.timer import Timer

    from tagbench.book import Book
    from tagbench.screens.frame.scanning import ScanWatch


LONGEST_WORK_S = 2.0
"""After so long what came behind a key is acted on, whatever is still being done."""
QUIET_ROUNDS = 4
"""So many rounds of the event loop must pass without a message: a card is opened in a task."""


class Arrived(NamedTuple):
    """A key or a paste as it came in."""

    event: events.Key | events.Paste
    looked_at: bool = False
    """Whether it is known already that no scanner sent it."""


OTHER_SCRIPT = "The letters here are Latin ones; Ctrl+G lists all that can be done."


def _letter(key: events.Key) -> str:
    """The key as a Latin keyboard has it; empty for a letter that has no known place there."""
    from labels.scanning.layouts import letter_by_place

    sign = key.character or ""
    if not sign.isalpha() or sign.isascii():
        return key.key
    return letter_by_place(sign, keyboard_language(os.environ))


def keyboard_language(environ: Mapping[str, str]) -> str:
    """The language of the locale, two letters: the best guess at the layout of the keyboard."""
    names = (environ.get(name, "") for name in ("LC_ALL", "LC_CTYPE", "LANG"))
    return next(filter(None, names), "")[:2].lower()


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
        self._watching = False
        self._scan_timer: Timer | None = None
        self._arrived: deque[Arrived] = deque()
        """Keys and pastes that are still to be acted on."""
        self._due: deque[Callable[[], Awaitable[None]]] = deque()
        """What a scan brings about and has yet to be done."""
        self._at_work = False
        """Whether the one before is still being done."""

    def start_watching(
        self, scanned: Callable[[str], Awaitable[None]], bad: Callable[[str], None]
    ) -> None:
        """Begins the watch and lets the keys through that were pressed meanwhile.

        `scanned` is called with a code, `bad` with what is wrong with a scan.
        """
        from tagbench.screens.frame.scanning import ScanWatch

        async def refuse(sentence: str) -> None:
            bad(sentence)

        self.scans = ScanWatch(
            self._clock,
            lambda code: self._due.append(partial(scanned, code)),
            lambda sentence: self._due.append(partial(refuse, sentence)),
        )
        self._watching = True
        self.call_later(self._begin)

    @property
    def is_watching(self) -> bool:
        """Whether keys are acted on."""
        return self._watching

    async def on_event(self, event: events.Event) -> None:
        """Takes keys and pastes one after the other; they wait until the book is here.

        They wait apart from the app's own queue: a start that fails must end the app.
        """
        if not isinstance(event, events.Key | events.Paste) or event.is_forwarded:
            await super().on_event(event)
            return
        self._arrived.append(Arrived(event))
        await self._begin()

    async def _begin(self) -> None:
        """Begins with what has arrived, unless something before it is still being done."""
        if self._watching and not self._at_work:
            self._at_work = True
            await self._go_on()

    async def _go_on(self) -> None:
        """Acts on what has arrived; what comes behind a key waits until that has done its work.

        A slow line hands on a second's typing at once. Tab, an arrow or Enter moves the focus only
        when it has gone round through the widgets, and the next letter belongs where it moved to.
        """
        while self._arrived or self._due:
            if not self._arrived:  # a scan without an end key
                self.call_later(self._once_at_rest, monotonic() + LONGEST_WORK_S)
                return
            first = self._arrived.popleft()
            into_field = self._goes_into_field(first.event)
            await self._take(first)
            if self._due or not into_field:
                self.call_later(self._once_at_rest, monotonic() + LONGEST_WORK_S)
                return
        self._at_work = False

    def _goes_into_field(self, event: events.Key | events.Paste) -> bool:
        """Whether it goes into a field's own queue, which keeps the order by itself."""
        from tagbench.screens.frame.scanning import text_of

        plain = isinstance(event, events.Paste) or event.is_printable
        return plain and bool(text_of(self.focused))

    async def _once_at_rest(self, deadline: float, quiet: int = 0) -> None:
        """Goes on when no widget has a message left, for a few rounds; in the end in any case.

        What a scan brings about is done then: the field is as it was before, and has said so.
        """
        await sleep(0)
        if monotonic() < deadline:
            quiet = 0 if self._messages_wait() else quiet + 1
            if quiet < QUIET_ROUNDS:
                self.call_later(self._once_at_rest, deadline, quiet)
                return
        if self._due:
            await self._due.popleft()()
            self.call_later(self._once_at_rest, monotonic() + LONGEST_WORK_S)
        else:
            await self._go_on()

    def _messages_wait(self) -> bool:
        nodes = (node for one in self.screen_stack for node in one.walk_children(with_self=True))
        return bool(self.message_queue_size) or any(node.message_queue_size for node in nodes)

    async def _take(self, arrived: Arrived) -> None:
        """Acts on a key or paste, unless it is of a scan; what a person typed before goes first."""
        event = arrived.event
        if isinstance(self.screen, ScreenMixin) and self.screen.gives_way(event):
            self._arrived.appendleft(arrived)  # once more, on what is open then
            return
        if isinstance(event, events.Paste):
            if not self._pasted(event):
                await super().on_event(event)
            return
        of_scan = not arrived.looked_at and self._is_of_scan(event)
        typed = [Arrived(key, looked_at=True) for key in self.scans.typed()]
        if typed:
            behind = [] if of_scan else [Arrived(event, looked_at=True)]
            self._arrived.extendleft(reversed([*typed, *behind]))
        elif not of_scan:
            await super().on_event(self._on_a_latin_keyboard(event))

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
        return isinstance(here, ScreenMixin) and _letter(event).lower() in here.writing_keys()

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
                # As what was done: a refusal would go away with the text that comes now.
                self.screen.tell(
                    f"Pasted the first of {len(lines)} lines; this field takes one line."
                )
        return False

    async def open_scan(self, text: str) -> None:
        """Opens what a scanned tag names; says what is wrong with one that names nothing."""

    def _on_a_latin_keyboard(self, key: events.Key) -> events.Key:
        """The letter that does something here, by its place on a keyboard in another script."""
        letter = _letter(key)
        if letter == key.key or not self._letters_are_keys:
            return key
        if not letter:
            if isinstance(self.screen, ScreenMixin) and any(
                action.is_letter for action in self.screen.all_actions()
            ):
                self.screen.refuse(OTHER_SCRIPT)
            return key
        latin = events.Key(letter, letter)
        latin.time = key.time
        return latin

    def _wait_for_scan(self) -> None:
        wait = self.scans.wait()
        if wait is not None and self._scan_timer is None:
            # Through the queue, so that keys that have arrived already are looked at before.
            self._scan_timer = self.set_timer(wait, lambda: self.call_later(self._scan_may_be_over))

    async def _scan_may_be_over(self) -> None:
        self._scan_timer = None
        if not self._at_work:  # else there are keys that came before
            self.scans.tick()
            self._arrived.extend(Arrived(key, looked_at=True) for key in self.scans.typed())
            await self._begin()
        self._wait_for_scan()
