"""The camera over the mat: where it stood, how it looked, what its lens bends.

Lengths on the mat are mm from the page's upper left corner, y downwards, heights above the paper.
In the picture x and y are in pixels, the middle of the first pixel at 0, 0.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tagbench.measure.solver import Array, soften, solve

USUAL_FOCAL = 0.85
"""Focal length of a phone's main camera as a share of the picture's longer side (common practice,
no source); only where the view is too square to the mat to tell does it weigh."""
_FOCAL_SPREAD = 0.25
_POINT_PX, _POINT_MM = 0.15, 0.02
"""What a point may be off: in the picture, and on paper that is never quite flat or true."""


@dataclass(frozen=True, slots=True)
class Camera:
    """A pinhole camera with radial distortion, fitted to points of the mat."""

    size: tuple[int, int]
    """Width and height of the picture, px."""
    values: Array
    """ln(focal), middle x and y (px), k1, k2; a turn (Rodrigues) on top of `turned`; then where
    `about` is seen before distortion, px from the middle, and ln of the scale there, px/mm."""
    turned: Array
    """Rotation from which `values` goes on, mat to camera."""
    about: Array
    """The point of the mat about which the camera was fitted, mm."""

    @property
    def focal(self) -> float:
        """Focal length, px."""
        return float(np.exp(self.values[0]))

    @property
    def eye(self) -> tuple[float, float, float]:
        """Where the camera stood: x, y on the mat and height over it, mm."""
        turn, shift = self._pose()
        x, y, z = -turn.T @ shift
        return float(x), float(y), float(-z)

    @property
    def slant_deg(self) -> float:
        """Angle between the line of sight and the upright, degrees."""
        axis = self._pose()[0][2]
        return float(np.degrees(np.arccos(np.clip(abs(axis[2]), 0, 1))))

    def to_picture(self, points: Array, height: float = 0.0) -> Array:
        """Where points (n, 2) of the mat, or of a plane so high above it, are in the picture."""
        turn, shift = self._pose()
        return _project(self.values, turn, shift, _lifted(points, height), self.size)

    def _pose(self) -> tuple[Array, Array]:
        return _unfolded(self.values, self.turned, self.about)


def _unfolded(values: Array, turned: Array, about: Array) -> tuple[Array, Array]:
    """Rotation and translation from the values, which are chosen so that they hardly depend on
    one another: the search is then quick and sure."""
    turn = _rotation(values[5:8]) @ turned
    focal = np.exp(values[0])
    away = focal / np.exp(values[10])
    centre = away * np.array((values[8] / focal, values[9] / focal, 1.0))
    return turn, np.asarray(centre - turn @ np.array((*about, 0.0)))


def _lifted(points: Array, height: float) -> Array:
    return np.column_stack((points, np.full(len(points), -height)))


def _rotation(vector: Array) -> Array:
    """The matrix of a rotation given as axis times angle (Rodrigues)."""
    angle = float(np.linalg.norm(vector))
    if angle < 1e-12:
        return np.eye(3)
    x, y, z = vector / angle
    cross = np.array(((0, -z, y), (z, 0, -x), (-y, x, 0)))
    return np.asarray(np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross)


def _project(
    values: Array, turn: Array, shift: Array, points: Array, size: tuple[int, int]
) -> Array:
    middle, (k1, k2) = values[1:3], values[3:5]
    seen = points @ turn.T + shift
    flat = np.exp(values[0]) * seen[:, :2] / np.maximum(seen[:, 2:], 1e-6)
    square = (flat**2).sum(axis=1, keepdims=True) * (4 / float(np.dot(size, size)))
    return np.asarray(flat * (1 + k1 * square + k2 * square**2) + middle)


def fit_camera(
    mat: Array, seen: Array, homography: Array, size: tuple[int, int], focal: float | None = None
) -> Camera:
    """The camera that sees the points `mat` (n, 2; mm) at `seen` (n, 2; px).

    `homography` takes mm to px and is where the search starts. `focal` is what the file says of
    the lens, px; without it, and square over the mat, a usual phone is assumed for it.
    """
    points, about = _lifted(mat, 0.0), mat.mean(axis=0)
    middle = (np.array(size) - 1) / 2
    usual = float(np.log(focal or USUAL_FOCAL * max(size)))
    # few symbols say little about the lens: then the usual one, nearly without distortion
    sure = np.array((0.1 if focal else _FOCAL_SPREAD, *np.full(2, 0.012 * max(size)), 0.06, 0.02))
    expected = np.array((usual, *middle, 0.0, 0.0))
    span = np.linalg.norm(np.ptp(seen, axis=0)) / max(
        float(np.linalg.norm(np.ptp(mat, axis=0))), 1e-6
    )
    doubt = float(np.hypot(_POINT_PX, _POINT_MM * span))
    steps = np.array((1e-4, 0.05, 0.05, 1e-5, 1e-5, 1e-5, 1e-5, 1e-5, 1e-2, 1e-2, 1e-5))
    long = float(np.exp(usual))
    turned, centre = _pose(homography, long, middle, about)

    def residuals(values: Array) -> Array:
        turn, shift = _unfolded(values, turned, about)
        off = (_project(values, turn, shift, points, size) - seen) / doubt
        return np.concatenate((soften(off.ravel()), (values[:5] - expected) / sure))

    seen_at = long * centre[:2] / centre[2]
    start = np.array((usual, *middle, 0, 0, 0, 0, 0, *seen_at, np.log(long / centre[2])))
    best, _ = solve(residuals, start, steps, rounds=60)
    return Camera(size, best, turned, about)


def _pose(homography: Array, focal: float, middle: Array, about: Array) -> tuple[Array, Array]:
    """Rotation of a camera of this focal length from its view of the mat, and where it then has
    the point `about`."""
    lens = np.array(((focal, 0, middle[0]), (0, focal, middle[1]), (0, 0, 1)))
    inverse = np.linalg.inv(lens)
    columns = inverse @ homography
    columns = columns / np.sqrt(np.linalg.norm(columns[:, 0]) * np.linalg.norm(columns[:, 1]))
    if (columns @ (*about, 1.0))[2] < 0:
        columns = -columns
    first, second, _ = columns.T
    rough = np.column_stack((first, second, np.cross(first, second)))
    left, _, right = np.linalg.svd(rough)
    rotation = left @ np.diag((1, 1, np.linalg.det(left @ right))) @ right
    return np.asarray(rotation), np.asarray(columns @ (*about, 1.0))
