"""A program that dies between any two steps of a save leaves a whole book behind."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.check import check_book, mend_book
from tests.book.conftest import strip

DYING = """
import os, signal, sys
from pathlib import Path
from tagbench.book import Book, backups, disk, durable, history
from labels.atomic_write import put_in_place
from tagbench.records import Part

def die(*_):
    os.kill(os.getpid(), signal.SIGKILL)

def half(path, data):
    with path.open("ab") as file:
        file.write(data[: len(data) // 2])
    die()

class Dying(disk.History):
    def add(self, line):
        if sys.argv[2] == "before the history":
            die()
        if sys.argv[2] == "half a line":
            half(self.path, line)
        super().add(line)
        if sys.argv[2] == "after the history":
            die()

def after_replace(written, target):
    put_in_place(written, target)
    if written.parent.joinpath("history.jsonl").exists():
        die()

disk.History = Dying
if sys.argv[2] == "after the rename":
    disk.put_in_place = after_replace
if sys.argv[2] == "half a book":
    def half_written(path, pieces):
        if b"last words" in b"".join(pieces):
            half(path, b"".join(pieces))
        durable.write_new(path, pieces)
    from tagbench.book import storage
    storage.write_new = half_written
book = Book(Path(sys.argv[1]))
with book.change("dies") as transaction:
    transaction.put(Part(code=transaction.new_code("TP"), name="last words"))
book.checkpoint()
"""

STEPS = {
    "half a book": True,
    "before the history": False,
    "half a line": False,
    "after the history": True,
    "after the rename": True,
}
"""Where it dies → whether the change is in the book afterwards (it was never acknowledged)."""


def _die(folder: Path, step: str) -> None:
    done = subprocess.run([sys.executable, "-c", DYING, str(folder), step], check=False)
    assert done.returncode == -signal.SIGKILL


@pytest.mark.parametrize("step", STEPS)
def test_dying_in_a_later_change(folder: Path, step: str) -> None:
    """Everything acknowledged before is there, and work goes on."""
    with Book(folder) as book:
        hub = strip(book, "hub")
    _die(folder, step)
    with Book(folder) as book:
        names = {part.name for part in book.records.parts.values()}
        assert names == {"hub"} | ({"last words"} if STEPS[step] else set())
        assert book.records.parts[hub.code] == hub
        strip(book, "nut")
        assert [change.number for change in book.history()] == list(range(book.revision, 0, -1))
    assert check_book(folder).ok
    with Book(folder) as book:
        while book.history()[0].words != "took back: took off hub":
            book.undo()
        assert not book.records.parts


@pytest.mark.parametrize("step", STEPS)
def test_dying_in_the_very_first_change(folder: Path, step: str) -> None:
    """A book that was just being begun is no damaged book."""
    _die(folder, step)
    with Book(folder) as book:
        assert len(book.records.parts) == STEPS[step]
        strip(book, "hub")
    assert check_book(folder).ok


@pytest.mark.parametrize("step", STEPS)
def test_mending_after_a_crash_loses_nothing(folder: Path, step: str) -> None:
    """The leftovers are tidied up; what had reached the history is in the book."""
    with Book(folder) as book:
        strip(book, "hub")
    _die(folder, step)
    report = mend_book(folder)
    assert [problem for problem in report.problems if "lost" in problem] == []
    with Book(folder) as book:
        assert len(book.records.parts) == 1 + STEPS[step]
    assert mend_book(folder).mended == ()
