"""Files written outside of the book: the old one or the whole new one, and the way out in words."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from labels.errors import NoFolderError
from tagbench.book.outside import write_file
from tagbench.errors import BookError, ExitCode


def test_a_file_is_replaced(tmp_path: Path) -> None:
    target = tmp_path / "count.txt"
    for data in (b"old", b"new"):
        write_file(target, data)
    assert [(path.name, path.read_bytes()) for path in tmp_path.iterdir()] == [
        ("count.txt", b"new")
    ]


@pytest.mark.parametrize(
    ("answer", "told"),
    [
        (errno.ENOSPC, "the disk is full; make room"),
        (errno.EFBIG, "the disk is full; make room"),
        (errno.EROFS, "may not be written; allow that or choose another place"),
        (errno.EIO, "choose another place or name"),
    ],
)
def test_the_old_file_stays_and_the_way_out_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, answer: int, told: str
) -> None:
    target = tmp_path / "count.txt"
    target.write_bytes(b"old")

    def refuse(_: int) -> None:
        raise OSError(answer, "the words of the system")

    monkeypatch.setattr("os.fsync", refuse)
    with pytest.raises(BookError, match=told):
        write_file(target, b"new")
    assert [(path.name, path.read_bytes()) for path in tmp_path.iterdir()] == [
        ("count.txt", b"old")
    ]


def test_a_missing_folder_is_named_and_is_a_slip_of_the_pen(tmp_path: Path) -> None:
    with pytest.raises(
        NoFolderError, match=f"There is no folder {tmp_path / 'gone'}; make it first"
    ) as told:
        write_file(tmp_path / "gone" / "count.txt", b"")
    assert told.value.exit_code == ExitCode.BAD_INPUT
