"""What the widgets announce: one small message for each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

from textual.message import Message

from tagbench.records import Fastener

T = TypeVar("T")


@dataclass
class RowOpened(Message, Generic[T]):
    """A row of a list was opened with Enter or a click."""

    item: T
    """What stands in the row."""
    list_id: str
    """Id of the list, empty when it has none."""


@dataclass
class NoneToOpen(Message):
    """Enter was pressed in a list that has no row."""

    words: str
    """What the empty list says."""


@dataclass
class Moved(Message, Generic[T]):
    """The cursor of a list moved to another row."""

    item: T
    """What stands in the row."""
    list_id: str
    """Id of the list, empty when it has none."""


@dataclass
class SelectionChanged(Message):
    """A row of a list was selected, or is not any more."""

    list_id: str
    """Id of the list, empty when it has none."""


@dataclass
class FastenersMeasured(Message):
    """Fasteners were confirmed from a picture and are to go into the form of the screen."""

    fasteners: tuple[Fastener, ...]
    """They say where their sizes come from."""
