"""A hand scanner on any screen and in any field: the key presses of a scan are taken back.

`labels.scanning.scanner` tells a scan from typing. Here a picture is taken of the field before
each key that may belong to a scan, so that the field can be put back exactly as it was, selection
and cursor too. Pictures are taken and put back through the field's own queue, so that they keep
their place among the keys.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

from textual import events
from textual.widget import Widget
from textual.widgets import Input

from labels.scanning.scanner import ScanListener, Verdict

SHORTEST_S = 0.01
"""A timer is never set for less than this."""
END_KEYS = {"enter": "\r", "tab": "\t", "ctrl+j": "\n"}
"""Keys that a scanner may be set to send at the end."""


class Picture:
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
        self._pictures: list[Picture] = []
        self._kept: list[events.Key | None] = []
        self._typed: list[events.Key] = []

    def swallows(
        self, event: events.Key, field: Widget | None, marks: list[str], *, keep: bool = False
    ) -> bool:
        """Takes a key before anything acts on it; True when nothing else may see it now.

        `keep`: letters are keys that do something here, so each is kept back until it is known
        that a person pressed it; `typed` then gives it.
        """
        character = END_KEYS.get(event.key) or (event.character if event.is_printable else None)
        if not character:
            self._no_more()
            return False
        self._listener.marks = tuple(marks)
        verdict = self._listener.feed(character, event.time)
        self._act(verdict)
        if event.key in END_KEYS:
            return verdict.swallow
        self._pictures.append(Picture(field))
        self._kept.append(event if keep else None)
        return keep

    def _no_more(self) -> None:
        """A key that no scanner sends: whatever was typed before it comes first."""
        due = self._listener.due
        if due is not None:
            self._act(self._listener.tick(due + SHORTEST_S))

    def typed(self) -> list[events.Key]:
        """The keys that were kept back and turned out to be a person's, once."""
        typed, self._typed = self._typed, []
        return typed

    def wait(self) -> float | None:
        """Seconds after which `tick` is to be called; None when nothing is being waited for."""
        due = self._listener.due
        return None if due is None else max(SHORTEST_S, due - self._clock())

    def tick(self) -> None:
        """Time has passed: a scan without an end key is understood now."""
        self._act(self._listener.tick(self._clock()))

    def _act(self, verdict: Verdict) -> None:
        if verdict.kind == "hold":
            return
        if verdict.take_back:
            self._pictures[-verdict.take_back].put_back()
        self._pictures.clear()
        self._typed += filter(None, self._kept[: len(verdict.typed)])
        self._kept.clear()
        if verdict.kind == "scan":
            self._scanned(verdict.code)
        elif verdict.kind == "bad":
            self._bad(verdict.reason)
