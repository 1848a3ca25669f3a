"""What a report is to be about."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from tagbench.records import Machine, Part, Photo, Tables

Row = tuple[object, ...]
"""One line of a CSV file."""


def no_progress(done: int, total: int) -> None:
    """Shows nothing; for short reports and for tests."""


@dataclass(frozen=True, slots=True)
class ReportRequest:
    """One machine of a book at one time, and how much of it is wanted."""

    tables: Tables
    """The records."""
    machine: Machine
    """The machine."""
    printed: datetime
    """When the report is made."""
    photos: Path | None = None
    """The folder of the pictures; None leaves them out."""
    address: str = ""
    """The phone address for the symbols; empty for bare codes."""
    steps: int | None = None
    """So many steps of the build sheet; None for all that are left."""
    progress: Callable[[int, int], None] = no_progress
    """Told how many of how many parts are done."""

    @property
    def parts(self) -> list[Part]:
        """The parts of the machine in removal order."""
        return self.tables.parts_of(self.machine.mark)

    def pictures(self, part: Part) -> Iterator[tuple[Photo, Path]]:
        """The pictures of a part that are wanted, with their files."""
        if self.photos is not None:
            for photo in part.photos:
                yield photo, self.photos / photo.file
