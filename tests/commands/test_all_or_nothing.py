"""Exit code 2 means that nothing was changed, also where one call does several things."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands.conftest import Said, Tagbench

COVER = ("strip", "test cover", "--from", "Engine", "--fasteners", "2x screw long; 3x screw short")


@pytest.fixture
def cover(tagbench: Tagbench) -> str:
    """The code of a cover whose two lines of screws are still to be measured."""
    tagbench("machine", "add", "Tarnbrook Packman", "--mark", "TP")
    code: str = tagbench(*COVER, "--json").json["code"]
    return code


def history(tagbench: Tagbench) -> str:
    return tagbench("history", "--json").out


REFUSED = (
    ("edit", "TP-001-N", "--measured", "1=M6", "--measured", "2=banana"),
    ("edit", "TP-001-N", "--measured", "2=M5", "--quantity", "0"),
    ("edit", "TP-001-N", "--measured", "1=M6", "--measured", "1=M5"),
    ("edit", "TP-001-N", "--measured", "1=M6", "--measured", "9=M5"),
    ("edit", "TP-001-N", "--measured", "1=M6", "--fasteners", "2x M6x20"),
    ("edit", "TP-001-N", "--measured", "1=M6", "--behind", "TP-001-N"),
    ("edit", "TP-001-N", "--bin", "Box 9", "--quantity", "0"),
    ("strip", "plate", "--bin", "Box 9", "--behind", "TP-777-1"),
    ("strip", "plate", "--bin", "Box 9", "--photo", "no-such.jpg"),
    ("mark", "TP-001-N", "TP-777-1", "degreased"),
    ("bins", "add", "New shelf / New box / ", "--in", "BIN-777-1"),
    ("report", "build", "--paper", "letter", "--around", "banana"),
    ("report", "order", "No such assembly", "--paper", "letter"),
    ("tags", "--spare", "3", "-o", "no-such-folder/tags.pdf"),
    ("tags", "--spare", "3", "--stock", "no-such-stock", "-o", "tags.pdf"),
    ("wants", "add", "seal", "--for", "TP-001-N", "--price", "banana"),
    ("undo", "999", "--with-later"),
)


@pytest.mark.parametrize("words", REFUSED, ids=" ".join)
def test_what_is_refused_leaves_no_trace(
    tagbench: Tagbench, cover: str, words: tuple[str, ...], tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    assert cover == "TP-001-N"
    before, export = history(tagbench), tmp_path / "before.json"
    assert tagbench("export", "-o", str(export)).code == 0
    said = tagbench(*words)
    assert (said.code, said.err.count("\n")) == (2, 1), said
    after = tmp_path / "after.json"
    assert tagbench("export", "-o", str(after)).code == 0
    assert history(tagbench) == before
    assert after.read_text() == export.read_text()


def test_the_corrected_command_works_and_again_changes_nothing(
    tagbench: Tagbench, cover: str
) -> None:
    measured = ("edit", cover, "--measured", "1=M6", "--measured")
    assert tagbench(*measured, "2=banana").code == 2

    def lines(said: Said) -> list[str]:
        return [line["thread"] for line in said.json["fasteners"]]

    assert lines(tagbench(*measured, "2=M5", "--json")) == ["M6x1", "M5x0.8"]
    assert "measured 2x M6x1 (long), 3x M5x0.8 (short) of test cover" in tagbench("history").out
    before = history(tagbench)
    again = tagbench(*measured, "2=M5")
    assert again.code == 0
    assert "nothing changed" in again.out
    assert history(tagbench) == before
    assert tagbench("edit", cover, "--measured", "1=M7").code == 2


def test_what_is_measured_and_changed_in_one_call_is_one_change(
    tagbench: Tagbench, cover: str
) -> None:
    tagbench("edit", cover, "--measured", "1=M6", "--note", "clean")
    tagbench("undo")
    part = tagbench("show", cover, "--json").json
    assert (part["note"], part["fasteners"][0]["thread"]) == ("", "")


def test_a_printer_that_is_not_there_uses_up_no_code(
    tagbench: Tagbench, cover: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", "")
    before = history(tagbench)
    assert tagbench("tags", "--spare", "3", "--printer", "no-such").code == 1
    assert history(tagbench) == before
