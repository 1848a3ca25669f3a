"""Equal values of many parts kept once: a book of 100 000 parts has a few hundred assemblies."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from msgspec.structs import force_setattr

from tagbench.records import Fastener, Part, Record

_TEXTS = ("name", "assembly", "position", "bin", "note", "sits_how")
"""The texts of a part that others have too; what is its own is left alone."""


class Sharing:
    """The values that were met so far."""

    def __init__(self) -> None:
        self._texts: dict[str, str] = {}
        self._moments: dict[tuple[datetime, Any], datetime] = {}
        self._lines: dict[Any, Any] = {}

    def all(self, records: Iterable[Record]) -> None:
        """Lets equal texts, moments and lines of fasteners of these parts be one object each.

        They have just been read and nobody else has them yet; what they say stays the same.
        """
        for part in records:
            if isinstance(part, Part):
                self._share(part)

    def _share(self, part: Part) -> None:
        known = self._texts.setdefault
        for name in _TEXTS:
            if text := getattr(part, name):
                force_setattr(part, name, known(text, text))
        if removed := part.removed:
            # Moments with other offsets are equal, and yet are written otherwise.
            key = removed, removed.utcoffset()
            force_setattr(part, "removed", self._moments.setdefault(key, removed))
        if part.fasteners and not any(map(_holds_moments, part.fasteners)):
            lines = tuple(self._lines.setdefault(line, line) for line in part.fasteners)
            force_setattr(part, "fasteners", self._lines.setdefault(lines, lines))


def _holds_moments(line: Fastener) -> bool:
    return bool(line.passes)
