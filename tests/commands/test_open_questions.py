"""A thread that is not yet known is told by show, count and the shop list, and answered by edit."""

from __future__ import annotations

import pytest

from tests.commands.conftest import Tagbench


@pytest.fixture
def cover(tagbench: Tagbench) -> str:
    """A cover on four screws that nobody has measured."""
    made = tagbench("strip", "points cover", "--fasteners", "3 long screws 1 short", "--json").json
    return str(made["code"])


def test_show_and_count_tell_it(tagbench: Tagbench, cover: str) -> None:
    """Three and one are four pieces in two lines."""
    assert "3x screw, long, thread not yet known" in tagbench("show", cover).out
    told = tagbench("count").out
    assert "4 fasteners out" in told
    assert f"to measure: points cover {cover}: 3x screw (long), thread not yet known" in told
    questions = tagbench("count", "--json").json["questions"]
    assert [one["quantity"] for one in questions] == [3, 1]


def test_the_shop_list_says_what_to_measure_first(tagbench: Tagbench, cover: str) -> None:
    listed = tagbench("wants", "shop").out
    assert "Measure first" in listed
    assert f"[ ] points cover {cover}: screw (short), thread not yet known" in listed


def test_a_measured_thread_answers_it(tagbench: Tagbench, cover: str) -> None:
    """By the number of the line; the other line asks on."""
    after = tagbench("edit", cover, "--measured", "1=M6", "--json").json
    assert [one["thread"] for one in after["fasteners"]] == ["M6x1", ""]
    assert after["fasteners"][0]["quantity"] == 3
    assert len(tagbench("count", "--json").json["questions"]) == 1


@pytest.mark.parametrize("measured", ["1", "x=M6", "1=banana", "3=M6", "1="])
def test_what_is_no_answer_is_refused(tagbench: Tagbench, cover: str, measured: str) -> None:
    said = tagbench("edit", cover, "--measured", measured)
    assert (said.code, bool(said.err)) == (2, True)


def test_the_closing_is_not_held_up_by_it(tagbench: Tagbench, cover: str) -> None:
    """It is a question, no open line: once the screws are back nobody asks it."""
    tagbench("mark", cover, "degreased")
    tagbench("mark", cover, "reuse")
    tagbench("fit", cover)
    assert tagbench("count", "--json").json["questions"] == []
