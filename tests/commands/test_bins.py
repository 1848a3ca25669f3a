"""Bins as commands: added, listed, moved, renamed."""

from __future__ import annotations

from tests.commands.conftest import Tagbench


def test_a_bin_is_renamed_and_its_tag_waits_to_be_printed_again(tagbench: Tagbench) -> None:
    """The code stays; the name on the tag is another one now."""
    code = tagbench("bins", "add", "Box 1", "--json").json["code"]
    tagbench("tags", "--queued", "--stock", "roll-62x29-300", "-o", "/dev/null", "--json")
    said = tagbench("bins", "rename", "Box 1", "Biscuit tin", "--json")
    assert (said.json["code"], said.json["name"]) == (code, "Biscuit tin")
    assert "Biscuit tin" in tagbench("bins", "list").out


def test_another_bin_of_that_name_stands_in_the_way(tagbench: Tagbench) -> None:
    """Two bins of one name in one place could not be told apart."""
    tagbench("bins", "add", "Box 1")
    tagbench("bins", "add", "Box 2")
    assert tagbench("bins", "rename", "Box 2", "Box 1").code == 2
