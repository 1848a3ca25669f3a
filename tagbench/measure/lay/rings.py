"""Washers, rings and nuts lying flat: what is seen is their upper and lower rim together.

The upper rim lies higher and so is seen larger and moved away from the camera. Outside, both rims
together bound what is seen; the paper seen through the hole is what both rims leave free.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from tagbench.measure.solver import Array, soften, solve

Eye = tuple[float, float, float]

_EDGE_MM = 0.05
_USUAL_THICK, _THICK_SPREAD = 0.13, 0.06
"""Thickness of a washer as a share of its outside diameter (ISO 7089 has 0.13 for M6 and M8)."""
_USUAL_HIGH, _HIGH_SPREAD = 0.5, 0.08
"""Height of a nut as a share of its width across flats (ISO 4032: 0.52 for M6, 0.52 for M8)."""
_OFF_ROUND_MM = 0.3
_SURELY_ROUND_MM = 0.05


@dataclass(frozen=True, slots=True)
class Ring:
    """A washer, a ring or a nut, mm."""

    outside: float
    """Outside diameter, or the width across flats of a nut."""
    inside: float | None
    """Inside diameter; None where no paper is seen through it."""
    is_nut: bool
    thick: float
    spread: float
    """How far the seen edge is from the fitted one, root mean square."""


def measure_ring(outer: Array, gap: Array | None, eye: Eye | None) -> Ring | None:
    """The ring or nut that fits what is seen; None where neither does."""
    best = _fitted(outer, gap, eye, False)
    if best.spread > _SURELY_ROUND_MM:
        best = min(best, _fitted(outer, gap, eye, True), key=lambda ring: ring.spread)
    if best.spread > _OFF_ROUND_MM * max(1.0, best.outside / 20):
        return None
    return best


def _fitted(outer: Array, gap: Array | None, eye: Eye | None, nut: bool) -> Ring:
    points = outer[:: max(1, len(outer) // 160)]
    inner = gap[:: max(1, len(gap) // 100)] if gap is not None else np.empty((0, 2))
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    moved, within = points - middle, inner - middle
    radius = float(np.median(np.linalg.norm(moved, axis=1)))
    hole = float(np.median(np.linalg.norm(within, axis=1))) if len(within) else 0.0
    usual, give = (_USUAL_HIGH, _HIGH_SPREAD) if nut else (_USUAL_THICK, _THICK_SPREAD)

    def residuals(values: Array) -> Array:
        x, y, size, inside, share, turn = values
        off, free = _off(values, nut, moved, within, middle, eye)
        expected = np.array((share - usual,)) / give
        del x, y, size, inside, turn
        return np.concatenate(
            (soften(off / _EDGE_MM), soften(free / _EDGE_MM) * (0.3 if nut else 1.0), expected)
        )

    steps = np.array((1e-4, 1e-4, 1e-4, 1e-4, 1e-4, 1e-4))
    results = []
    for turn in _turns(moved) if nut else (0.0,):
        start = np.array((0, 0, 2 * radius * (0.95 if nut else 1.0), 2 * hole, usual, turn))
        results.append(solve(residuals, start, steps, rounds=25, enough=1e-3))
    best, _ = min(results, key=lambda result: result[1])
    off, _ = _off(best, nut, moved, within, middle, eye)
    inside = float(best[3]) if len(within) else None
    spread = float(np.sqrt(np.mean(np.minimum(np.abs(off), 1.0) ** 2)))
    return Ring(float(best[2]), inside, nut, float(best[4] * best[2]), spread)


def _turns(points: Array) -> tuple[float, ...]:
    """Where the corners of a hexagon may lie: by the sixth harmonic of its distances."""
    angles, far = np.arctan2(points[:, 1], points[:, 0]), np.linalg.norm(points, axis=1)
    even = np.arange(-np.pi, np.pi, np.pi / 90)
    order = np.argsort(angles)
    distances = np.interp(even, angles[order], far[order], period=2 * np.pi)
    wave = (distances * np.exp(-6j * even)).sum()
    turn = float(-np.angle(wave) / 6)
    return turn, turn + np.pi / 12


def _off(
    values: Array, nut: bool, outer: Array, inner: Array, middle: Array, eye: Eye | None
) -> tuple[Array, Array]:
    """How far points of the outer edge and of the hole's edge are from where they should be."""
    x, y, size, inside, share, turn = values
    centre = np.array((x, y))
    thick = float(np.clip(share, 0.02, 1.2)) * size
    grown, shift = 1.0, np.zeros(2)
    if eye is not None:
        # a point at height t is seen where the ray through it meets the paper
        grown = eye[2] / (eye[2] - thick)
        shift = (centre + middle - eye[:2]) * (grown - 1)
    if nut:
        off = _off_hexagons(outer, centre, size, turn, grown, shift)
    else:
        off = _off_capsule(outer, centre, size / 2, grown, shift)
    low = np.linalg.norm(inner - centre, axis=1) - inside / 2
    high = np.linalg.norm(inner - centre - shift, axis=1) - inside / 2 * grown
    return off, np.maximum(low, high)


def _off_capsule(points: Array, centre: Array, radius: float, grown: float, shift: Array) -> Array:
    """Signed distance to the hull of two circles, to the second order in how they differ."""
    length = float(shift @ shift)
    along = (
        np.clip((points - centre) @ shift / length, 0, 1) if length > 1e-9 else np.ones(len(points))
    )
    nearest = centre + along[:, None] * shift
    return np.asarray(np.linalg.norm(points - nearest, axis=1) - radius * (1 + along * (grown - 1)))


def _off_hexagons(
    points: Array, centre: Array, flats: float, turn: float, grown: float, shift: Array
) -> Array:
    angles = turn + np.radians(60) * np.arange(6)
    corners = np.column_stack((np.cos(angles), np.sin(angles))) * flats / np.sqrt(3)
    both = np.vstack((centre + corners, centre + shift + corners * grown)).astype(np.float32)
    hull = cv2.convexHull(both).reshape(-1, 2).astype(float)
    along = np.roll(hull, -1, axis=0) - hull
    length = np.maximum(np.linalg.norm(along, axis=1), 1e-9)
    if (
        hull[:, 0] * np.roll(hull, -1, axis=0)[:, 1] - hull[:, 1] * np.roll(hull, -1, axis=0)[:, 0]
    ).sum() < 0:
        along = -along
    outward = np.column_stack((along[:, 1], -along[:, 0])) / length[:, None]
    # the largest of the distances to its sides: exact on the sides, a little short at corners
    return np.asarray((((points[:, None] - hull[None]) * outward[None]).sum(axis=2)).max(axis=1))
