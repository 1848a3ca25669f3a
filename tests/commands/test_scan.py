"""Scanning pictures with many tags, and tags of another machine."""

from __future__ import annotations

from pathlib import Path

from tests.commands.conftest import Tagbench


def test_a_picture_of_many_tags_tells_which_belong_to_another_machine(
    tagbench: Tagbench, tmp_path: Path
) -> None:
    tagbench("machine", "add", "Packman", "--mark", "TP")
    mine = tagbench("strip", "drum", "--json").json["code"]
    tagbench("machine", "add", "Lawn roller", "--mark", "LR")
    theirs = tagbench("strip", "roller", "--json").json["code"]
    tagbench("machine", "choose", "TP")
    file = str(tmp_path / "t.png")
    assert tagbench("tags", "--all", "-o", file).code == 0
    found = {one["code"]: one["other_machine"] for one in tagbench("scan", file, "--json").json}
    assert found == {mine: "", theirs: "Lawn roller"}
    assert "belongs to another machine, Lawn roller" in tagbench("scan", theirs).out
    assert "another machine" not in tagbench("scan", mine).out


def test_tags_of_another_book_are_named_among_the_others(
    tagbench: Tagbench, tmp_path: Path
) -> None:
    tagbench("machine", "add", "Packman", "--mark", "TP")
    tagbench("strip", "drum")
    tagbench("strip", "shoe")
    file = str(tmp_path / "t.png")
    tagbench("tags", "--all", "-o", file)
    tagbench("undo")
    tagbench("undo")
    shown = tagbench("scan", file)
    assert shown.code == 0
    assert "spare tag" in shown.out


def test_a_missing_picture_is_said_to_be_missing(tagbench: Tagbench, tmp_path: Path) -> None:
    tagbench("machine", "add", "Packman", "--mark", "TP")
    said = tagbench("scan", str(tmp_path / "no.jpg"))
    assert (said.code, said.err.count("\n")) == (2, 1)
    assert "no.jpg" in said.err
