"""Washers, rings and nuts lying flat: what is seen is their upper and lower rim together.

The upper rim lies higher and so is seen larger and moved away from the camera. Outside, both rims
together bound what is seen; the paper seen through the hole is what both rims leave free.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np

from tagbench.measure.lay.solid import Eye, off_outline
from tagbench.measure.solver import Array, soften, solve

_EDGE_MM = 0.05
_USUAL_THICK, _THICK_SPREAD = 0.13, 0.06
"""Thickness of a washer as a share of its outside diameter (ISO 7089 has 0.13 for M6 and M8)."""
_USUAL_HIGH, _HIGH_SPREAD = 0.5, 0.08
"""Height of a nut as a share of its width across flats (ISO 4032: 0.52 for M6, 0.52 for M8)."""
_USUAL_CHAMFER, _CHAMFER_SPREAD = 0.04, 0.03
"""Height of a nut's chamfer of 30 degrees as a share of its width across flats (ISO 4032 lets the
face be from 0.95 of that width, so 0.06; memory), and how far it may be from that."""
_WIDEST = 0.93
"""A hole that is wider than so much of the outside is the same edge found twice."""
_OFF_MM, _OFF_SHARE, _OFF_NUT_MM, _OFF_NUT_SHARE = 0.15, 0.002, 0.1, 0.0035
"""The edge may be so far from the fitted one; what is farther is no ring, or lost in shadow."""
_ROUGHLY = 9
_SURELY_ROUND_MM, _PLAINLY = 0.05, 0.6
_THINNEST_NUT = 0.25
"""A nut is higher than so much of its width across flats (ISO 4035, thin nuts: 0.31 for M10, 0.32
for M6; memory): what fits a lower one is a washer of which an edge is lost."""


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
    outline: Array
    """What is seen of it, a convex run of corners, mm on the sheet."""


def measure_ring(
    outer: Array, gap: Array | None, eye: Eye | None, again: Callable[[Array], Array]
) -> Ring | None:
    """The ring or nut that fits what is seen; None where neither does.

    `again` looks for the edge once more near an outline: where the first look was misled.
    """
    best = _fitted(outer, gap, eye, False)
    if best.spread > _SURELY_ROUND_MM:
        forms = sorted((best, _fitted(outer, gap, eye, True)), key=lambda one: one.spread)
        if forms[0].spread < _PLAINLY * forms[1].spread:
            del forms[1]
        forms = [_fitted(again(one.outline), gap, eye, one.is_nut) for one in forms]
        best = min(forms, key=lambda one: one.spread)
    most = _OFF_MM + _OFF_SHARE * best.outside
    if best.is_nut:
        most = _OFF_NUT_MM + _OFF_NUT_SHARE * best.outside
    if best.is_nut and best.thick < _THINNEST_NUT * best.outside:
        return None
    if best.spread > most:
        return None
    if (best.inside or 0.0) > _WIDEST * best.outside:
        return replace(best, inside=None) if best.is_nut else None
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
        share, chamfer = values[4], values[6]
        off, free = _off(values, nut, moved, within, middle, eye)
        expected = np.array(((share - usual) / give, (chamfer - _USUAL_CHAMFER) / _CHAMFER_SPREAD))
        return np.concatenate(
            (
                soften(off / _EDGE_MM, _limits(off, nut)),
                soften(free / _EDGE_MM) * (0.3 if nut else 1.0),
                expected,
            )
        )

    steps = np.array((1e-3, 1e-3, 1e-3, 1e-3, 1e-3, 1e-3, 1e-3))
    wide = 2 * radius * (0.95 if nut else 1.0)
    starts = [np.array((0, 0, wide, 2 * hole, usual, turn, 0.03)) for turn in _turns(moved, nut)]
    rough = [solve(residuals, start, steps, rounds=_ROUGHLY, enough=1e-2) for start in starts]
    start, _ = min(rough, key=lambda result: result[1])
    best, _ = solve(residuals, start, steps, rounds=25, enough=1e-3)
    off, _ = _off(best, nut, moved, within, middle, eye)
    inside = float(best[3]) if len(within) else None
    spread = float(np.sqrt(np.mean(np.minimum(np.abs(off), 1.0) ** 2)))
    seen = _nut_seen if nut else _ring_seen
    outline = seen(best[:2], best, middle, eye) + middle
    return Ring(float(best[2]), inside, nut, float(best[4] * best[2]), spread, outline)


def _limits(off: Array, nut: bool) -> Array:
    """A nut's side is often as dark as its shadow, and its upper face, farther in, is then followed
    in its stead: what lies within counts less."""
    return np.where(off < 0, 1.7, 2.5) if nut else np.full(len(off), 2.5)


def _turns(points: Array, nut: bool) -> tuple[float, ...]:
    """Where the corners of a hexagon may lie: by the sixth harmonic of its distances."""
    if not nut:
        return (0.0,)
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
    x, y, size, inside, share = values[:5]
    centre = np.array((x, y))
    thick = float(np.clip(share, 0.02, 1.2)) * size
    grown, shift = 1.0, np.zeros(2)
    if eye is not None:
        # a point at height t is seen where the ray through it meets the paper
        grown = eye[2] / (eye[2] - thick)
        shift = (centre + middle - eye[:2]) * (grown - 1)
    low = np.linalg.norm(inner - centre, axis=1) - inside / 2
    high = np.linalg.norm(inner - centre - shift, axis=1) - inside / 2 * grown
    free = np.maximum(low, high)
    if nut:
        return _off_nut(outer, centre, values, middle, eye), free
    off = _off_capsule(outer, centre, size / 2, grown, shift)
    # a bright face ends at its upper rim, whatever is seen of the wall below it
    upper = np.linalg.norm(outer - centre - shift, axis=1) - size / 2 * grown
    return _nearer(off, upper), _nearer(free, high)


def _nearer(one: Array, other: Array) -> Array:
    return np.where(np.abs(one) <= np.abs(other), one, other)


def _off_capsule(points: Array, centre: Array, radius: float, grown: float, shift: Array) -> Array:
    """Signed distance to the hull of two circles, to the second order in how they differ."""
    length = float(shift @ shift)
    along = (
        np.clip((points - centre) @ shift / length, 0, 1) if length > 1e-9 else np.ones(len(points))
    )
    nearest = centre + along[:, None] * shift
    return np.asarray(np.linalg.norm(points - nearest, axis=1) - radius * (1 + along * (grown - 1)))


def _off_nut(points: Array, centre: Array, values: Array, middle: Array, eye: Eye | None) -> Array:
    """Signed distance to what is seen of a nut."""
    return off_outline(points, [_nut_seen(centre, values, middle, eye)])


def _ring_seen(centre: Array, values: Array, middle: Array, eye: Eye | None) -> Array:
    """What is seen of a washer: its lower and its upper rim."""
    size, thick = float(values[2]), float(np.clip(values[4], 0.02, 1.2)) * float(values[2])
    return _hull_seen(((_corners(size / 2, 72, 0.0), 0.0), (_corners(size / 2, 72, 0.0), thick)),
                      centre, middle, eye)  # fmt: skip


def _nut_seen(centre: Array, values: Array, middle: Array, eye: Eye | None) -> Array:
    """What is seen of a nut: its hexagon between the chamfers, and its upper face."""
    _, _, flats, _, share, turn, chamfer = values
    thick = float(np.clip(share, 0.02, 1.2)) * flats
    drop = float(np.clip(chamfer, 0.0, 0.1)) * flats
    rim = flats / 2 * (1 / np.cos(np.pi / 6) - np.sqrt(3) * drop / max(flats / 2, 1e-6))
    layers = (
        (_corners(flats / np.sqrt(3), 6, turn), drop),
        (_corners(flats / np.sqrt(3), 6, turn), thick - drop),
        (_corners(min(rim, flats / np.sqrt(3)), 6 if drop < 1e-3 else 18, turn), thick),
    )
    return _hull_seen(layers, centre, middle, eye)


def _hull_seen(
    layers: Sequence[tuple[Array, float]], centre: Array, middle: Array, eye: Eye | None
) -> Array:
    """What is seen of level outlines about a centre, each at its height."""
    seen = []
    for outline, height in layers:
        grown = 1.0 if eye is None else eye[2] / (eye[2] - height)
        moved = 0.0 if eye is None else (centre + middle - eye[:2]) * (grown - 1)
        seen.append(centre + moved + outline * grown)
    hull = cv2.convexHull(np.concatenate(seen).astype(np.float32))
    return np.asarray(hull.reshape(-1, 2), float)


def _corners(radius: float, count: int, turn: float) -> Array:
    angles = turn + 2 * np.pi * np.arange(count) / count
    return np.column_stack((np.cos(angles), np.sin(angles))) * radius
