"""What the widgets announce and what the app is asked for: one small message for each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

from textual.message import Message

T = TypeVar("T")


@dataclass
class Opened(Message, Generic[T]):
    """A row of a list was opened with Enter or a click."""

    item: T
    """What stands in the row."""
    list_id: str
    """Id of the list, empty when it has none."""


@dataclass
class Moved(Message, Generic[T]):
    """The cursor of a list moved to another row."""

    item: T
    """What stands in the row."""
    list_id: str
    """Id of the list, empty when it has none."""


@dataclass
class Pressed(Message):
    """A word that can be clicked like a button was clicked."""

    do: str
    """The action to run."""


@dataclass
class Scanned(Message):
    """A hand scanner read a tag."""

    text: str
    """What the scanner sent, without its end character."""
