"""Least squares by Levenberg and Marquardt, small and dense, with numeric derivatives."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[Any]
"""Numbers; what they are stands beside each use."""


def solve(
    residuals: Callable[[Array], Array],
    start: Array,
    steps: Array,
    rounds: int = 40,
    enough: float = 1e-9,
) -> tuple[Array, float]:
    """The parameters that make the squared residuals least, and that sum.

    `steps` are the step of each parameter for its derivative, about what it matters by. The
    residuals come scaled by their own uncertainty, robust weights (see `soften`) included. The
    search ends when two steps running gain less than the share `enough` of what is left.
    """
    at = start.astype(np.float64)
    now = residuals(at)
    cost = float(now @ now)
    damping, small = 1e-3, 0
    for _ in range(rounds):
        slope = np.empty((now.size, at.size))
        for index, step in enumerate(steps):
            moved = at.copy()
            moved[index] += step
            slope[:, index] = (residuals(moved) - now) / step
        normal, pull = slope.T @ slope, slope.T @ now
        better = False
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
        if not better:
            break
        gain = cost - trial_cost
        at, now, cost = at + change, trial, trial_cost
        damping = max(damping / 5, 1e-9)
        small = small + 1 if gain <= enough * (cost + 1e-12) else 0
        if small == 2 or gain <= 1e-9 * (cost + 1e-12):
            break
    return at, cost


def soften(residuals: Array, limit: float | Array = 2.5) -> Array:
    """Huber's loss as residuals: past `limit` they grow only with the root, so that a few points
    that are plainly wrong do not pull the rest."""
    size = np.abs(residuals)
    far = np.sqrt(np.maximum(2 * limit * size - limit * limit, 0.0))
    return np.where(size <= limit, residuals, np.sign(residuals) * far)
