"""What a report is to be about."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from labels.progress import Progress
from tagbench.records import Machine, Part, Photo, Tables
from tagbench.reports.paper.blocks import Picture

ReportRow = tuple[object, ...]
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
    progress: Progress = no_progress
    """Told how many of how many parts are done."""
    about: tuple[str, ...] = ()
    """What it is about, as typed: codes of parts or bins, or assemblies; empty for all."""
    paper: str = "a4"
    """Paper of the pages: `a4` or `letter`."""
    around_mm: float = 5.0
    """Diameter of the wire or hose that flags fold round."""

    @property
    def parts(self) -> list[Part]:
        """The parts of the machine in removal order."""
        return self.tables.parts_of(self.machine.mark)

    @property
    def machine_words(self) -> str:
        """`Tarnbrook Packman (TP)`."""
        return f"{self.machine.name} ({self.machine.mark})"

    def shown(self, part: Part) -> tuple[Picture, ...]:
        """The pictures of a part for a sheet, each with its moment and caption."""
        return tuple(
            Picture(file, ": ".join(filter(None, [photo.moment, photo.caption])))
            for photo, file in self.pictures(part)
        )

    def pictures(self, part: Part) -> Iterator[tuple[Photo, Path]]:
        """The pictures of a part that are wanted, with their files."""
        if self.photos is not None:
            for photo in part.photos:
                yield photo, self.photos / photo.file
