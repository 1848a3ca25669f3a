"""Locks: of the system, on file systems that know none, and left behind by programs that died."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tagbench.book import Book, locking
from tagbench.book.check import check_book
from tagbench.book.locking import LOCK_FILE, MARKER_FILE
from tagbench.errors import BookBusy
from tests.book.conftest import strip
from tests.book.programs import start

fcntl = pytest.importorskip("fcntl")

ANSWERS = [errno.ENOSYS, errno.ENOLCK, errno.EOPNOTSUPP]
"""What file systems without locks answer."""


@pytest.fixture(params=ANSWERS, ids=lambda code: errno.errorcode[code])
def lockless(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file system that knows no locks."""

    def flock(*_: object) -> None:
        raise OSError(request.param, os.strerror(request.param))

    monkeypatch.setattr(fcntl, "flock", flock)


def test_a_lock_ends_with_the_program_that_held_it(book: Book, folder: Path) -> None:
    """Killed while it held the lock: the next change is made at once, the file stays."""
    strip(book, "hub")
    program = start("hold", folder, 30)
    assert program.stdout is not None
    assert program.stdout.readline().strip() == "holding"
    program.send_signal(signal.SIGKILL)
    program.communicate()
    assert (folder / LOCK_FILE).exists()
    strip(book, "nut")
    assert book.revision == 2


@pytest.mark.filterwarnings("error")
def test_where_the_file_system_knows_no_locks_a_marker_stands_for_one(
    lockless: None, book: Book, folder: Path
) -> None:
    """Changes are made, and the marker is gone after each."""
    strip(book, "hub")
    with Book(folder) as other:
        strip(other, "nut")
    strip(book, "washer")
    assert len(book.records.parts) == 3
    assert not (folder / MARKER_FILE).exists()
    assert check_book(folder).ok


def test_two_of_them_still_wait_for_each_other(
    lockless: None, book: Book, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second is told who has it and what to do."""
    monkeypatch.setattr(locking, "LOCK_SECONDS", 0.2)
    with Book(folder) as other, other.change("first") as transaction:
        with pytest.raises(BookBusy, match=f"Program {os.getpid()} on .*delete that file"):
            strip(book, "hub")
        transaction.worked_on("TP")
    strip(book, "hub")


def test_a_marker_that_a_dead_program_left_behind_is_taken_over(
    lockless: None, book: Book, folder: Path
) -> None:
    """Nobody has to delete anything by hand."""
    strip(book, "hub")
    code = (
        "import os, sys; from filelock import SoftFileLock\n"
        "lock = SoftFileLock(sys.argv[1]); lock.acquire(); os._exit(9)"
    )
    subprocess.run([sys.executable, "-c", code, str(folder / MARKER_FILE)], check=False)
    assert (folder / MARKER_FILE).exists()
    strip(book, "nut")
    assert len(book.records.parts) == 2
    assert not (folder / MARKER_FILE).exists()


def test_a_marker_of_another_computer_is_named_with_the_way_out(
    lockless: None, book: Book, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whether that program still runs cannot be told from here; deleting the file helps."""
    strip(book, "hub")
    monkeypatch.setattr(locking, "LOCK_SECONDS", 0.2)
    marker = folder / MARKER_FILE
    marker.write_text("4711\nbench-laptop\n")
    with pytest.raises(BookBusy) as told:
        strip(book, "nut")
    assert "4711 on bench-laptop" in str(told.value)
    assert str(marker) in str(told.value)
    marker.unlink()
    strip(book, "nut")
    assert len(book.records.parts) == 2
