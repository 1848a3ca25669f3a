"""Several readings typed in one go, levels, levers, castle nuts: read as people type."""

from __future__ import annotations

import pytest

from tagbench.errors import BadInput
from tagbench.trade.quantities.lengths import parse_lengths
from tagbench.trade.torque.castle_nut import parse_castle_nut
from tagbench.trade.torque.lever import lever_words, parse_lever
from tagbench.trade.wear.bore import parse_levels, roundness


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("4.95mm", [(4.95, "mm")]),
        ("4.95", [(4.95, "mm")]),
        ("4,95 4,96", [(4.95, "mm"), (4.96, "mm")]),
        ("4.95, 4.96 and 4.97 mm", [(4.95, "mm"), (4.96, "mm"), (4.97, "mm")]),
        ("0.248 in; 0.249 in", [(0.248, "in"), (0.249, "in")]),
        ("0.248 0.249 in", [(0.248, "in"), (0.249, "in")]),
        ("1 1/4 in", [(1.25, "in")]),
        ("4.94 - 4.96 mm", [(4.94, "mm"), (4.96, "mm")]),
        ("4.95 ± 0.01 mm", [(4.94, "mm"), (4.96, "mm")]),
        ("4.9 mm 0.195 in", [(4.9, "mm"), (0.195, "in")]),
    ],
)
def test_readings_as_people_type_them(text: str, expected: list[tuple[float, str]]) -> None:
    """A unit at the end goes for all before it."""
    assert [(float(one.value), one.unit) for one in parse_lengths(text)] == expected


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "Type what was measured"),
        (" ; ", "Type what was measured"),
        ("-5 mm", "negative"),
        ("5 lbf", "not understood"),
        ("1/4", "1/4 in"),
        ("1 " * 300, "300 readings"),
    ],
)
def test_what_is_no_reading_is_refused(text: str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        parse_lengths(text)


def test_a_fraction_is_taken_where_inches_are_usual() -> None:
    """Without a unit it is only a fraction of a millimetre by mistake."""
    assert parse_lengths("1/4", "in")[0].number("mm") == 6.35


def test_levels_of_a_bore() -> None:
    """Each with its name; `top: 52.03 52.05 mm` too."""
    levels = parse_levels(["top: 52.03 52.05 mm", "bottom 52.01 52.00 mm"])
    assert roundness(levels).taper == 0.05
    for bad in (["52.03 52.05"], ["top"], ["top 1", "top 2"], ["top -3"]):
        with pytest.raises(BadInput):
            parse_levels(bad)


@pytest.mark.parametrize(
    ("wrench", "extension", "angle", "words"),
    [
        ("10in", "4in", "", "10 in wrench with a 4 in extension straight on"),
        ("10", "4 in", "", "10 in wrench with a 4 in extension straight on"),
        ("300", "50", "90", "300 mm wrench with a 50 mm extension square to it"),
        ("300 mm", "5 cm", "45°", "300 mm wrench with a 5 cm extension at 45°"),
        ("300 mm", "50 mm", "back", "300 mm wrench with a 50 mm extension folded back"),
        ("300 mm", "", "", "300 mm wrench"),
    ],
)
def test_a_lever_as_people_type_it(wrench: str, extension: str, angle: str, words: str) -> None:
    lever = parse_lever(wrench, extension, angle)
    assert lever is not None
    assert lever_words(lever) == words


@pytest.mark.parametrize(
    ("wrench", "extension", "angle", "says"),
    [
        ("", "50 mm", "", "how long the wrench is"),
        ("300 mm", "", "90", "goes with an extension"),
        ("300 mm", "50 mm", "north", "not an angle"),
        ("300 mm", "50 mm", "190", "between 0"),
        ("300 mm", "-50 mm", "", "negative"),
        ("long", "50 mm", "", "not understood"),
    ],
)
def test_half_a_lever_is_refused(wrench: str, extension: str, angle: str, says: str) -> None:
    assert parse_lever("", " ", "") is None
    with pytest.raises(BadInput, match=says):
        parse_lever(wrench, extension, angle)


@pytest.mark.parametrize(
    ("text", "thread", "slots", "holes"),
    [
        ("M12x1.25", "M12x1.25", 6, 1),
        ("6 slots", "", 6, 1),
        ("8", "", 8, 1),
        ("3/8-24, 6 slots, 2 holes", "3/8-24 UNF", 6, 2),
        ("10-slot M42x3 two cross-holes", "M42x3", 10, 2),
    ],
)
def test_a_castle_nut_as_people_say_it(text: str, thread: str, slots: int, holes: int) -> None:
    said = parse_castle_nut(text)
    assert (said.thread.designation if said.thread else "") == thread
    assert (said.slots, said.cross_holes) == (slots, holes)


def test_what_is_no_castle_nut_is_refused() -> None:
    with pytest.raises(BadInput, match="not a castle nut"):
        parse_castle_nut("banana")
