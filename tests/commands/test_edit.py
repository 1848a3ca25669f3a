"""Mending what was written about a part, and the warning of mixed-up threads."""

from __future__ import annotations

from tests.commands.conftest import Tagbench


def test_only_what_is_named_changes(tagbench: Tagbench) -> None:
    code = tagbench("strip", "drum", "--from", "Rear axle", "--note", "heavy", "--json").json[
        "code"
    ]
    part = tagbench("edit", code, "--name", "Brake drum", "--bin", "Box 3", "--json").json
    assert (part["name"], part["assembly"], part["note"]) == ("Brake drum", "Rear axle", "heavy")
    assert part["kept_in"] == ["Box 3"]
    assert "took back" in tagbench("undo").out
    assert tagbench("show", code, "--json").json["name"] == "drum"


def test_a_loop_is_refused_and_spelled_out(tagbench: Tagbench) -> None:
    first = tagbench("strip", "drum", "--json").json["code"]
    second = tagbench("strip", "shoe", "--behind", first, "--json").json["code"]
    said = tagbench("edit", first, "--behind", second)
    assert said.code == 2
    assert first in said.err
    assert second in said.err
    assert tagbench("show", first, "--json").json["behind"] == []


def test_a_second_thread_that_starts_in_the_first_ones_hole_is_warned_of(
    tagbench: Tagbench,
) -> None:
    """M5x0.8 and #10-32 differ by 0.8 % in pitch (tests/reference/SOURCES.md, notes)."""
    first = tagbench("strip", "plate", "--fasteners", "4x M5x0.8x12 pan", "--json").json
    assert first["warnings"] == []
    second = tagbench("strip", "magneto", "--fasteners", "2x #10-32 x 1/2", "--json").json
    assert "M5x0.8" in second["warnings"][0]
    assert "#10-32" in second["warnings"][0]
    third = tagbench("strip", "coil", "--fasteners", "2x #10-32 x 3/4", "--json").json
    assert third["warnings"] == []


def test_bad_values_leave_the_record_as_it_was(tagbench: Tagbench) -> None:
    code = tagbench("strip", "drum", "--json").json["code"]
    before = tagbench("show", code, "--json").json
    for words in (
        ("--quantity", "0"),
        ("--name", " "),
        ("--fasteners", "some\x07things"),
        ("--behind", code),
        (),
    ):
        said = tagbench("edit", code, *words)
        assert (said.code, said.err.count("\n")) == (2, 1), words
    assert tagbench("show", code, "--json").json == before


def test_a_part_with_others_behind_it_stays(tagbench: Tagbench) -> None:
    first = tagbench("strip", "drum", "--json").json["code"]
    second = tagbench("strip", "shoe", "--behind", first, "--json").json["code"]
    assert tagbench("remove", first).code == 2
    assert tagbench("remove", second).code == 0
    assert tagbench("remove", first).code == 0
    assert "spare tag" in tagbench("scan", first).out


def test_a_bag_that_may_be_a_slip_of_the_pen_is_told(tagbench: Tagbench) -> None:
    """By each command that puts something into a bag; JSON has it among the warnings."""
    box = tagbench("bins", "add", "Shoe box", "--json").json["code"]
    said = tagbench("strip", "axle", "--position", "left", "--bin", "Shoe bocks")
    assert f"Shoe bocks is a new bag; if you meant Shoe box ({box})" in said.out
    code = said.out.split()[0]
    for slip, command, *more in (("Shoebox", "edit"), ("Sho box", "twin", "--new")):
        tagbench("undo")
        other = tagbench("strip", "axle", "--position", "left", "--json").json["code"]
        said = tagbench(command, other, *more, "--bin", slip, "--json")
        assert box in said.json["warnings"][0]
    assert "new box" in tagbench("bins", "move", "Sho box", "--in", "Sheo box").out
    assert "new bag" not in tagbench("edit", code, "--bin", "shoe box").out
