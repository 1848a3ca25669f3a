"""How near an outline is to the one that was drawn."""

from __future__ import annotations

import numpy as np

from tests.measure.scene import Array
from tests.measure.shapes import Shape


def distances(points: Array, outline: Array) -> Array:
    """From each point to the closed outline, mm."""
    along = np.roll(outline, -1, axis=0) - outline
    square = np.maximum((along**2).sum(axis=1), 1e-12)
    part = np.clip(((points[:, None] - outline) * along).sum(axis=2) / square, 0, 1)
    nearest = outline + part[..., None] * along
    return np.asarray(np.linalg.norm(points[:, None] - nearest, axis=2).min(axis=1))


def as_traced(shape: Shape) -> tuple[Array, list[tuple[float, float, float]]]:
    """A shape from the lower left of its outline, y up: outline and holes."""
    corner = np.array((shape.outline[:, 0].min(), shape.outline[:, 1].max()))
    flip = np.array((1.0, -1.0))
    holes = [(*((np.array((x, y)) - corner) * flip), d) for x, y, d in shape.holes]
    return (shape.outline - corner) * flip, [(float(x), float(y), float(d)) for x, y, d in holes]
