"""A full disk, or one that may not be written, leaves the old book whole and says so."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest

from tagbench.book import Book, backups, disk, storage
from tagbench.book.check import check_book
from tagbench.errors import BookError
from tests.book.conftest import strip, strip_slowly


def _files(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


WRITTEN_IN = {"write_book": storage, "back_up": backups}
"""The step of a save → the module that it is read from."""


def _failing(real: Callable[..., object], nth: int, code: int) -> Callable[..., object]:
    """`real`, but the call number `nth` from now fails."""
    calls = iter(range(1, 1_000))

    def call(*words: object, **named: object) -> object:
        if next(calls) == nth:
            raise OSError(code, os.strerror(code))
        return real(*words, **named)

    return call


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EIO, errno.EDQUOT])
def test_a_failing_flush_leaves_everything_as_it_was(
    book: Book, folder: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    """The flush that counts is the history's."""
    strip(book, "hub")
    strip(book, "nut")
    before, records = _files(folder), book.records
    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", _failing(os.fsync, 1, code))
        with pytest.raises(BookError, match="The change was not saved because") as caught:
            strip(book, "washer")
    assert ("disk is full" in str(caught.value)) == (code != errno.EIO)
    assert _files(folder) == before
    assert book.records is records
    assert book.revision == 2
    strip(book, "washer")
    with Book(folder) as again:
        assert again.records == book.records
    assert [change.number for change in book.history()] == [3, 2, 1]


@pytest.mark.parametrize("step", ["write_book", "back_up", "put_in_place", "sync_folder"])
def test_a_book_file_that_cannot_follow_unsays_nothing(
    book: Book, folder: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    """Whatever fails on the way, what was saved stays saved, is said to be, and is read again."""
    strip_slowly(book, "hub")
    old = (folder / "book.json").read_bytes()
    strip(book, "nut")
    with monkeypatch.context() as patch:
        patch.setattr(WRITTEN_IN.get(step, disk), step, _failing(print, 1, errno.ENOSPC))
        with pytest.raises(BookError, match=r"^Everything is saved .* the disk is full"):
            book.checkpoint()
    strip(book, "washer")
    with Book(folder) as again:
        assert again.records == book.records
    (folder / "book.json").write_bytes(old)  # what a power cut could leave
    with Book(folder) as again:
        assert again.records == book.records
        assert len(again.records.parts) == 3


@pytest.mark.parametrize("step", ["write_book", "put_in_place"])
def test_fifty_changes_go_on_while_the_book_file_cannot_follow(
    book: Book, folder: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    """The history takes every change; the file is tried again with each further one."""
    strip_slowly(book, "hub")

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patch:
        patch.setattr(WRITTEN_IN.get(step, disk), step, full)
        for number in range(disk.LATEST + 3):
            strip(book, f"nut {number}")
        assert book.waiting == disk.LATEST + 3
    strip(book, "one more")
    assert book.waiting == 0
    with Book(folder) as again:
        assert again.records == book.records


FILL = """
import resource, sys
from pathlib import Path
from tagbench.book import Book
from tagbench.errors import BookError
from tagbench.records import Part
import signal
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]),) * 2)
saved = 0
with Book(Path(sys.argv[1])) as book:
    while True:
        try:
            with book.change("fill") as transaction:
                transaction.put(Part(code=transaction.new_code("TP"), name="p", note="n" * 700))
        except BookError as error:
            print(saved, error)
            break
        saved += 1
"""


@pytest.mark.parametrize("limit", [5_000, 5_531, 20_000])
def test_a_file_size_limit_behaves_like_a_full_disk(folder: Path, limit: int) -> None:
    """The kernel cuts a write short in the middle: what was saved before is whole."""
    done = subprocess.run(
        [sys.executable, "-c", FILL, str(folder), str(limit)],
        capture_output=True,
        text=True,
        check=True,
    )
    saved, _, sentence = done.stdout.partition(" ")
    assert "disk is full" in sentence
    assert len(sentence.splitlines()) == 1
    with Book(folder) as book:
        assert len(book.records.parts) == book.revision == int(saved) > 0
        strip(book, "after room was made")
    assert check_book(folder).ok


FORBIDDEN = """
import os, sys, tempfile
from pathlib import Path
from tagbench.book import Book
from tagbench.errors import BookError
from tagbench.records import Part
with tempfile.TemporaryDirectory() as warm, Book(Path(warm) / "book") as book:
    with book.change("so that everything is loaded") as transaction:
        transaction.put(Part(code=transaction.new_code("TP"), name="p"))
if os.getuid() == 0:
    os.setuid(65534)
with Book(Path(sys.argv[1])) as book:
    print(len(book.records.parts))
    try:
        with book.change("more") as transaction:
            transaction.put(Part(code=transaction.new_code("TP"), name="p"))
    except BookError as error:
        print(error)
"""

GUARDED = """try:
    Book(Path(sys.argv[1]))
except BookError as error:
    sys.exit(print(error))
with Book(Path(sys"""


def test_a_read_only_folder_opens_and_refuses_changes() -> None:
    """Reading works; a change says in one sentence that the folder may not be written."""
    with tempfile.TemporaryDirectory(prefix="tagbench-") as parent:
        Path(parent).chmod(0o755)
        folder = Path(parent) / "book"
        with Book(folder) as book:
            strip(book, "hub")
        before = _files(folder)
        folder.chmod(0o555)
        done = subprocess.run(
            [sys.executable, "-c", FORBIDDEN, str(folder)],
            capture_output=True,
            text=True,
            check=True,
            cwd="/",
        )
        folder.chmod(0o755)
        count, sentence = done.stdout.splitlines()
        assert count == "1"
        assert sentence.startswith("The book cannot be changed because")
        assert "may not be written" in sentence
        assert _files(folder) == before


def test_a_book_that_may_not_be_read_says_so() -> None:
    """Not an empty book: that would invite writing over it."""
    with tempfile.TemporaryDirectory(prefix="tagbench-") as parent:
        Path(parent).chmod(0o755)
        folder = Path(parent) / "book"
        with Book(folder) as book:
            strip(book, "hub")
        (folder / "book.json").chmod(0)
        done = subprocess.run(
            [sys.executable, "-c", FORBIDDEN.replace("with Book(Path(sys", GUARDED), str(folder)],
            capture_output=True,
            text=True,
            check=True,
            cwd="/",
        )
        assert "cannot be read" in done.stdout
