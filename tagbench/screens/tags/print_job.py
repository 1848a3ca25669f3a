"""One run of tags, beside the screen, that can be stopped until its last tag is drawn."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING

from tagbench.book.operations.printing import print_tags
from tagbench.errors import TagbenchError

if TYPE_CHECKING:
    from labels.output.files import Printed
    from labels.progress import Progress
    from tagbench.book import Book

STEPS = 100
"""So many times at most the progress is told."""
STOPPED = "Printing was stopped. Nothing was printed, and every tag still waits."


@dataclass(frozen=True)
class PrintJob:
    """What is to be printed, and where to. A file uses up no label until it is on paper."""

    codes: tuple[str, ...]
    stock: str
    """Name of the label stock."""
    first: int
    """The first free label."""
    file: Path | None
    printer: str
    """Name of the printer when there is no file."""
    cut_marks: bool = False


class PrintRun:
    """Prints a job in a thread; `told` hears there how many of how many tags are drawn."""

    def __init__(self, book: Book, job: PrintJob, told: Progress) -> None:
        self.job = job
        self._book = book
        self._told = told
        self._stop = Event()

    def stop(self) -> None:
        """Gives up before the next tag: no file appears, and no tag leaves the queue."""
        self._stop.set()

    def print(self) -> Printed:
        """Prints; raises TagbenchError or LabelError when stopped or when it cannot be done."""
        return print_tags(
            self._book,
            self.job.codes,
            self.job.stock,
            target=self.job.file,
            printer=self.job.printer,
            first=self.job.first,
            cut_marks=self.job.cut_marks,
            progress=self._one_more,
            used=self.job.file is None,
        )

    def _one_more(self, done: int, of: int) -> None:
        if self._stop.is_set():
            raise TagbenchError(STOPPED)
        if done == of or done % max(1, of // STEPS) == 0:
            self._told(done, of)
