"""What must be on the disk before what: the order that outlasts a power cut."""

from __future__ import annotations

import errno
import os
from pathlib import Path
from types import SimpleNamespace

import pytest

from labels import atomic_write
from tagbench.book import Book
from tests.book.conftest import strip


@pytest.fixture
def steps(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Flushes and renames in the order in which they are asked for."""
    seen: list[str] = []
    fsync, replace = os.fsync, Path.replace

    def flush(handle: int) -> None:
        seen.append(f"flush {Path(f'/proc/self/fd/{handle}').readlink().name}")
        fsync(handle)

    def rename(path: Path, target: Path) -> Path:
        seen.append(f"rename {path.name} to {Path(target).name}")
        return replace(path, target)

    monkeypatch.setattr(os, "fsync", flush)
    monkeypatch.setattr(Path, "replace", rename)
    return seen


@pytest.mark.skipif(not Path("/proc/self/fd").is_dir(), reason="needs the names of open files")
def test_a_change_is_one_flush_of_the_history(book: Book, steps: list[str]) -> None:
    """That is all a change waits for."""
    strip(book, "hub")
    strip(book, "nut")
    steps.clear()
    strip(book, "washer")
    assert steps == ["flush history.jsonl"]


@pytest.mark.skipif(not Path("/proc/self/fd").is_dir(), reason="needs the names of open files")
def test_the_book_file_is_flushed_before_it_takes_its_place(book: Book, steps: list[str]) -> None:
    """And the folder after that, so that the new name outlasts a power cut."""
    strip(book, "hub")
    steps.clear()
    book.checkpoint()
    assert steps == [
        "flush book.json.next",
        "rename book.json.next to book.json",
        "flush book",
    ]


@pytest.mark.skipif(not Path("/proc/self/fd").is_dir(), reason="needs the names of open files")
def test_the_names_of_new_files_are_flushed_too(book: Book, steps: list[str]) -> None:
    """Before the first change there is an empty book for the history to lean on."""
    strip(book, "hub")
    assert steps == [
        "flush book.json.new",
        "rename book.json.new to book.json",
        "flush book",
        "flush history.jsonl",
        "flush book",
    ]


def test_macos_is_asked_to_flush_the_disk_itself(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """With F_FULLFSYNC where there is one (Apple's fcntl(2)), with fsync where that fails."""
    asked: list[tuple[int, int]] = []
    system = SimpleNamespace(F_FULLFSYNC=51, fcntl=lambda *call: asked.append(call))
    monkeypatch.setattr(atomic_write, "fcntl", system)
    with (tmp_path / "file").open("wb") as file:
        atomic_write.flush_to_disk(file.fileno())
        assert asked == [(file.fileno(), 51)]

        def refuse(*_: int) -> None:
            raise OSError(errno.ENOTSUP, "not here")

        flushed: list[int] = []
        monkeypatch.setattr(system, "fcntl", refuse)
        monkeypatch.setattr(os, "fsync", flushed.append)
        atomic_write.flush_to_disk(file.fileno())
        assert flushed == [file.fileno()]


def test_who_may_read_the_book_stays_so(book: Book, folder: Path) -> None:
    """A book kept private is still private after a save."""
    strip(book, "hub")
    (folder / "book.json").chmod(0o600)
    strip(book, "nut")
    assert (folder / "book.json").stat().st_mode & 0o777 == 0o600
