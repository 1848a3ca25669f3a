"""The outline of a solid moves with its figures as its slopes say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tagbench.measure.lay.solid import Eye, Shape, Solid, off_and_slopes, off_outline
from tagbench.measure.solver import Array, soften, softened_slope, solve

EYE: Eye = (60.0, -30.0, 380.0)
NAMES = ("x", "y", "turn", "length", "radius", "chamfer", "half", "high", "fall", "straight", "top")
STEP = 1e-5


def a_solid(shape: Shape) -> Solid:
    """An M6 of 25 mm."""
    wide = 0.0 if shape == "stud" else 5.5
    return Solid(shape, 10, 20, 0.4, 25, 3, 0.5, wide, 4, 0.5, 0.7, fall=0.01)


@pytest.mark.parametrize("shape", ["stud", "round", "hex", "countersunk"])
@pytest.mark.parametrize("eye", [EYE, None])
def test_slopes_are_what_a_small_change_makes(shape: Shape, eye: Eye | None) -> None:
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
