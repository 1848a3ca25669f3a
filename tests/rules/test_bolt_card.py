"""Holes of a bolt card from where the fasteners sat."""

from __future__ import annotations

import pytest

from tagbench.errors import BadInput
from tagbench.records import Part
from tagbench.rules.bolt_card import card_holes, holes_in_words, other_holes
from tagbench.rules.places import clock_positions
from tagbench.rules.tag_text import part_tag_lines
from tagbench.trade.fasteners.text import parse_fasteners


def cover(fasteners: str) -> Part:
    """A cover held by these fasteners."""
    return Part(code="TP-017-7", name="Crankcase cover", fasteners=parse_fasteners(fasteners))


def test_each_clock_position_is_a_hole_with_its_screw() -> None:
    holes = card_holes(
        cover(
            "3x M6x1x45 hex (12, 4 and 8 o'clock); 2x M6x1x20 hex (half past 1 and 10:30 o'clock)"
        )
    )
    assert [hole.clock for hole in holes] == [0, 4, 8, 1.5, 10.5]
    assert {hole.screw for hole in holes} == {"M6x1x45 hex", "M6x1x20 hex"}


def test_measured_places_are_holes_in_millimetres() -> None:
    holes = card_holes(cover("2x M6x1x45 hex (0 0 and 40.5 12)"))
    assert [hole.at_mm for hole in holes] == [(0, 0), (40.5, 12)]


def test_fewer_positions_than_screws_are_refused_with_both_numbers() -> None:
    with pytest.raises(BadInput, match=r"There are 3 of .* names 2 positions"):
        card_holes(cover("3x M6x1x45 hex (12 and 6 o'clock)"))


def test_without_any_place_the_way_out_is_named() -> None:
    with pytest.raises(BadInput, match="name each hole"):
        card_holes(cover("3x M6x1x45 hex"))


@pytest.mark.parametrize(
    ("text", "positions"),
    [
        ("long one at 6 o'clock", ["6"]),
        ("12, 4 and 8 o’clock", ["12", "4", "8"]),
        ("2 o'clock and 10 o'clock", ["2", "10"]),
        ("half past 4 o'clock", ["half past 4"]),
        ("upper left", []),
    ],
)
def test_clock_positions_are_found_in_what_people_write(text: str, positions: list[str]) -> None:
    assert clock_positions(text) == positions


def test_the_screws_of_all_other_holes_are_named_beside_the_card() -> None:
    part = cover("M6 hex: 2x45 at 12 and 6, 3x25 else")
    assert [hole.clock for hole in card_holes(part)] == [0, 6]
    assert other_holes(part) == "all other holes: 3 × M6x1x25 hex"
    assert holes_in_words(part) == [
        "12 o'clock: M6x1x45 hex",
        "6 o'clock: M6x1x45 hex",
        "all other holes: 3 × M6x1x25 hex",
    ]


def test_long_and_short_tell_screws_apart_while_nobody_has_measured_them() -> None:
    assert holes_in_words(cover("2 long at 12 and 6, 3 short else")) == [
        "12 o'clock: long screw",
        "6 o'clock: long screw",
        "all other holes: 3 × short screw",
    ]


def test_holes_stand_round_the_clock_whatever_line_they_are_of() -> None:
    said = holes_in_words(cover("M6: 65 at 8, 40 at 4, 5 and 7, 25 at 1, 2, 10 and 11"))
    assert [one.split(" ")[0] for one in said] == ["1", "2", "4", "5", "7", "8", "10", "11"]


def test_one_sort_of_screw_alone_cannot_be_mixed_up() -> None:
    assert holes_in_words(cover("4x M6x20 at 12, 3, 6 and 9")) == []


def test_the_tag_of_a_part_says_which_screw_where() -> None:
    (line,) = part_tag_lines(cover("M6: 2x45 at 12 and 6, 3x25 else"))
    assert line.text == "2x M6x1x45 (12 and 6 o'clock); 3x M6x1x25 (all other holes)"
