"""Closed paths of lines and arcs: what a cutter takes and a pencil can draw.

A path is a closed run of corners (x, y, bulge): the bulge is the tangent of a quarter of the angle
that the arc to the next corner turns through, above zero to the left, 0 for a straight line (as
DXF has it).
"""

from __future__ import annotations

import numpy as np

from tagbench.measure.solver import Array
from tagbench.records.part import Corner

ClosedPath = tuple[Corner, ...]


def off_path(points: Array, path: ClosedPath) -> Array:
    """How far points are from a path."""
    flat = flattened(path, 0.1)
    along = np.roll(flat, -1, axis=0) - flat
    square = np.maximum((along**2).sum(axis=1), 1e-12)
    nearest = []
    for some in np.array_split(points, max(1, len(points) * len(flat) // 200_000)):
        share = np.clip(((some[:, None] - flat) * along).sum(axis=2) / square, 0, 1)
        off = some[:, None] - flat - share[..., None] * along
        nearest.append(np.linalg.norm(off, axis=2).min(axis=1))
    return np.concatenate(nearest)


def flattened(path: ClosedPath, step: float = 0.3) -> Array:
    """A path as points, none farther apart than `step` mm along an arc."""
    points: list[tuple[float, float]] = []
    for number, (x, y, bulge) in enumerate(path):
        after = path[(number + 1) % len(path)]
        points.append((x, y))
        if abs(bulge) < 1e-9:
            continue
        (cx, cy), radius, first, sweep = arc_of((x, y, bulge), after)
        pieces = max(2, int(np.ceil(abs(sweep) * radius / step)))
        for at in range(1, pieces):
            angle = first + sweep * at / pieces
            points.append((cx + radius * float(np.cos(angle)), cy + radius * float(np.sin(angle))))
    return np.array(points)


def arc_of(start: Corner, end: Corner) -> tuple[tuple[float, float], float, float, float]:
    """Centre, radius, angle at the start and angle turned through (radians, signed) of an arc."""
    x, y, bulge = start
    sweep = 4 * np.arctan(bulge)
    chord = np.array((end[0] - x, end[1] - y))
    length = float(np.linalg.norm(chord))
    radius = length / (2 * abs(np.sin(sweep / 2)))
    middle = np.array((x, y)) + chord / 2
    apart = length / (2 * np.tan(sweep / 2))
    centre = middle + np.array((-chord[1], chord[0])) / max(length, 1e-12) * apart
    first = float(np.arctan2(y - centre[1], x - centre[0]))
    return (float(centre[0]), float(centre[1])), radius, first, float(sweep)
