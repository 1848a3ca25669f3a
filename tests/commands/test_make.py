"""`make` as a person types it: measures in, cut list out."""

from __future__ import annotations

from tests.commands.conftest import Tagbench


def test_a_gasket_is_put_down_made_and_listed(tagbench: Tagbench) -> None:
    """The cut list stands under the part; without a code all that are to make are listed."""
    code = tagbench("strip", "cover gasket", "--from", "Engine", "--json").json["code"]
    measures = ("--material", "paper", "--thickness", "0,5", "--size", "120 x 80")
    part = tagbench("make", code, *measures, "--holes", "4x M6", "--json").json
    assert part["make"]["holes"][0] == {"quantity": 4, "thread": "M6x1", "diameter_mm": None}
    assert (part["verdict"], part["replacement"]) == ("replace", "wanted")
    assert any("punch 7 mm" in line for line in part["cut_list"])
    assert "to make" in tagbench("make").out
    assert tagbench("make", code, "--done", "--json").json["replacement"] == "here"
    assert tagbench("make", code, "--buy", "--json").json["make"] is None
    assert "Nothing is to be made" in tagbench("make").out


def test_what_cannot_be_made_is_refused(tagbench: Tagbench) -> None:
    """One sentence, exit code 2, nothing written."""
    code = tagbench("strip", "cover gasket", "--from", "Engine", "--json").json["code"]
    asked = tagbench("make", code, "--material", "paper", "--thickness", "thin", "--size", "9x9")
    assert (asked.code, asked.out) == (2, "")
    assert asked.err.count("\n") == 1
    assert tagbench("make", code, "--done", "--buy").code == 2
    assert tagbench("make", "--done").code == 2
    assert tagbench("make", code, "--done").code == 2
