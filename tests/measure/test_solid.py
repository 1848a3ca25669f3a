"""The outline of a solid moves with its figures as its slopes say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tagbench.measure.lay.solid import Eye, Solid, SolidShape, off_and_slopes, off_outline
from tagbench.measure.lay.solid_fit import Fitted, fit_solid, posed, refit
from tagbench.measure.solver import Array, soften, softened_slope, solve

EYE: Eye = (60.0, -30.0, 380.0)
LOW: Eye = (200.0, -170.0, 380.0)
"""35 degrees from straight above, where the tip of what is laid below points."""
NAMES = ("x", "y", "turn", "length", "radius", "chamfer", "half", "high", "fall", "straight", "top")
STEP = 1e-5


def a_solid(shape: SolidShape) -> Solid:
    """An M6 of 25 mm."""
    wide = 0.0 if shape == "stud" else 5.5
    return Solid(shape, 10, 20, 0.4, 25, 3, 0.5, wide, 4, 0.5, 0.7, fall=0.01)


@pytest.mark.parametrize("shape", ["stud", "round", "hex", "countersunk"])
@pytest.mark.parametrize("eye", [EYE, None])
def test_slopes_are_what_a_small_change_makes(shape: SolidShape, eye: Eye | None) -> None:
    """Beside the outline, where the next corner or side takes over in few places only."""
    solid = a_solid(shape)
    corners = np.concatenate(solid.outline(eye))
    points = corners + np.random.default_rng(1).normal(0, 0.1, corners.shape)
    others = [replace(solid, **{name: getattr(solid, name) + STEP}) for name in NAMES]
    off, slopes = off_and_slopes(points, solid, others, np.full(len(NAMES), STEP), eye)
    assert np.array_equal(off, off_outline(points, solid.outline(eye)))
    changed = [(off_outline(points, one.outline(eye)) - off) / STEP for one in others]
    apart = np.abs(slopes - np.transpose(changed))
    assert np.percentile(apart, 99) < 2e-3
    assert np.abs(slopes).max() > 0.9


def test_a_search_with_slopes_ends_where_one_without_does() -> None:
    """A line through points of which one is wild, by a loss that is softened."""
    x = np.linspace(0, 1, 30)
    y = 2 * x + 1 + 0.01 * np.sin(40 * x)
    y[7] += 5

    def off(at: Array) -> Array:
        return np.asarray((at[0] * x + at[1] - y) / 0.01)

    def slopes(at: Array) -> Array:
        return softened_slope(off(at))[:, None] * np.column_stack((x, np.ones(30))) / 0.01

    start, steps = np.array((1.9, 1.05)), np.full(2, 1e-6)
    by_slopes, _ = solve(lambda at: soften(off(at)), start, steps, slopes=slopes)
    by_steps, _ = solve(lambda at: soften(off(at)), start, steps)
    assert np.allclose(by_slopes, (2, 1), atol=0.02)
    assert np.allclose(by_slopes, by_steps, atol=1e-4)


def around(solid: Solid, eye: Eye = EYE) -> Array:
    """Points of a solid's outline every 0.2 mm, in their order."""
    hulls = solid.outline(eye)
    points = []
    for number, hull in enumerate(hulls):
        after = np.roll(hull, -1, axis=0)
        sides = [
            one + (other - one) * np.linspace(0, 1, 2 + int(5 * np.hypot(*(other - one))))[:, None]
            for one, other in zip(hull, after, strict=True)
        ]
        line = np.concatenate(sides)
        others = hulls[:number] + hulls[number + 1 :]
        points.append(line[off_outline(line, others) >= 0] if others else line)
    every = np.concatenate(points)
    turns = np.arctan2(*(every - every.mean(axis=0)).T)
    return np.asarray(every[np.argsort(turns)])


@pytest.mark.parametrize("shape", ["stud", "hex", "round", "countersunk"])
def test_a_thread_on_a_plain_shank_is_no_axis_that_falls(shape: SolidShape) -> None:
    """The mean of a thread's edge lies 0.11 mm under its plain shank; the length is the right one
    all the same, and so it is where a bright end looks like paper."""
    wide = {"stud": 0.0, "hex": 5.77, "round": 5.0, "countersunk": 5.6}[shape]
    high = 2.65 if shape == "countersunk" else 4.0
    top = 0.86 if shape == "hex" else 0.95
    laid = Solid(shape, 10, 20, 0.4, 50, 2.95, 0.55, wide, high, 0.9, top, plain=26, drop=0.11)
    points = around(laid)
    found = refit(fit_solid(points, EYE), points, EYE)[0].solid
    assert found.shape == shape
    assert abs(found.length - 50) < 0.1
    assert abs(found.plain - 26) < 1.5 or abs(50 - found.plain - 26) < 1.5
    assert abs(found.drop - 0.11) < 0.03
    way = np.array((np.cos(laid.turn), np.sin(laid.turn)))
    across = (points - (laid.x, laid.y)) @ (-way[1], way[0])
    end = ((points - (laid.x, laid.y)) @ way > 24.2) & (across > 0.3)
    bitten = points - end[:, None] * 0.5 * way
    found = refit(fit_solid(bitten, EYE), bitten, EYE)[0].solid
    assert abs(found.length - 50) < 0.2


@pytest.mark.parametrize("shape", ["hex", "round", "countersunk"])
@pytest.mark.parametrize("falls", [True, False])
@pytest.mark.parametrize("found", ["as it lies", "otherwise"])
def test_what_lies_level_is_told_from_what_rests_on_head_and_tip(
    shape: SolidShape, falls: bool, found: str
) -> None:
    """Seen along its axis at 35 degrees, 1.5 mm of length hang on it: both ways are tried,
    whichever was found first, and the right one is told."""
    high = 2.87 if shape == "countersunk" else 4.0
    rests = Solid(shape, 10, 20, -0.8, 30, 2.9, 0.5, 5.77, high, 0.7, 0.86)
    level = replace(rests, fall=-rests.tilt)
    laid, other = (rests, level) if falls else (level, rests)
    points = around(laid, LOW)
    first = laid if found == "as it lies" else other
    spread = float(np.minimum(np.abs(off_outline(points, first.outline(LOW))), 0.4).mean())
    told, apart = posed(Fitted(first, spread, 0.0, {}), points, LOW)
    assert abs(told.solid.fall - laid.fall) < 0.01
    assert abs(told.solid.length - 30) < 0.1
    assert apart < 0.1
    assert told.spread < 0.02


def test_a_stud_has_but_one_pose() -> None:
    """It lies on its shank, whatever its outline."""
    stud = a_solid("stud")
    one = Fitted(stud, 0.01, 0.0, {})
    assert posed(one, around(stud), EYE) == (one, 0.0)
