"""Tightening orders: common practice, no source; checked for what makes them good."""

from itertools import pairwise
from math import cos, hypot, sin, tau

import pytest
from hypothesis import given, strategies as st

from labels.boltcard.tightening import (
    Point,
    circle_through,
    spiral_order,
    star_order,
    tightening_order,
)


def circle(count: int, radius: float = 40.0, start: float = 0.0) -> list[Point]:
    """Clockwise from the top."""
    turns = [tau * (at / count) + start for at in range(count)]
    return [(radius * sin(turn), -radius * cos(turn)) for turn in turns]


@pytest.mark.parametrize(
    ("count", "order"),
    [
        (0, []),
        (1, [1]),
        (2, [1, 2]),
        (3, [1, 2, 3]),
        (4, [1, 3, 2, 4]),
        (5, [1, 3, 5, 2, 4]),
        (6, [1, 4, 2, 5, 3, 6]),
        (8, [1, 5, 3, 7, 2, 6, 4, 8]),
        (12, [1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12]),
        (16, [1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16]),
    ],
)
def test_the_star_is_the_one_used_in_workshops(count: int, order: list[int]) -> None:
    """Cross patterns as commonly printed for flanges and wheels (from memory, no source)."""
    assert [place + 1 for place in star_order(count)] == order


@given(st.integers(1, 64))
def test_a_star_takes_every_place_once(count: int) -> None:
    assert sorted(star_order(count)) == list(range(count))


@given(st.integers(2, 32))
def test_in_an_even_star_each_pair_stands_opposite(half: int) -> None:
    order = star_order(2 * half)
    for first, second in zip(order[::2], order[1::2], strict=True):
        assert abs(first - second) == half


@given(st.integers(2, 24))
def test_neighbours_in_an_odd_star_are_far_apart(half: int) -> None:
    count = 2 * half + 1
    for first, second in pairwise(star_order(count)):
        apart = abs(first - second)
        assert min(apart, count - apart) >= half - 1


def test_fewer_than_none_is_refused() -> None:
    with pytest.raises(ValueError, match="fewer than no"):
        star_order(-1)


@pytest.mark.parametrize("columns", [2, 3, 4, 5, 6])
@pytest.mark.parametrize("rows", [2, 3])
def test_rows_are_tightened_from_the_middle_outwards(columns: int, rows: int) -> None:
    points = [(30.0 * x, 45.0 * y) for y in range(rows) for x in range(columns)]
    order = spiral_order(points)
    assert sorted(order) == list(range(columns * rows))
    middle = (15.0 * (columns - 1), 22.5 * (rows - 1))
    far = [hypot(points[at][0] - middle[0], points[at][1] - middle[1]) for at in order]
    assert all(later >= sooner * 0.97 for sooner, later in pairwise(far))


def test_a_cylinder_head_of_ten_starts_with_the_middle_pair_and_ends_at_the_corners() -> None:
    """Ten in two rows: the inside-out order usual for such heads (common practice, no source)."""
    points = [(20.0 * x, 70.0 * y) for y in range(2) for x in range(5)]
    order = [at + 1 for at in spiral_order(points)]
    assert set(order[:2]) == {3, 8}
    assert set(order[2:6]) == {2, 4, 7, 9}
    assert set(order[6:]) == {1, 5, 6, 10}
    for first, second in zip(order[::2], order[1::2], strict=True):
        assert points[first - 1][1] != points[second - 1][1]


@given(st.integers(3, 24), st.floats(0.1, 500), st.floats(0, 6))
def test_points_on_a_circle_get_a_star(count: int, radius: float, start: float) -> None:
    points = circle(count, radius, start)
    assert circle_through(points) is not None
    order = tightening_order(points)
    places = [order.index(at) for at in range(count)]
    assert sorted(places) == list(range(count))
    if count % 2 == 0:
        for first, second in zip(order[::2], order[1::2], strict=True):
            assert abs(first - second) == count // 2


def test_a_circle_is_counted_clockwise_from_the_top() -> None:
    assert tightening_order(circle(8)) == star_order(8)


@pytest.mark.parametrize(
    "points", [[(0.0, 0.0)], [(0.0, 0.0), (9.0, 0.0)], [(5.0 * x, 0.0) for x in range(5)]]
)
def test_what_is_no_circle_is_tightened_inside_out(points: list[Point]) -> None:
    assert circle_through(points) is None
    assert tightening_order(points) == spiral_order(points)
    assert spiral_order([]) == []


def test_unevenly_spaced_holes_on_a_circle_get_a_star_too() -> None:
    """12, 2, 4, 8 and 10 o'clock: no two neighbours are tightened one after the other."""
    clock = [0, 4, 8, 2, 10]
    points = [(50 + 40 * sin(tau * h / 12), 30 - 40 * cos(tau * h / 12)) for h in clock]
    order = [clock[at] for at in tightening_order(points)]
    assert order == [0, 4, 10, 2, 8]


def test_holes_on_half_a_circle_are_no_circle() -> None:
    points = [(cos(turn), sin(turn)) for turn in (0.0, 0.5, 1.0, 1.5)]
    assert circle_through(points) is None
