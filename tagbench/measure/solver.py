"""Least squares by Levenberg and Marquardt, small and dense, with numeric derivatives."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[Any]
"""Numbers; what they are stands beside each use."""

_REUSED = 2
"""Slopes serve for so many more steps before they are taken anew: they are what costs."""


def solve(
    residuals: Callable[[Array], Array],
    start: Array,
    steps: Array,
    rounds: int = 40,
    enough: float = 1e-9,
    slopes: Callable[[Array], Array] | None = None,
) -> tuple[Array, float]:
    """The parameters that make the squared residuals least, and that sum.

    `steps` are the step of each parameter for its derivative, about what it matters by. The
    residuals come scaled by their own uncertainty, robust weights (see `soften`) included. The
    search ends when two steps running gain less than the share `enough` of what is left.
    `slopes` gives what each parameter moves each residual (columns), where that is known; it is
    then asked at every step, and `steps` are not used.
    """
    at = start.astype(np.float64)
    now = residuals(at)
    cost = float(now @ now)
    damping, small, age = 1e-3, 0, 0
    reused = 0 if slopes else _REUSED
    slope = slopes(at) if slopes else slopes_of(residuals, at, now, steps)
    for _ in range(rounds):
        normal, pull = slope.T @ slope, slope.T @ now
        better, usual = False, damping
        for _ in range(8):
            diagonal = np.diag(normal) * damping + 1e-12
            try:
                change = np.linalg.solve(normal + np.diag(diagonal), -pull)
            except np.linalg.LinAlgError:
                damping *= 10
                continue
            trial = residuals(at + change)
            trial_cost = float(trial @ trial)
            if trial_cost < cost:
                better = True
                break
            damping *= 5
        gain = cost - trial_cost if better else 0.0
        if better:
            before, at, now, cost = now, at + change, trial, trial_cost
            damping = max(damping / 5, 1e-9)
        elif age:
            damping = usual  # it was the slopes that were old
        slight = gain <= enough * (cost + 1e-12)
        if age == 0:
            small = small + 1 if slight else 0
            if small == 2 or gain <= 1e-9 * (cost + 1e-12):
                break
        if age < reused and better and not slight:
            # Broyden's update: what the step showed is put into the slopes
            slope += np.outer(now - before - slope @ change, change / (change @ change))
            age += 1
        else:
            slope, age = slopes(at) if slopes else slopes_of(residuals, at, now, steps), 0
    return at, cost


def slopes_of(residuals: Callable[[Array], Array], at: Array, now: Array, steps: Array) -> Array:
    """What each parameter moves each residual, `now` being those at `at`."""
    slope = np.empty((now.size, at.size))
    for index, step in enumerate(steps):
        moved = at.copy()
        moved[index] += step
        slope[:, index] = (residuals(moved) - now) / step
    return slope


def soften(residuals: Array, limit: float | Array = 2.5) -> Array:
    """Huber's loss as residuals: past `limit` they grow only with the root, so that a few points
    that are plainly wrong do not pull the rest."""
    size = np.abs(residuals)
    far = np.sqrt(np.maximum(2 * limit * size - limit * limit, 0.0))
    return np.where(size <= limit, residuals, np.sign(residuals) * far)


def softened_slope(residuals: Array, limit: float | Array = 2.5) -> Array:
    """What `soften` makes of a small change of each residual, as a share of it."""
    size = np.abs(residuals)
    far = np.sqrt(np.maximum(2 * limit * size - limit * limit, 1e-12))
    return np.where(size <= limit, 1.0, limit / far)


def forget(residuals: Array, limit: float | Array) -> Array:
    """Geman and McClure's loss as residuals: they never grow past `limit`, so that what is far off
    counts for nothing. Only near the end of a search: from far off it leads nowhere."""
    return np.asarray(residuals / np.sqrt(1 + (residuals / limit) ** 2))


def forgotten_slope(residuals: Array, limit: float | Array) -> Array:
    """What `forget` makes of a small change of each residual, as a share of it."""
    return np.asarray((1 + (residuals / limit) ** 2) ** -1.5)
