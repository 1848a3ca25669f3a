"""Stacks keep their order from a named side, and say what they measure."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from tagbench.errors import BadInput
from tagbench.records import Part, Stack, StackPiece
from tagbench.rules.stacks import (
    going_on_lines,
    read_stack,
    spell_stack,
    thickness,
    with_stack,
)

PART = Part(code="TP-017-7", name="Clutch")


def test_what_came_off_first_goes_on_last_with_the_measured_sum() -> None:
    part = with_stack(PART, "from the nut: shim 0.3; 2x friction plate 3; thrust washer 1,5 mm")
    assert going_on_lines(part) == [
        "1. thrust washer 1.5 mm",
        "2. 2 × friction plate 3 mm",
        "3. shim 0.3 mm",
        "7.8 mm together; the nut side is last",
    ]


def test_a_side_that_is_innermost_goes_on_after() -> None:
    part = with_stack(PART, "from the crankcase outwards: shim 0.3, gear 12, circlip 1.2")
    assert [line.split(". ")[0] for line in going_on_lines(part)[:3]] == ["1", "2", "3"]
    assert going_on_lines(part)[0] == "1. shim 0.3 mm"
    assert going_on_lines(part)[-1] == "13.5 mm together; the crankcase side is first"


def test_rollers_lie_beside_one_another_and_add_nothing() -> None:
    stack = read_stack("from the nut: 24 needle rollers 3; washer 1; spacer 4.5")
    assert thickness(stack).thickness_mm == 5.5


def test_what_nobody_measured_is_named_and_never_taken_for_nothing() -> None:
    stack = read_stack("from the nut: shim 0.3; thrust washer; plate 2")
    assert thickness(stack).words == "2.3 mm without the thrust washer, which is not measured"


def test_inches_are_turned_into_millimetres_exactly() -> None:
    """1 in = 25.4 mm exactly (international yard, 1959)."""
    stack = read_stack("from the nut: shim 0.010 in; plate 1/8 in")
    assert [piece.thickness_mm for piece in stack.pieces] == [0.254, 3.175]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("shim 0.3; plate 2", "from which side"),
        ("from the nut: shim 0.3", "two pieces or more"),
        ("from the nut: shim 0.3; 2.0", "not a piece of a stack"),
        ("from the nut: shim 0; plate 2", "cannot be"),
    ],
)
def test_what_is_no_stack_is_refused_in_a_sentence(text: str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        with_stack(PART, text)


PIECES = st.builds(
    StackPiece,
    what=st.sampled_from(["shim", "lined plate", "needle rollers", "thrust washer"]),
    quantity=st.integers(1, 30),
    thickness_mm=st.none() | st.integers(1, 900).map(lambda hundredths: hundredths / 100),
)


@given(st.lists(PIECES, min_size=2, max_size=9), st.sampled_from(["last", "first"]))
def test_every_stack_is_read_back_as_it_is_spelled(pieces: list[StackPiece], first: str) -> None:
    stack = Stack(side="flywheel", pieces=tuple(pieces), first_on=first)  # type: ignore[arg-type]
    assert read_stack(spell_stack(stack)) == stack


@given(st.lists(PIECES, min_size=2, max_size=9))
def test_the_sum_is_that_of_whole_hundredths(pieces: list[StackPiece]) -> None:
    """Counted in hundredths of a millimetre as whole numbers, by hand."""
    solid = [one for one in pieces if "roller" not in one.what and one.thickness_mm]
    by_hand = sum(round((one.thickness_mm or 0) * 100) * one.quantity for one in solid)
    assert round(thickness(Stack(side="nut", pieces=tuple(pieces))).thickness_mm * 100) == by_hand
