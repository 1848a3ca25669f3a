"""Washers, rings and nuts lying flat: what is seen is their upper and lower rim together.

The upper rim lies higher and so is seen larger and moved away from the camera. Outside, both rims
together bound what is seen; the paper seen through the hole is what both rims leave free.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import cv2
import numpy as np

from tagbench.measure.edges import EdgesNear
from tagbench.measure.lay.solid import Eye, off_outline
from tagbench.measure.solver import Array, forget, soften, solve

_EDGE_MM = 0.05
_USUAL_THICK, _THICK_SPREAD = 0.13, 0.06
"""Thickness of a washer as a share of its outside diameter (ISO 7089 has 0.13 for M6 and M8)."""
_USUAL_HIGH, _HIGH_SPREAD = 0.53, 0.03
"""Height of a nut as a share of its width across flats (ISO 4032: 0.46 for M4, 0.59 for M5, 0.52
and a little more for M6 to M10; memory)."""
_USUAL_CHAMFER, _CHAMFER_SPREAD = 0.04, 0.03
"""Height of a nut's chamfer of 30 degrees as a share of its width across flats (ISO 4032 lets the
face be from 0.95 of that width, so 0.06; memory), and how far it may be from that."""
_WIDEST = 0.93
"""A hole that is wider than so much of the outside is the same edge found twice."""
_OFF_MM, _OFF_SHARE, _OFF_NUT_MM, _OFF_NUT_SHARE = 0.15, 0.002, 0.1, 0.0035
"""The edge may be so far from the fitted one; what is farther is no ring, or lost in shadow."""
_ROUGHLY = 9
_SURELY_ROUND_MM, _PLAINLY = 0.05, 0.6
_NEAR_MM, _PLAIN_STRENGTH = 0.15, 0.4
"""An edge is the rim's when it lies so near; one of so much of the usual strength is plain."""
_WASHER_THICK, _WASHER_THICK_SPREAD = 0.108, 0.01
"""Where a washer's edges are all known its thickness hardly shows, and yet it moves its upper rim
at a slant: ISO 7089 has 0.09 to 0.13 of the outside for M4 to M10, ISO 7093 0.09 (memory)."""
_NARROWER_MM = (0.0, 0.4)
"""A shadow makes a washer wider and its bore narrower: the search starts there and here."""
_NEARER_MM = (0.5, 0.35, 0.25, 0.15)
_NORMALS, _NOWHERE_MM = 90, 1e3
_AGREED = 1.5
"""Of both rims together; more is not looked for."""
_FEWEST_SEEN = 0.5
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
    seen_all_round: float
    """At what share of its rim, and of its bore's, an edge lies where it should; the lesser."""
    outline: Array
    """What is seen of it, a convex run of corners, mm on the sheet."""


@dataclass(frozen=True, slots=True)
class _Fit:
    """What was fitted: x, y, size, inside, thickness as a share of the size, turn, chamfer."""

    values: Array
    middle: Array
    """x and y are told from here, mm on the sheet."""
    nut: bool
    has_bore: bool
    spread: float
    seen_all_round: float = 1.0
    """At what share of the rim an edge lies where it should, and of the bore's rim."""

    def ring(self, eye: Eye | None) -> Ring:
        seen = _nut_seen if self.nut else _ring_seen
        outline = seen(self.values[:2], self.values, self.middle, eye) + self.middle
        size, inside, share = map(float, self.values[2:5])
        return Ring(
            size, inside if self.has_bore else None, self.nut, share * size, self.spread,
            self.seen_all_round, outline,
        )  # fmt: skip

    def bore(self, eye: Eye | None) -> Array:
        """The rim of the bore that paper is seen through, mm on the sheet."""
        low, high = (
            _raised(
                _corners(float(self.values[3]) / 2, 90, 0.0),
                height,
                self.values[:2],
                self.middle,
                eye,
            )
            for height in (0.0, float(np.clip(self.values[4], 0.02, 1.2) * self.values[2]))
        )
        _, seen = cv2.intersectConvexConvex(low.astype(np.float32), high.astype(np.float32))
        found = np.empty((0, 2)) if seen is None else np.asarray(seen.reshape(-1, 2), float)
        return (found if len(found) > 8 else low) + self.middle


def measure_ring(
    outer: Array, gap: Array | None, eye: Eye | None, again: Callable[[Array], Array],
    near: Callable[[Array], EdgesNear],
) -> Ring | None:  # fmt: skip
    """The ring or nut that fits what is seen; None where neither does.

    `again` looks for the edge once more near an outline: where the first look was misled. `near`
    finds every edge near one.
    """
    best = _fitted(outer, gap, eye, False)
    if best.spread > _SURELY_ROUND_MM:
        forms = sorted((best, _fitted(outer, gap, eye, True)), key=lambda one: one.spread)
        if forms[0].spread < _PLAINLY * forms[1].spread:
            del forms[1]
        forms = [_fitted(again(one.ring(eye).outline), gap, eye, one.nut) for one in forms]
        best = min(forms, key=lambda one: one.spread)
    size = float(best.values[2])
    most = _OFF_MM + _OFF_SHARE * size
    if best.nut:
        most = _OFF_NUT_MM + _OFF_NUT_SHARE * size
        if best.values[4] < _THINNEST_NUT:
            return None
    if best.spread > most:
        return None
    if not best.nut and best.has_bore:
        best = _settled(best, eye, near)
    ring = best.ring(eye)
    if (ring.inside or 0.0) > _WIDEST * ring.outside:
        return replace(ring, inside=None) if ring.is_nut else None
    return ring if ring.seen_all_round > _FEWEST_SEEN else None


def _settled(best: _Fit, eye: Eye | None, near: Callable[[Array], EdgesNear]) -> _Fit:
    """The washer that edges all round agree with. On one side the edge of its shadow is as sharp
    as its own, for it is low; only its own goes all round."""
    outer, bore = near(best.ring(eye).outline), near(best.bore(eye))
    rims = [_thinned(edges, best.middle) for edges in (outer, bore)]
    nothing = np.empty((0, 2))
    steps = np.full(5, 1e-3)
    rest = best.values[5:]

    def off(values: Array, rim: int, points: Array) -> Array:
        flat = points.reshape(-1, 2)
        outer, inner = (nothing, flat) if rim else (flat, nothing)
        every = np.concatenate((values, rest))
        found = _off(every, False, outer, inner, best.middle, eye)
        return found[rim].reshape(points.shape[:-1])

    def chosen(values: Array, far: float = _NEAR_MM) -> tuple[list[Array], list[Array]]:
        """Of each normal the edge that is likeliest, and how plain it is."""
        points, plain = [], []
        for rim, (spots, strength) in enumerate(rims):
            apart = np.abs(off(values, rim, spots)) / far
            at = np.argmin(apart**2 - 2 * np.log(np.maximum(strength, 1e-6)), axis=1)
            rows = np.arange(len(spots))
            points.append(spots[rows, at])
            plain.append(np.sqrt(strength[rows, at]))
        return points, plain

    def agreed(values: Array) -> list[float]:
        points, plain = chosen(values)
        return [
            float(np.mean(plain[rim] * np.exp(-0.5 * (off(values, rim, points[rim]) / 0.07) ** 2)))
            for rim in (0, 1)
        ]

    found: list[tuple[float, Array]] = []
    for narrower in _NARROWER_MM:
        values = best.values[:5] + np.array((0, 0, -narrower, narrower, 0))
        values[4] = _WASHER_THICK
        for far in _NEARER_MM:
            points, plain = chosen(values, far)

            def residuals(
                at: Array, points: list[Array] = points, plain: list[Array] = plain
            ) -> Array:
                parts = [
                    np.sqrt(plain[rim]) * forget(off(at, rim, points[rim]) / _EDGE_MM, 3.0)
                    for rim in (0, 1)
                ]
                odd = (at[4:5] - _WASHER_THICK) / _WASHER_THICK_SPREAD
                return np.concatenate((*parts, odd))

            values, _ = solve(residuals, values, steps, rounds=4, enough=2e-2)
        found.append((sum(agreed(values)), values))
        if found[-1][0] > _AGREED:
            break
    _, values = max(found, key=lambda one: one[0])
    points, _ = chosen(values)
    apart = np.abs(off(values, 0, points[0]))
    close = apart < 2 * _NEAR_MM
    spread = float(np.sqrt(np.mean(apart[close] ** 2))) if close.any() else best.spread
    return replace(
        best, values=np.concatenate((values, rest)), spread=spread,
        seen_all_round=min(agreed(values)),
    )  # fmt: skip


def _thinned(edges: EdgesNear, middle: Array) -> tuple[Array, Array]:
    """No more normals than tell something, from a middle near by; what is no edge far off."""
    every = max(1, len(edges.points) // _NORMALS)
    points, strength = edges.points[::every] - middle, edges.strength[::every]
    return np.where(strength[..., None] > 0, points, _NOWHERE_MM), strength


def _fitted(outer: Array, gap: Array | None, eye: Eye | None, nut: bool) -> _Fit:
    points = outer[:: max(1, len(outer) // 160)]
    inner = gap[:: max(1, len(gap) // 100)] if gap is not None else np.empty((0, 2))
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    moved, within = points - middle, inner - middle
    radius = float(np.median(np.linalg.norm(moved, axis=1)))
    hole = float(np.median(np.linalg.norm(within, axis=1))) if len(within) else 0.0
    usual, give = (_USUAL_HIGH, _HIGH_SPREAD) if nut else (_USUAL_THICK, _THICK_SPREAD)

    # a washer has neither corners nor chamfers
    rest = np.empty(0) if nut else np.zeros(2)

    def residuals(told: Array) -> Array:
        values = np.concatenate((told, rest))
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

    steps = np.full(7 - len(rest), 1e-3)
    wide = 2 * radius * (0.95 if nut else 1.0)
    starts = [
        np.array((0, 0, wide, 2 * hole, usual, turn, 0.03))[: len(steps)]
        for turn in _turns(moved, nut)
    ]
    rough = [solve(residuals, start, steps, rounds=_ROUGHLY, enough=1e-2) for start in starts]
    start, _ = min(rough, key=lambda result: result[1])
    told, _ = solve(residuals, start, steps, rounds=25, enough=1e-3)
    best = np.concatenate((told, rest))
    off, _ = _off(best, nut, moved, within, middle, eye)
    spread = float(np.sqrt(np.mean(np.minimum(np.abs(off), 1.0) ** 2)))
    return _Fit(best, middle, nut, len(within) > 0, spread)


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
    seen = [_raised(outline, height, centre, middle, eye) for outline, height in layers]
    hull = cv2.convexHull(np.concatenate(seen).astype(np.float32))
    return np.asarray(hull.reshape(-1, 2), float)


def _raised(outline: Array, height: float, centre: Array, middle: Array, eye: Eye | None) -> Array:
    """Where a level outline about a centre is seen when it lies so high."""
    grown = 1.0 if eye is None else eye[2] / (eye[2] - height)
    moved = 0.0 if eye is None else (centre + middle - eye[:2]) * (grown - 1)
    return np.asarray(centre + moved + outline * grown)


def _corners(radius: float, count: int, turn: float) -> Array:
    angles = turn + 2 * np.pi * np.arange(count) / count
    return np.column_stack((np.cos(angles), np.sin(angles))) * radius
