"""What belongs to a part counts and sizes nothing: its slots, its place, what is at each of several
(common practice, no source)."""

from __future__ import annotations

from itertools import product

import pytest

from tagbench.trade.fasteners.parser.plain_places import tells_more
from tagbench.trade.fasteners.reading import read_fasteners
from tagbench.trade.fasteners.spelling import spell
from tests.every import every
from tests.trade.fasteners.test_bag_phrases import PHRASES

_KINDS = ("washer", "nut", "bolt", "spring", "spacer", "tab washer", "circlip")
_FEATURES = ("ears", "slots", "teeth", "tabs", "lugs", "holes", "grooves", "notches", "splines")


@every(list(product(_KINDS, _FEATURES, (" ", " with ", " w/ "), ("2", "three", "4"))))
def test_a_feature_counts_no_parts(row: tuple[str, str, str, str]) -> None:
    """A `washer 3 ears` is one washer, of no size, and what was said of it is kept."""
    kind, feature, joint, many = row
    (line,) = read_fasteners(f"{kind}{joint}{many} {feature}").lines
    assert (line.kind.split()[-1], line.quantity) == (kind.split()[-1], 1)
    assert line.diameter is line.length is line.thickness is None
    assert f"{many} {feature}" in line.words


@pytest.mark.parametrize(
    ("typed", "counts"),
    [
        ("fork legs each: 1 top bolt, 2 circlips", [{2, 1}, {4, 2}]),
        ("fork: per leg 1 circlip 30 int, 1 seal 30x42x10", [{2, 1}, {2, 1}]),
        ("brake shoes all 3 drums: 2 springs each, 1 pivot pin", [{6, 2}, {3, 1}]),
        ("4 bolts per wheel", [{8, 12, 16, 4}]),
        ("2 bolts each leg", [{4, 2}]),
        ("2 cups, 1 screw each", [{2, 1}]),
        ("bearing 6004 and circlip 42, same again other end", [{2, 1}, {2, 1}]),
        ("4 nuts M8, washers under all except the one by the plug", [{3, 4}]),
        ("4 nuts M7, 1 is M8", [{3, 4}]),
        ("brass shims, two a side", [{4, 2}]),
    ],
)
def test_what_is_at_each_of_several_is_asked(typed: str, counts: list[set[int]]) -> None:
    """The smaller number stands in the record until somebody has said how many there are."""
    asked = [
        choice for choice in read_fasteners(typed).asks if "count:" in choice.options[0].meaning
    ]
    told = [{int(one.meaning.removeprefix("count:")) for one in choice.options} for choice in asked]
    assert told == counts


@every([typed for typed, _ in PHRASES])
def test_a_place_says_only_where(typed: str) -> None:
    """What happened to a thing, or what it is not, stands among the words."""
    for line in read_fasteners(typed).lines:
        assert not any(map(tells_more, line.place.split(", ")))


_SHORT = ("springs and flats", "flats & springs", "plains and springs", "spring & flat washers")


@pytest.mark.parametrize(
    ("screws", "washers"),
    list(product(("4 bolts", "4 M6x20", "4x M5 pan", "4 1/4 UNF hex"), _SHORT)),
)
def test_flats_and_springs_are_washers(screws: str, washers: str) -> None:
    lines = read_fasteners(f"{screws}, {washers}").lines
    assert [line.kind for line in lines[1:]] == ["washer"]
    assert [line.quantity for line in lines] == [4, 4]
    assert any("spring" in lock for lock in lines[0].locking)


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("6 springs 6 cups, 4 corks 3 steels", [6, 6, 4, 3]),
        ("headlamp wiring 4 spade terms, 2 bullets", [4, 2]),
        ("bullet connectors 6, green", [6]),
        ("pawls 4 pins 4", [4, 4]),
        ("spade terminals 5, bullet ones 3", [5, 3]),
        ("spade terminals 2 red 1 black", [3]),
        ("3 arms screwed in, 3 knobs", [3, 3]),
        ("collar on countershaft 1 sq hd set screw 3/8-16", [1, 1]),
        ("5 M6 3 self tappers", [5, 3]),
    ],
)
def test_what_is_counted_is_a_thing(typed: str, told: list[int]) -> None:
    """No number of one thing is taken for the count or the size of another."""
    lines = read_fasteners(typed).lines
    assert [line.quantity for line in lines] == told
    assert all(line.diameter is None for line in lines)


@pytest.mark.parametrize(
    ("typed", "many", "thread"),
    [
        ("4 nuts M7 no wait M8", 4, "M8x1.25"),
        ("3 screws 2BA - no, 4, one was stuck to the magnet", 4, "2BA"),
        ("9 bolts M8, no 10, found one on the floor", 10, "M8x1.25"),
        ("4 screws 1/4-20, no make that 5/16-18", 4, "5/16-18 UNC"),
        ("1 grub M6x8, no 2 of them on top of each other", 2, "M6x1"),
        ("four M8 bolts, no tell a lie, five", 5, "M8x1.25"),
    ],
)
def test_what_was_taken_back_is_not_written_down(typed: str, many: int, thread: str) -> None:
    (line,) = read_fasteners(typed).lines
    assert (line.quantity, line.thread) == (many, thread)


@every(list(product(("axle nut", "spring", "4 bolts", "circlip"), ("csk", "pan", "hex", "cheese"))))
def test_what_is_counted_by_its_looks_is_another_thing(row: tuple[str, str]) -> None:
    """The screw of `axle nut, 1 csk screw` gives its head to no nut."""
    first, head = row
    for many, screws in ((1, f"1 {head} screw"), (2, f"2 {head} screws M5")):
        lines = read_fasteners(f"{first}, {screws}").lines
        assert [line.quantity for line in lines] == [4 if first[0] == "4" else 1, many]
        assert [bool(line.head) for line in lines] == [False, True]


@pytest.mark.parametrize("kind", ["seal", "spacer", "washer", "oil seal"])
def test_the_outside_of_a_ring_is_spelled_as_its_outside(kind: str) -> None:
    """No ring is `long`: what is read again is the outside again."""
    (line,) = read_fasteners(f"{kind} 3/4 OD").lines
    (again,) = read_fasteners(spell(line)).lines
    assert (line.length, line.diameter) == (again.length, again.diameter) == (0.75, None)
    assert "OD" in spell(line)
