"""A long piece drawn out along its axis: where both its edges run, and where it ends.

The strip lies in a level plane as high as the piece's axis. A camera sees a round body by the rays
that touch it; from their two angles its radius follows exactly, however slanted the view.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from tagbench.measure.edges import Light, sharpness
from tagbench.measure.rectification import RectifiedSheet
from tagbench.measure.solver import Array

STEP_MM = 0.06
_OUT_MM, _IN_MM, _FINE_MM = 0.4, 1.5, 0.03
_WEAK = 0.12
_SHADED_MM, _FIRST_SHARE = 0.1, 0.5
_DEEP_MM, _DEEP_SHARE = 0.35, 0.24
"""The roots of a thread lie no deeper than so much and so large a share of the radius."""


@dataclass(frozen=True, slots=True)
class Frame:
    """A level plane with its own axes: u along the piece, v to the right hand of it."""

    origin: Array
    u: Array
    height: float
    eye: tuple[float, float, float] | None

    @property
    def v(self) -> Array:
        return np.array((-self.u[1], self.u[0]))

    def to_sheet(self, x: Array, y: Array) -> Array:
        """Points of the frame as they are seen on the paper, mm."""
        points = self.origin + x[..., None] * self.u + y[..., None] * self.v
        if self.eye is None:
            return np.asarray(points)
        foot = np.array(self.eye[:2])
        return np.asarray(foot + (points - foot) * (self.eye[2] / (self.eye[2] - self.height)))

    def from_sheet(self, seen: Array) -> Array:
        """Places seen on the paper as x, y of the frame."""
        points = seen
        if self.eye is not None:
            foot = np.array(self.eye[:2])
            points = foot + (seen - foot) * ((self.eye[2] - self.height) / self.eye[2])
        moved = points - self.origin
        return np.column_stack((moved @ self.u, moved @ self.v))

    @property
    def foot(self) -> tuple[float, float]:
        """x and y of the frame under the camera."""
        assert self.eye is not None
        moved = np.array(self.eye[:2]) - self.origin
        return float(moved @ self.u), float(moved @ self.v)


@dataclass(frozen=True, slots=True)
class PieceEdges:
    """Both edges of a piece along its axis, mm in the frame."""

    x: Array
    low: Array
    high: Array
    sure: NDArray[np.bool_]


def along_edges(light: Light, sheet: RectifiedSheet, frame: Frame, outer: Array) -> PieceEdges:
    """Where the light passes half way from paper to the piece's rim, on both sides."""
    rough = frame.from_sheet(outer)
    x, low, high = _rough_sides(rough)
    half = (high - low) / 2
    moved_low, sure_low = _inward(light, sheet, frame, x, low, half, sign=1)
    moved_high, sure_high = _inward(light, sheet, frame, x, high, half, sign=-1)
    return PieceEdges(x, low + moved_low, high - moved_high, sure_low & sure_high)


def _rough_sides(points: Array) -> tuple[Array, Array, Array]:
    """The rough outline's lower and upper y at even steps of x."""
    per = 1 / STEP_MM
    corner = points.min(axis=0) - 1.0
    places = np.round((points - corner) * per).astype(np.int32)
    size = places.max(axis=0) + int(per)
    cover = np.zeros((int(size[1]), int(size[0])), np.uint8)
    cv2.fillPoly(cover, [places], 1)
    columns = np.flatnonzero(cover.any(axis=0))
    part = cover[:, columns[0] : columns[-1] + 1]
    low = part.argmax(axis=0)
    high = part.shape[0] - 1 - part[::-1].argmax(axis=0)
    x = np.arange(columns[0], columns[-1] + 1) * STEP_MM + corner[0]
    return x, low * STEP_MM + corner[1], high * STEP_MM + corner[1]


def _inward(
    light: Light,
    sheet: RectifiedSheet,
    frame: Frame,
    at: Array,
    start: Array,
    room: Array,
    *,
    sign: int,
) -> tuple[Array, NDArray[np.bool_]]:
    """How far inward of a rough edge the true one lies, and whether it was seen.

    Coming from the paper, the edge is where the light has fallen half way to the piece's dark rim;
    where piece and paper are about equally light, where it changes fastest.
    """
    depth = np.arange(-_OUT_MM, _IN_MM, _FINE_MM)
    moved = start[:, None] + sign * depth[None]
    fixed = np.broadcast_to(at[:, None], moved.shape)
    seen = frame.to_sheet(fixed, moved)
    places = ((seen - (sheet.left, sheet.top)) * sheet.per_mm).astype(np.float32)
    values = cv2.remap(light, places, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    values = cv2.GaussianBlur(values, (0, 0), sigmaX=0.05 / _FINE_MM, sigmaY=0.04 / STEP_MM)
    outside = values[:, (depth > -0.32) & (depth < -0.08)].mean(axis=1)
    reach = np.minimum(_IN_MM - 0.1, 0.9 * room)
    within = (depth[None] > 0) & (depth[None] < reach[:, None])
    rim = np.where(within, values, np.inf).min(axis=1)
    level = (outside + rim) / 2
    below = (values < level[:, None]) & (depth[None] > -0.2)
    first = np.argmax(below, axis=1)
    first = np.maximum(first, 1)
    rows = np.arange(len(at))
    before, after = values[rows, first - 1], values[rows, first]
    fall = np.where(np.abs(before - after) > 1e-9, before - after, 1.0)
    part = np.clip((before - level) / fall, 0, 1)
    by_level = depth[first - 1] + part * _FINE_MM
    steep = np.abs(np.gradient(values, axis=1))
    steep = np.where((depth[None] > -0.25) & (depth[None] < 0.6), steep, 0)
    by_change = depth[np.argmax(steep, axis=1)]
    sharp = sharpness(np.asarray(values, np.float64), _FINE_MM)
    deepest = np.minimum(_IN_MM, _DEEP_MM + _DEEP_SHARE * room)[:, None]
    sharp = np.where((depth[None] > -0.25) & (depth[None] < deepest), sharp, 0)
    by_edge = depth[_first(sharp)]
    # the level is reached in a soft shadow already, before the edge itself
    shaded = (by_edge - by_level > _SHADED_MM) & (sharp.max(axis=1) > 0)
    by_level = np.where(shaded, by_edge, by_level)
    strong = (outside - rim) > _WEAK * np.maximum(outside, 1e-3)
    found = np.where(strong & below.any(axis=1), by_level, by_change)
    changes = steep.max(axis=1) / _FINE_MM > 0.15 * np.maximum(outside, 1e-3)
    return found, strong | changes


def _first(steep: Array) -> NDArray[np.intp]:
    """The first peak of each row that is at least half as high as the highest."""
    peak = np.zeros(steep.shape, bool)
    peak[:, 1:-1] = (steep[:, 1:-1] >= steep[:, :-2]) & (steep[:, 1:-1] > steep[:, 2:])
    peak &= steep >= _FIRST_SHARE * steep.max(axis=1, keepdims=True)
    return np.asarray(np.argmax(peak, axis=1))
