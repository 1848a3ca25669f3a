"""Holes placed by their distances from one another."""

from itertools import combinations
from math import cos, dist, sin, tau

import pytest
from hypothesis import given, settings, strategies as st

from labels.boltcard.distances import parse_distances, solve_holes
from labels.errors import CardError
from tests.examples import examples

COVER = ((0, 0), (0, 62), (55, 80), (112, 64), (118, 8), (60, -12))
"""Six holes of an invented crankcase cover, mm right and up, clockwise."""


def between(points: tuple[tuple[float, float], ...]) -> dict[tuple[int, int], float]:
    return {
        pair: dist(points[pair[0]], points[pair[1]]) for pair in combinations(range(len(points)), 2)
    }


def test_three_holes_follow_from_three_distances() -> None:
    """The 3-4-5 triangle (Euclid, Elements I.48): a right angle at A; letters clockwise."""
    found = solve_holes(3, parse_distances("A-B 80; A-C 60; B-C 100", 3))
    (ax, ay), (bx, by), (cx, cy) = found.points
    assert (ax, ay) == pytest.approx((0, 0), abs=1e-6)
    assert (bx, by) == pytest.approx((80, 0), abs=1e-6)
    assert (cx, cy) == pytest.approx((0, -60), abs=1e-6)
    assert found.residual_mm < 1e-6
    assert found.words == "The distances agree within 0.1 mm."


def test_a_cover_is_found_from_three_distances_a_hole() -> None:
    """All fifteen distances, and only three or four for each hole."""
    every = between(COVER)
    few = {
        pair: every[pair]
        for pair in (
            (0, 1),
            (0, 2),
            (1, 2),
            (0, 3),
            (1, 3),
            (2, 3),
            (0, 4),
            (3, 4),
            (1, 4),
            (0, 5),
            (4, 5),
            (2, 5),
        )
    }
    for given_ in (every, few):
        found = solve_holes(6, given_)
        for pair, long in every.items():
            assert dist(found.points[pair[0]], found.points[pair[1]]) == pytest.approx(
                long, abs=1e-3
            )


def test_small_slips_of_the_rule_are_shared_out_and_told() -> None:
    """Measured to half a millimetre: the places are right to 0.5 mm and the residual is said."""
    rough = {pair: round(2 * long) / 2 for pair, long in between(COVER).items()}
    found = solve_holes(6, rough)
    for pair, long in between(COVER).items():
        assert dist(found.points[pair[0]], found.points[pair[1]]) == pytest.approx(long, abs=0.5)
    assert 0 < found.residual_mm < 0.3
    assert "agree within" in found.words and "worst" in found.words


def test_a_mistyped_distance_is_named() -> None:
    """B-E as 123 instead of 132 or so."""
    wrong = between(COVER)
    wrong[1, 4] -= 12
    with pytest.raises(CardError, match=r"cannot all be true: B-E was measured as"):
        solve_holes(6, wrong)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("A-B", "“A-B” is not a distance"),
        ("A-B 10; A-Z 4", "There is no hole Z; there are A to D"),
        ("A-A 10", "names one hole twice"),
        ("A-B 0", "must be above zero"),
        ("A-B 10; B-A 11", "given twice, and not alike"),
        ("A-B 10; A-C 10; B-C 10", "Hole A has 2 distances and needs 3; measure it from 1 more"),
        ("A-B 10; A-C 10; A-D 10; B-C 10; B-D 10", "Hole C has 2 distances"),
    ],
)
def test_what_is_missing_or_wrong_is_said(typed: str, said: str) -> None:
    with pytest.raises(CardError, match=said):
        solve_holes(4, parse_distances(typed, 4))


def test_two_holes_are_too_few() -> None:
    with pytest.raises(CardError, match="three holes or more"):
        solve_holes(2, {(0, 1): 10.0})


@given(
    st.lists(st.tuples(st.floats(0.5, 1.0), st.floats(-0.3, 0.3)), min_size=4, max_size=9),
    st.floats(40, 150),
)
@settings(max_examples=examples(25), deadline=None)
def test_any_ring_of_holes_is_found_again(bends: list[tuple[float, float]], radius: float) -> None:
    """From all its distances, whatever its shape, mirrored or not: letters clockwise."""
    count = len(bends)
    points = tuple(
        (
            radius * reach * sin(tau * (at + shift) / count),
            radius * reach * cos(tau * (at + shift) / count),
        )
        for at, (reach, shift) in enumerate(bends)
    )
    found = solve_holes(count, between(points))
    for pair, long in between(points).items():
        assert dist(found.points[pair[0]], found.points[pair[1]]) == pytest.approx(long, abs=1e-2)
