"""Reports and exports by command."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.commands.conftest import Tagbench


@pytest.fixture
def code(tagbench: Tagbench) -> str:
    """One part in the book."""
    words = ["strip", "brake plate", "--from", "Front wheel", "--fasteners", "4x M5x0.8x12 pan"]
    made: str = tagbench(*words, "--json").json["code"]
    return made


@pytest.mark.parametrize("kind", ["build", "count", "wants", "settings", "book"])
@pytest.mark.parametrize("form", ["txt", "csv", "html"])
def test_each_kind_in_each_form(
    tagbench: Tagbench, code: str, tmp_path: Path, kind: str, form: str
) -> None:
    """Written where it was asked for, and said so."""
    target = tmp_path / f"sheet.{form}"
    said = tagbench("report", kind, "-o", str(target), "--json")
    assert (said.code, said.json["file"], said.json["kind"]) == (0, str(target), kind)
    assert target.stat().st_size > 20


def test_without_a_file_it_is_printed(tagbench: Tagbench, code: str) -> None:
    """As text."""
    assert f"1. {code}  brake plate" in tagbench("report", "build").out


@pytest.mark.parametrize(
    "words",
    [
        ("bill", "-o", "x.txt"),
        ("build", "-o", "x.doc"),
        ("build", "-o", "x.csv", "--photos"),
        ("build", "--photos"),
        ("build", "--steps", "0"),
        ("build", "--machine", "ZZ"),
    ],
)
def test_what_cannot_be_written_is_refused(
    tagbench: Tagbench, code: str, words: tuple[str, ...]
) -> None:
    """A sentence and exit code 2."""
    said = tagbench("report", *words)
    assert said.code == 2 and said.err.count("\n") == 1


def test_a_folder_that_is_not_there_is_a_slip_of_the_pen(
    tagbench: Tagbench, code: str, tmp_path: Path
) -> None:
    """Exit code 2 and one line: the disk did not fail, the name was mistyped."""
    said = tagbench("report", "build", "-o", str(tmp_path / "none" / "x.txt"))
    assert said.code == 2 and said.err.count("\n") == 1


def test_the_export_is_taken_in_again_where_that_is_said(
    tagbench: Tagbench, code: str, tmp_path: Path
) -> None:
    """By import, as new parts with the same words; without --again nothing is doubled."""
    target = tmp_path / "parts.csv"
    assert tagbench("export", "-o", str(target)).code == 0
    said = tagbench("import", str(target))
    assert (said.code, said.err.count("\n")) == (2, 1)
    assert "--again" in said.err
    with target.open("a", encoding="utf-8") as file:
        file.write(f",stay{',' * 10}\n")
    assert "1 part taken in.\n1 row was left out" in tagbench("import", str(target)).out
    assert tagbench("undo").code == 0
    assert tagbench("import", str(target), "--again").code == 0
    found = tagbench("find", "brake plate", "--json").json
    assert len(found) == 2
    assert found[0]["fasteners"] == found[1]["fasteners"]


def test_the_whole_book_as_json(tagbench: Tagbench, code: str, tmp_path: Path) -> None:
    """Every table; other endings are refused."""
    target = tmp_path / "book.json"
    assert tagbench("export", "-o", str(target), "--json").json["parts"] == 1
    assert json.loads(target.read_text())["parts"][0]["code"] == code
    assert tagbench("export", "-o", str(tmp_path / "book.xls")).code == 2


def test_a_report_without_a_file_is_text_in_json_too(tagbench: Tagbench) -> None:
    tagbench("strip", "drum")
    said = tagbench("report", "count", "--json").json
    assert said["text"] == tagbench("report", "count").out
    assert (said["kind"], said["machine"]) == ("count", "A")
