"""A hand scanner on any screen and in any field: the key presses of a scan are taken back.

`labels.scanning.scanner` tells a scan from typing. Here a picture is taken of the field before
each key that may belong to a scan, so that the field can be put back exactly as it was, selection
and cursor too. Pictures are taken and put back through the field's own queue, so that they keep
their place among the keys.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, NamedTuple, cast

from textual import events
from textual.widget import Widget
from textual.widgets import Input

from labels.scanning.scanner import LONGEST_GAP_S, PART, ScanListener, ScanResult

SHORTEST_S = 0.01
"""A timer is never set for less than this."""
WRITING_WAIT_S = 0.15
"""A letter that writes something right away acts after this time without another key."""
TOO_FAST = "Keys came too fast for a hand, so nothing was written; press one at a time."
END_KEYS = {"enter": "\r", "tab": "\t", "ctrl+j": "\n"}
"""Keys that a scanner may be set to send at the end."""


class FieldState:
    """What stood in a field; taken when the field gets to it."""

    def __init__(self, field: Widget | None) -> None:
        self._field: Any = cast(Any, field)
        self._text_in = text_of(field)
        self._text: str | None = None
        self._selection: Any = None
        if self._text_in:
            self._field.call_later(self._take)

    def _take(self) -> None:
        self._text = getattr(self._field, self._text_in)
        self._selection = self._field.selection

    def put_back(self) -> None:
        """Makes the field stand as it did, once it gets to it."""
        if self._text_in:
            self._field.call_later(self._put_back)

    def _put_back(self) -> None:
        if self._text is not None:
            setattr(self._field, self._text_in, self._text)
            self._field.selection = self._selection


def text_of(field: Widget | None) -> str:
    """Where a field keeps its text: `value` of a line, `text` of an area; empty for no field."""
    if isinstance(field, Input):
        return "value"
    # By name, since the area's module is large and most screens have none.
    kinds = [kind.__name__ for kind in type(field).__mro__]
    return "text" if "TextArea" in kinds else ""


class _Kept(NamedTuple):
    """A key that waits until it is known what it belongs to."""

    before: FieldState
    event: events.Key
    command: bool
    writes: bool


class ScanWatch:
    """Watches the keys of the app. `scanned` and `bad` are called with the code or the reason.

    A key counts at the time it arrived, not when the app got round to it; `clock` is that clock.
    """

    def __init__(
        self,
        clock: Callable[[], float],
        scanned: Callable[[str], object],
        bad: Callable[[str], None],
    ) -> None:
        self._listener = ScanListener()
        self._clock = clock
        self._scanned = scanned
        self._bad = bad
        self._kept: list[_Kept] = []
        self._typed: list[events.Key] = []

    def swallows(
        self,
        event: events.Key,
        field: Widget | None,
        marks: Iterable[str],
        *,
        command: bool = False,
        writes: bool = False,
    ) -> bool:
        """Takes a key before anything acts on it; True when nothing else may see it now.

        `command`: letters are keys that do something here, so each is kept back until it is known
        that a person pressed it; `typed` then gives it. `writes`: this one writes something right
        away, and does so only with a moment around it in which no other key comes.
        """
        character = END_KEYS.get(event.key) or (event.character if event.is_printable else None)
        if not character:
            self._no_more()
            return False
        self._listener.marks = tuple(marks)
        wait = WRITING_WAIT_S if writes else LONGEST_GAP_S
        alone = [kept for kept in self._kept if kept.command]
        verdict = self._listener.feed(character, event.time, command=command, wait=wait)
        self._act(verdict)
        if event.key in END_KEYS:
            return verdict.swallow or self._ends_letters(alone, event)
        self._kept.append(_Kept(FieldState(field), event, command, writes))
        return command

    def _ends_letters(self, alone: list[_Kept], event: events.Key) -> bool:
        """Whether an end key came right behind a letter: no person presses both so fast."""
        if not alone or event.time - alone[-1].event.time > LONGEST_GAP_S:
            return False
        here = [kept.event for kept in alone]
        if not any(key in self._typed for key in here):
            return False
        self._typed = [key for key in self._typed if key not in here]
        self._bad(PART)
        return True

    def _no_more(self) -> None:
        """A key that no scanner sends: whatever was typed before it comes first."""
        self._act(self._listener.interrupt())

    def typed(self) -> list[events.Key]:
        """The keys that were kept back and turned out to be a person's, once."""
        typed, self._typed = self._typed, []
        return typed

    @property
    def due(self) -> float | None:
        """When `tick` is to be called; None when nothing is being waited for."""
        return self._listener.due

    def wait(self) -> float | None:
        """Seconds until `tick` is to be called; None when nothing is being waited for."""
        due = self.due
        return None if due is None else max(SHORTEST_S, due - self._clock())

    def tick(self) -> None:
        """Time has passed: a scan without an end key is understood now."""
        self._act(self._listener.tick(self._clock()))

    def _act(self, verdict: ScanResult) -> None:
        if verdict.kind == "hold":
            return
        typed, scan = len(verdict.typed), len(verdict.text)
        if verdict.take_back:
            self._kept[typed].before.put_back()
        self._give_out(self._kept[:typed], self._kept[typed : typed + 1])
        del self._kept[: typed + scan]
        if verdict.kind == "scan":
            self._scanned(verdict.code)
        elif verdict.kind in ("bad", "part"):
            self._bad(verdict.reason)

    def _give_out(self, typed: list[_Kept], after: list[_Kept]) -> None:
        """Hands on what a person pressed; not what writes with another key right beside it."""
        around = [*typed, *after]
        for at, kept in enumerate(typed):
            near = [*around[max(0, at - 1) : at], *around[at + 1 : at + 2]]
            crowded = any(_apart(kept, other) < WRITING_WAIT_S for other in near)
            if kept.writes and crowded:
                self._bad(TOO_FAST)
            elif kept.command:
                self._typed.append(kept.event)


def _apart(one: _Kept, other: _Kept) -> float:
    """Seconds between two keys."""
    return abs(one.event.time - other.event.time)
