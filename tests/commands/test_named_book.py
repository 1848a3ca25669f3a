"""A book that is named wrong is told, with the one that is likely meant; it is not searched."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from tagbench.cli import run


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a book in it, the working folder."""
    monkeypatch.chdir(tmp_path)
    assert run(["--book", "garage/book", "strip", "hub", "--from", "Front wheel"]) == 0
    return tmp_path


def said(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    """Exit code and all that was printed."""
    capsys.readouterr()
    code = run(words)
    out, err = capsys.readouterr()
    return code, out + err


ASKING = ["find hub", "show TP-001-N", "mark TP-001-N lubed", "undo", "count", "check", "wants"]


@pytest.mark.parametrize("command", [*ASKING, "fit A-001-N", "remove A-001-N", "history", "away"])
def test_a_mistyped_folder_is_told(
    place: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    """By every command that has nothing to do there, and nothing is made."""
    code, words = said(capsys, "--book", "grage", *command.split())
    assert code == 2
    assert "There is no book in grage" in words
    assert not Path("grage").exists()


def test_the_book_that_is_near_is_named(place: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The folder around it, one inside it, and a folder that holds other things."""
    assert "there is one in garage/book" in said(capsys, "--book", "garage", "find", "hub")[1]
    inside = said(capsys, "--book", "garage/book/photos", "find", "hub")
    assert inside == (2, "There is no book in garage/book/photos; there is one in garage/book.\n")
    Path("notes").mkdir()
    Path("notes/list.txt").write_text("x")
    assert said(capsys, "--book", "notes", "find", "hub")[0] == 2


def test_the_live_file_of_a_book_stands_for_its_folder(
    place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Its history may be ahead of it; it can be changed as ever."""
    code, words = said(capsys, "--book", "garage/book/book.json", "find", "hub")
    assert (code, "hub" in words) == (0, True)
    assert run(["--book", "garage/book/book.json", "strip", "nut", "--from", "x"]) == 0


@pytest.mark.parametrize("name", ["history.jsonl", "list.txt", "empty"])
def test_a_file_that_is_no_book_is_told(
    place: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    """Whatever it is."""
    shutil.copy("garage/book/history.jsonl", "history.jsonl")
    Path("list.txt").write_text("{}")
    Path("empty").write_text("")
    code, words = said(capsys, "--book", name, "find", "hub")
    assert (code, "is not a copy of a book" in words) == (2, True)


def test_a_damaged_copy_is_told_with_the_way_out(
    place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Another copy; mending is for the book, not for a copy of it."""
    data = Path("garage/book/book.json").read_bytes()
    Path("copy.json").write_bytes(data[:-20])
    code, words = said(capsys, "--book", "copy.json", "find", "hub")
    assert (code, "choose another copy" in words) == (1, True)


def test_the_folder_one_stands_in_can_be_named(
    place: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """`--book .`"""
    monkeypatch.chdir("garage/book")
    assert said(capsys, "--book", ".", "find", "hub")[0] == 0


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs pipes by name")
@pytest.mark.parametrize("name", ["", "  ", "pipe", "x" * 300, "/dev/null"])
def test_what_can_be_no_folder_is_refused(
    place: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    """An empty name, a pipe, a device, a name longer than any file system takes."""
    os.mkfifo("pipe")
    code, words = said(capsys, "--book", name, "find", "hub")
    assert code == 2
    assert len(words.splitlines()) == 1
    assert len(words) < 300


def test_the_variable_is_told_like_the_option(
    place: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """An empty one counts as none."""
    monkeypatch.setenv("TAGBENCH_BOOK", "grage")
    assert "There is no book in grage" in said(capsys, "find", "hub")[1]
    monkeypatch.setenv("TAGBENCH_BOOK", "garage/book")
    assert said(capsys, "find", "hub")[0] == 0


def test_an_option_behind_the_command_is_told_where_it_stands(
    place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`find --book X` is a slip of the hand, not an unknown option."""
    code, words = said(capsys, "find", "hub", "--book", "garage/book")
    assert (code, "stands before the command" in words) == (2, True)
    code, words = said(capsys, "photos")
    assert code == 2
    assert words.startswith("tagbench photos still needs: add, ")
