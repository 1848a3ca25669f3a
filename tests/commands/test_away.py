"""Away, lost, left over and finish as commands: the whole way out and back."""

from __future__ import annotations

from pathlib import Path

from tests.commands.conftest import Tagbench


def code_of(tagbench: Tagbench, name: str, fasteners: str = "") -> str:
    """A part that came off."""
    said = tagbench("strip", name, "--fasteners", fasteners, "--bin", f"Bag {name}", "--json")
    return str(said.json["code"])


def test_a_batch_goes_is_counted_sorted_and_closed(tagbench: Tagbench, tmp_path: Path) -> None:
    """Ten of one size out of two bags; nine come back, and the bag that is short says so."""
    drum = code_of(tagbench, "Drum", "4x M6x1x20 hex")
    cover = code_of(tagbench, "Cover", "6x M6x1x20 hex; 2x M5x0.8x12 pan")
    list_ = tmp_path / "plater.csv"
    packed = tagbench("away", "pack", "--size", "M6", "--to", "Hill Plating", "--json").json
    assert [(row["size"], row["out"]) for row in packed["rows"]] == [("M6x1x20 hex", 10)]
    assert "10 × M6x1x20 hex" in tagbench("away", "batch", "1", "-o", str(list_)).out
    assert list_.read_text("utf-8-sig").startswith("size,out,came_back,short,code")
    assert "with Hill Plating" in tagbench("away").out
    assert tagbench("away", "count", "1", "M6=9", "--json").json["rows"][0]["short"] == 1
    assert tagbench("away", "sort", "1", f"{drum}/1").code == 0
    assert tagbench("away", "close", "1").code == 2
    assert tagbench("away", "sort", "1", f"{cover}/1").code == 0
    assert f"short now: Cover {cover}" in tagbench("away", "close", "1").out
    counted = tagbench("count").out
    assert "12 fasteners out = 0 back + 11 in the bag + 1 lost" in counted


def test_a_part_goes_comes_back_is_lost_and_found(tagbench: Tagbench) -> None:
    """Each is said where the part is asked for; it is not fitted meanwhile."""
    code = code_of(tagbench, "Cylinder")
    tagbench("away", "send", code, "--to", "Weirside", "--for", "rebore", "--price", "64")
    assert "with Weirside for rebore" in tagbench("show", code).out
    refused = tagbench("fit", code, "--anyway")
    assert refused.code == 2
    assert "write down first that it came back" in refused.err
    assert tagbench("away", "back", code, "--json").json["away"] is None
    assert "last seen shelf" in tagbench("lost", code, "--last-seen", "shelf").out
    assert tagbench("lost", code, "--found", "--json").json["lost"] is None
    wanted = tagbench("lost", code, "--want", "--json").json
    assert (wanted["verdict"], wanted["replacement"]) == ("replace", "wanted")
    assert "it is lost" in tagbench("wants", "--json").json[0]["note"]


def test_what_stays_on_is_on_and_what_is_found_is_explained(tagbench: Tagbench) -> None:
    """Two words write a found bolt down; it goes to the line that is short of one."""
    half = code_of(tagbench, "Case half")
    assert "never taken off" in tagbench("stays", half).out
    cover = code_of(tagbench, "Cover", "4x M6x1x20 hex")
    tagbench("fit", cover, "--anyway", "--short", "1")
    said = tagbench("leftover", "M6", "bolt", "20", "long,", "bench", "floor").out
    assert "M6 bolt 20 long, bench floor" in said
    assert f"{cover}/1" in said
    assert "[found:1]" in tagbench("count").out
    assert tagbench("leftover", "--explain", "1", "--to", f"{cover}/1").code == 0
    assert "[found:1]" not in tagbench("count").out
    assert tagbench("leftover").out == "Nothing was found that is not explained.\n"


def test_finish_and_old_pieces(tagbench: Tagbench) -> None:
    """Planned, done; the old one kept as a pattern."""
    code = code_of(tagbench, "Hub")
    plan = tagbench("finish", code, "painted", "--with", "green", "--bare", "bore", "--plan").out
    assert "[ ] painted with green; keep bare: bore" in plan
    assert "[x] painted with green" in tagbench("finish", code, "painted").out
    tagbench("mark", code, "replace")
    assert "kept as a pattern" in tagbench("old", code, "pattern").out
    assert tagbench("fit", code, "--dry", "--json").json["dry_fits"]
