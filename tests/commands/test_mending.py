"""Undo, redo, backups, copies that met and days gone by, on the command line."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tagbench.cli import run

Say = Callable[..., tuple[int, str, str]]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "book"


@pytest.fixture
def say(folder: Path, capsys: pytest.CaptureFixture[str]) -> Say:
    """Runs a command on the book; gives exit code, output and error."""

    def call(*words: str) -> tuple[int, str, str]:
        code = run(["--book", str(folder), *words])
        out, err = capsys.readouterr()
        return code, out, err

    return call


def _strip(say: Say, *names: str) -> list[str]:
    codes = []
    for name in names:
        code, out, _ = say("strip", name, "--from", "Front wheel", "--json")
        assert code == 0
        codes.append(json.loads(out)["code"])
    return codes


def test_undo_redo_and_one_chosen_change(say: Say) -> None:
    """By number, with the later ones named, and with them."""
    hub, _ = _strip(say, "hub", "nut")
    say("edit", hub, "--name", "front hub")
    code, _, err = say("undo", "1")
    assert code == 2
    assert "later changes hang on it: 3 " in err
    assert say("undo", "2")[0] == 0
    assert say("redo")[0] == 0
    code, out, _ = say("undo", "1", "--with-later")
    assert code == 0
    assert out.splitlines()[-1].startswith("took back: took off hub")
    assert say("undo", "--with-later")[0] == 2


def test_backups_are_listed_and_taken_from(say: Say, folder: Path) -> None:
    """As text and as JSON; one part, then the whole book."""
    assert say("backups")[0] == 2
    hub, nut = _strip(say, "hub", "nut")
    _, out, _ = say("backups", "--json")
    newest = json.loads(out)[0]
    assert newest["readable"]
    assert nut in newest["differs"]
    say("edit", hub, "--name", "front hub")
    assert say("backups", "--take", hub, "--from", newest["name"])[0] == 0
    assert json.loads(say("show", hub, "--json")[1])["name"] == "hub"
    assert say("backups", "--take", "all", "--from", newest["name"])[0] == 0
    assert nut not in say("find", "nut")[1]
    assert say("backups", "--take", hub)[0] == 2


def test_a_backup_file_is_opened_to_be_looked_at(say: Say, folder: Path) -> None:
    """Show works on it, strip is refused with the way out."""
    (hub, _) = _strip(say, "hub", "nut")
    backup = next((folder / "backups").glob("book-*.json"))
    assert run(["--book", str(backup), "show", hub]) == 0
    assert run(["--book", str(backup), "strip", "x", "--from", "y"]) == 2


def test_days_and_misspelled_books(say: Say, folder: Path, tmp_path: Path) -> None:
    """Today is a day; tomorrow, an empty name and a folder that is not there are told."""
    (hub,) = _strip(say, "hub")
    assert say("--on", "today", "show", hub)[0] == 0
    code, _, err = say("--on", "today", "strip", "x", "--from", "y")
    assert (code, "only looked at" in err) == (2, True)
    assert say("--on", "2001-01-01", "show", hub)[0] == 2
    assert say("--on", "2999-01-01", "show", hub)[0] == 2
    assert run(["--book", "", "find", "hub"]) == 2
    assert run(["--book", str(tmp_path / "mistyped"), "find", "hub"]) == 2
    assert not (tmp_path / "mistyped").exists()


def test_two_copies_are_joined(say: Say, folder: Path, tmp_path: Path) -> None:
    """A conflict is named with what to type; with it the copies are joined."""
    (hub,) = _strip(say, "hub")
    other = tmp_path / "stick"
    shutil.copytree(folder, other)
    run(["--book", str(other), "edit", hub, "--name", "rear hub"])
    say("edit", hub, "--name", "front hub")
    code, _, err = say("check", "--join", str(other))
    assert code == 2
    assert f"--take {hub}=this" in err
    assert say("check", "--join", str(other), "--take", f"{hub}=both")[0] == 2
    assert say("check", "--join", str(other), "--take", f"{hub}=other")[0] == 0
    assert json.loads(say("show", hub, "--json")[1])["name"] == "rear hub"
    assert say("check", "--take", f"{hub}=this")[0] == 2


def test_one_backup_is_shown_with_then_and_now(say: Say, folder: Path) -> None:
    """In words, and as records with `--json`."""
    hub, nut = _strip(say, "hub", "nut")
    name = json.loads(say("backups", "--json")[1])[0]["name"]
    say("edit", hub, "--note", "cracked")
    _, out, _ = say("backups", name)
    assert "note: nothing → cracked" in out
    assert f"{nut}  nut  came since" in out
    plain = {one["key"]: one for one in json.loads(say("backups", name, "--json")[1])}
    assert plain[hub]["then"]["note"] == ""
    assert plain[nut]["then"] is None
