"""Belts and float height: geometry recomputed another way; their shares and spans are memory."""

from __future__ import annotations

from math import acos, atan, degrees, hypot, pi, radians, tan

import pytest
from hypothesis import given, strategies as st

from tagbench.errors import BadInput
from tagbench.trade.wear.belt import DEFLECTION_MM_PER_M, LOST_PERCENT, belt_run, belt_wear
from tagbench.trade.wear.float_height import float_height
from tagbench.trade.wear.usual import usual_figures


def _length_by_points(large: float, small: float, centres: float) -> float:
    """The belt as a polygon round both pulleys, from the tangent points by coordinates."""
    lean = acos((large - small) / (2 * centres))  # angle of the tangent point from the centre line
    total = 2 * hypot(
        centres - (large - small) / 2 * (large - small) / (2 * centres),
        (large - small) / 2 * (1 - ((large - small) / (2 * centres)) ** 2) ** 0.5,
    )
    return total + (2 * pi - 2 * lean) * large / 2 + 2 * lean * small / 2


@given(st.floats(40, 300), st.floats(20, 300), st.floats(1.05, 6))
def test_a_belt_is_as_long_as_its_path(large: float, small: float, apart: float) -> None:
    """Two tangents and two arcs, from the points where they meet."""
    wide, narrow = max(large, small), min(large, small)
    centres = apart * (wide + narrow) / 2
    run = belt_run(large, small, centres)
    assert run.length_mm == pytest.approx(_length_by_points(wide, narrow, centres), rel=1e-9)
    approximate = 2 * centres + pi * (wide + narrow) / 2 + (wide - narrow) ** 2 / (4 * centres)
    assert run.length_mm == pytest.approx(approximate, rel=0.02)  # the handbook's short formula


def test_equal_pulleys_have_straight_spans_and_half_turns() -> None:
    run = belt_run(100, 100, 300)
    assert run.length_mm == pytest.approx(600 + 100 * pi)
    assert (run.span_mm, run.wrap_deg) == (300, 180)
    assert run.deflection_mm == pytest.approx((4.2, 5.4))
    assert "from memory" in run.sentence
    assert "maker's figure takes precedence" in run.sentence


def test_the_looked_up_and_the_worked_out_figures_are_one() -> None:
    """The table's deflection and the module's are the same figures."""
    (tension,) = (one for one in usual_figures("belt") if one.case == "V-belt tension")
    assert (tension.low, tension.high) == DEFLECTION_MM_PER_M
    assert tension.source == "memory"


@pytest.mark.parametrize(
    ("now", "verdict"), [(17.0, "good"), (16.4, "good"), (16.2, "marginal"), (15.9, "worn")]
)
def test_a_belt_by_its_width(now: float, verdict: str) -> None:
    """17 mm when new: 5 % from memory is 16.15 mm; a caliper on rubber is off by 0.1 mm."""
    worn = belt_wear(17, now)
    assert worn.verdict == verdict
    assert worn.limit_mm == pytest.approx(17 * (1 - LOST_PERCENT / 100))
    assert worn.sinks_mm == pytest.approx((17 - now) / 2 / tan(radians(19)))


def test_the_makers_width_goes_before_the_share() -> None:
    assert belt_wear(17, 16, limit_mm=15.5).verdict == "good"
    assert "the maker's limit" in belt_wear(17, 16, limit_mm=15.5).sentence
    assert "from memory" in belt_wear(17, 16).sentence


@pytest.mark.parametrize(
    ("new", "now", "limit"), [(0, 10, None), (17, 0, None), (17, 20, None), (17, 16, 18)]
)
def test_widths_that_cannot_be(new: float, now: float, limit: float | None) -> None:
    with pytest.raises(BadInput, match="width"):
        belt_wear(new, now, limit)


def test_pulleys_that_touch() -> None:
    with pytest.raises(BadInput, match="centres"):
        belt_run(120, 60, 90)


@pytest.mark.parametrize(
    ("height", "level", "off"),
    [(21, "right", 0), (24, "low", 2), (17.5, "high", -2.5), (22.1, "unsure", 0.1)],
)
def test_a_float_against_its_range(height: float, level: str, off: float) -> None:
    """A larger height shuts the needle at a lower level (from memory)."""
    found = float_height(height, 20, 22)
    assert found.level == level
    assert found.off_mm == pytest.approx(off)
    assert "maker's figure takes precedence" in found.sentence


def test_the_tongue_is_bent_by_the_share_of_the_arms() -> None:
    """3 mm at 35 mm from the pin are 0.686 mm at 8 mm: the same small angle."""
    found = float_height(24, 20, 22, (35, 8))
    assert found.bend_mm == pytest.approx(3 * 8 / 35)
    angle = degrees(atan(3 / 35))
    assert found.bend_mm == pytest.approx(8 * tan(radians(angle)))
    assert "0.69 mm" in found.sentence


def test_a_single_figure_is_a_range_of_one() -> None:
    assert float_height(21, 21, 21).level == "right"
    assert float_height(21.5, 21, 21).level == "low"


@pytest.mark.parametrize(
    ("figures", "arms"), [((0, 20, 22), None), ((21, 22, 20), None), ((21, 20, 22), (8, 35))]
)
def test_floats_that_cannot_be(
    figures: tuple[float, float, float], arms: tuple[float, float] | None
) -> None:
    with pytest.raises(BadInput):
        float_height(*figures, arms)
