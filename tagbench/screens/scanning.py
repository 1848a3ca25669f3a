"""A hand scanner on any screen and in any field: the key presses of a scan are taken back.

`labels.scanner` tells a scan from typing. Here a picture is taken of the field before each key
that may belong to a scan, so that the field can be put back exactly as it was, selection and
cursor too. Pictures are taken and put back through the field's own queue, so that they keep
their place among the keys.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from textual import events
from textual.widget import Widget
from textual.widgets import Input, TextArea

from labels.scanner import ScanListener, Verdict

END_KEYS = {"enter": "\r", "tab": "\t", "ctrl+j": "\n"}
"""Keys that a scanner may be set to send at the end."""


class Picture:
    """What stood in a field; taken when the field gets to it."""

    def __init__(self, field: Widget | None) -> None:
        self._field = field
        self._text: str | None = None
        self._selection: Any = None
        if isinstance(field, Input | TextArea):
            field.call_later(self._take)

    def _take(self) -> None:
        field = self._field
        if isinstance(field, Input):
            self._text, self._selection = field.value, field.selection
        elif isinstance(field, TextArea):
            self._text, self._selection = field.text, field.selection

    def put_back(self) -> None:
        """Makes the field stand as it did, once it gets to it."""
        if isinstance(self._field, Input | TextArea):
            self._field.call_later(self._put_back)

    def _put_back(self) -> None:
        field = self._field
        if isinstance(field, Input) and self._text is not None:
            field.value = self._text
            field.selection = self._selection
        elif isinstance(field, TextArea) and self._text is not None:
            field.text = self._text
            field.selection = self._selection


class ScanWatch:
    """Watches the keys of the app. `scanned` and `bad` are called with the code or the reason."""

    def __init__(
        self,
        clock: Callable[[], float],
        scanned: Callable[[str], None],
        bad: Callable[[str], None],
    ) -> None:
        self._listener = ScanListener()
        self._clock = clock
        self._scanned = scanned
        self._bad = bad
        self._pictures: list[Picture] = []

    def swallows(self, event: events.Key, field: Widget | None, marks: list[str]) -> bool:
        """Takes a key before anything acts on it; True when nothing else may see it."""
        character = END_KEYS.get(event.key) or (event.character if event.is_printable else None)
        if not character:
            return False
        self._listener.marks = tuple(marks)
        verdict = self._listener.feed(character, self._clock())
        self._act(verdict)
        if event.key not in END_KEYS:
            self._pictures.append(Picture(field))
        return verdict.swallow

    def wait(self) -> float | None:
        """Seconds after which `tick` is to be called; None when nothing is being waited for."""
        due = self._listener.due
        return None if due is None else max(0.0, due - self._clock())

    def tick(self) -> None:
        """Time has passed: a scan without an end key is understood now."""
        self._act(self._listener.tick(self._clock()))

    def _act(self, verdict: Verdict) -> None:
        if verdict.kind == "hold":
            return
        if verdict.take_back:
            self._pictures[-verdict.take_back].put_back()
        self._pictures.clear()
        if verdict.kind == "scan":
            self._scanned(verdict.code)
        elif verdict.kind == "bad":
            self._bad(verdict.reason)
