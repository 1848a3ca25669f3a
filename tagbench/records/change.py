"""A change of the book: the history and the undo."""

from datetime import datetime
from typing import Any

from tagbench.records.base import Name, Natural, Record


class Edit(Record, frozen=True, kw_only=True):
    """One record of a change, before and after."""

    table: Name
    """Table of the record."""
    key: Name
    """Its key: code, mark or number."""
    before: dict[str, Any] | None = None
    """The record before, as plain JSON; None when it was not there."""
    after: dict[str, Any] | None = None
    """The record after, as plain JSON; None when it was taken away."""


class Change(Record, frozen=True, kw_only=True):
    """What was done, when, and to which records."""

    number: Natural
    """Changes are numbered from 1 without a gap."""
    at: datetime
    """When."""
    words: Name
    """What was done, in words: `lubed TP-017-K`."""
    edits: tuple[Edit, ...] = ()
    """The records it touched."""
    takes_back: int = 0
    """Number of the change that this one took back; 0 for none."""
    puts_back: int = 0
    """Number of the taking back that this one reversed; 0 for none."""
