"""Twins name each other, mirror their words, and are never mixed up in a sentence."""

from __future__ import annotations

import pytest

from tagbench.errors import BadInput, Refused
from tagbench.records import Part, replace
from tagbench.rules.describe.phrases import counted, named, titled
from tagbench.rules.stripping.same_again import mirrored, on_the_other_side, other_side
from tagbench.rules.twins import linked
from tagbench.trade.fasteners.text import parse_fasteners

LEFT = Part(code="TP-017-7", name="Wheel cylinder", position="left")
RIGHT = Part(code="TP-018-5", name="Wheel cylinder", position="right")


def test_each_of_two_twins_names_the_other_and_says_its_side() -> None:
    left, right = linked(LEFT, RIGHT)
    assert (left.twin, right.twin) == (right.code, left.code)
    assert named(left) == "Wheel cylinder, left TP-017-7"
    assert counted(right) == titled(right) == "Wheel cylinder, right"


@pytest.mark.parametrize(
    ("one", "other", "error"),
    [
        (LEFT, LEFT, Refused),
        (LEFT, replace(RIGHT, position="left"), BadInput),
        (LEFT, replace(RIGHT, position=""), BadInput),
        (LEFT, replace(RIGHT, code="ZZ-018-5"), Refused),
        (replace(LEFT, twin="TP-019-3"), RIGHT, Refused),
    ],
)
def test_what_cannot_be_twins_is_refused(one: Part, other: Part, error: type[Exception]) -> None:
    with pytest.raises(error):
        linked(one, other)


@pytest.mark.parametrize(
    ("text", "position", "other"),
    [
        ("Nipple up, long leg to the left", "left", "Nipple up, long leg to the right"),
        ("peg at 2 o'clock", "left", "peg at 10 o'clock"),
        ("12, 4 and 8 o'clock", "right", "12, 8 and 4 o'clock"),
        ("mark at half past 4 o'clock", "left", "mark at half past 7 o'clock"),
        ("mark at 4:20 o'clock", "left", "mark at 7:40 o'clock"),
        ("turns clockwise", "rear left", "turns anticlockwise"),
        ("Left-hand thread, seen from the left", "left", "Left-hand thread, seen from the right"),
        ("front edge up", "left", "front edge up"),
        ("mark at 2 o'clock, above the pin", "upper", "mark at 4 o'clock, below the pin"),
        ("LH side cover", "left", "RH side cover"),
        ("left", "", "left"),
        ("bright steel, rightly marked", "left", "bright steel, rightly marked"),
    ],
)
def test_words_are_mirrored_and_nothing_else(text: str, position: str, other: str) -> None:
    assert mirrored(text, position) == other
    assert mirrored(other, other_side(position)) == text


def test_the_other_side_begins_with_fresh_fasteners_in_mirrored_holes() -> None:
    (line,) = parse_fasteners("2x M6x20 (3 o'clock and left)")
    part = replace(LEFT, fasteners=(replace(line, back=2, torqued=9.0),))
    other = on_the_other_side(part)
    assert other.position == "right"
    assert other.fasteners[0].place == "9 o'clock and right"
    assert (other.fasteners[0].back, other.fasteners[0].torqued) == (0, None)
