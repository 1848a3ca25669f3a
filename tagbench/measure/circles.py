"""A circle through points."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tagbench.measure.solver import Array, soften, solve


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle fitted to points."""

    x: float
    y: float
    radius: float
    spread: float
    """How far the points are from it, root mean square."""
    worst: float
    """The 95th percentile of that distance."""


def fit_circle(points: Array) -> Circle:
    """The circle with the least distances to the points, few wild ones hardly counting."""
    middle = points.mean(axis=0)
    moved = points - middle
    system = np.column_stack((2 * moved, np.ones(len(moved))))
    x, y, rest = np.linalg.lstsq(system, (moved**2).sum(axis=1), rcond=None)[0]
    start = np.array((x, y, np.sqrt(max(rest + x * x + y * y, 1e-12))))

    def off(values: Array) -> Array:
        return np.asarray(np.linalg.norm(moved - values[:2], axis=1) - values[2])

    scale = max(0.02, 1.4826 * float(np.median(np.abs(off(start)))))
    best, _ = solve(lambda v: soften(off(v) / scale, 1.5), start, np.full(3, 1e-5), rounds=15)
    apart = np.abs(off(best))
    return Circle(
        float(best[0] + middle[0]), float(best[1] + middle[1]), float(abs(best[2])),
        float(np.sqrt(np.mean(apart**2))), float(np.percentile(apart, 95)),
    )  # fmt: skip
