"""Edges to a fraction of a pixel: along a rough outline, where the light passes half way.

The levels on both sides are taken close by, so soft shadows and stains shift nothing but
themselves; blur that is the same on both sides leaves the half-way point where the edge is.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from tagbench.measure.rectification import RectifiedSheet
from tagbench.measure.solver import Array

Light = NDArray[np.float32]

STEP_MM = 0.2
"""Points along an outline are so far apart."""
_GAMMA = 1.6
"""Between the pixel values, which are about the square root of light, and light: lenses blur
light, and cameras sharpen pixel values."""
_SHARP_MM, _SHADOW_MM = 0.06, 0.35
"""An edge is looked for at the one width; what is as steep at the other is a soft shadow."""
_SOFTNESS = 1.0
"""So many times the change over the wider neighbourhood is taken off."""
_FIRST_SHARE, _FIRST_LEAST = 0.3, 0.1
"""The first edge from outside has so much of the steepest of its profile, and of all."""
_FAINT_SHARE, _MOST_EDGES = 0.12, 4
_CLEAR = 4.0
"""An edge is seen where the light changes so many times faster than by noise."""
_WEAK = 0.15
"""A step in light (log) below this is helped by colour."""


@dataclass(frozen=True, slots=True)
class Edge:
    """A closed outline on a sheet."""

    points: Array
    """(n, 2), mm, evenly spaced, the body on the left hand as y runs down."""
    sure: NDArray[np.bool_]
    """False where no edge was found and the place is drawn between its neighbours."""


def edge_light(sheet: RectifiedSheet, body: Array) -> Light:
    """One value a pixel in which the body's edges stand out."""
    pixels = sheet.pixels
    if pixels.ndim == 2:
        return np.asarray(_lut()[pixels], np.float32)
    if abs(body[0]) >= _WEAK:
        grey = cv2.transform(pixels, np.array(((0.114, 0.587, 0.299),), np.float32))
        return np.asarray(_lut()[grey.reshape(pixels.shape[:2])], np.float32)
    # log steps of blue, green, red: light is 0.114 b + 0.587 g + 0.299 r, colours are r-g, b-g
    green = body[0] - 0.114 * body[2] - 0.299 * body[1]
    weights = np.array((green + body[2], green, green + body[1]), np.float32)
    weights /= np.abs(weights).sum() + 1e-9
    return np.asarray(_lut()[pixels] @ -weights, np.float32)


def _lut() -> Light:
    return np.asarray((np.arange(256) / 255.0) ** _GAMMA, np.float32)


def evenly(points: Array, step: float = STEP_MM) -> Array:
    """A closed run of points resampled to even steps."""
    closed = np.vstack((points, points[:1]))
    lengths = np.linalg.norm(np.diff(closed, axis=0), axis=1)
    along = np.concatenate(((0.0,), np.cumsum(lengths)))
    count = max(12, round(along[-1] / step))
    at = np.linspace(0, along[-1], count, endpoint=False)
    return np.column_stack([np.interp(at, along, closed[:, way]) for way in (0, 1)])


def normals(points: Array, reach: int = 3) -> Array:
    """Unit normals of a closed run, to the right of its direction as y runs down."""
    along = np.roll(points, -reach, axis=0) - np.roll(points, reach, axis=0)
    size = np.linalg.norm(along, axis=1, keepdims=True)
    along = along / np.maximum(size, 1e-12)
    return np.column_stack((-along[:, 1], along[:, 0]))


def smoothed(values: Array, sigma: float) -> Array:
    """A closed run of values smoothed by a Gaussian of so many steps."""
    if sigma < 0.2 or len(values) < 5:
        return values
    reach = min(int(3 * sigma) + 1, len(values) // 2)
    weights = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sigma) ** 2)
    padded = np.concatenate((values[-reach:], values, values[:reach]))
    flat = padded.reshape(len(padded), -1)
    out = [
        np.convolve(flat[:, at], weights / weights.sum(), "valid") for at in range(flat.shape[1])
    ]
    return np.asarray(np.column_stack(out).reshape(values.shape))


def running_median(values: Array, reach: int) -> Array:
    """The median of each value of a closed run and `reach` neighbours on both sides."""
    reach = min(reach, (len(values) - 1) // 2)
    if reach < 1:
        return values
    padded = np.concatenate((values[-reach:], values, values[:reach]))
    windows = np.lib.stride_tricks.sliding_window_view(padded, 2 * reach + 1, axis=0)
    return np.asarray(np.median(windows, axis=-1))


def signed_area(points: Array) -> float:
    """Area of a closed run; above zero where it turns from x towards y."""
    after = np.roll(points, -1, axis=0)
    return float((points[:, 0] * after[:, 1] - points[:, 1] * after[:, 0]).sum() / 2)


def refine(
    light: Light, sheet: RectifiedSheet, rough: Array, *, body_inside: bool, reach: float = 1.0,
    along: float = 0.35,
) -> Edge:  # fmt: skip
    """A rough closed outline (mm) moved to where the light passes half way.

    `body_inside` says on which side the body lies; the light may fall or rise towards it. `along`
    is how far (standard deviation, mm) neighbouring profiles are averaged.
    """
    points = evenly(rough)
    if signed_area(points) < 0:
        points = points[::-1]
    sure = np.ones(len(points), bool)
    for turn, (far, smooth) in enumerate(((reach, 2.5), (0.65 * reach, 1.5), (0.65 * reach, 1.0))):
        points = evenly(points)
        outward = -normals(points)
        if not body_inside:
            outward = -outward
        moved, sure = _crossings(light, sheet, points, outward, far, along / STEP_MM)
        points = points + outward * smoothed(moved, smooth)[:, None]
        del turn
    return Edge(_out_of_the_shadow(light, sheet, points, along / STEP_MM), sure)


def _out_of_the_shadow(light: Light, sheet: RectifiedSheet, points: Array, along: float) -> Array:
    """The points moved to where the light changes fastest: in the narrow soft shadow beside a
    thing of some thickness it passes half way too far out."""
    points = evenly(points)
    outward = normals(points)
    step = min(0.05, 0.4 / sheet.per_mm)
    reach = int(np.ceil(0.6 / step))
    offsets = np.arange(-reach, reach + 1) * step
    spots = points[:, None] + outward[:, None] * offsets[None, :, None]
    places = ((spots - (sheet.left, sheet.top)) * sheet.per_mm).astype(np.float32)
    profiles = cv2.remap(light, places, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    steep = sharpness(smoothed(np.asarray(profiles, np.float64), along), step)
    moved = _peak(steep * np.exp(-0.5 * (offsets / 0.25) ** 2), offsets, step)
    usual = running_median(moved, max(1, round(1.2 / STEP_MM)))
    moved = np.where(np.abs(moved - usual) > 0.12, usual, moved)
    return np.asarray(points + outward * smoothed(moved, 2.0)[:, None])


def sharpen(
    light: Light, sheet: RectifiedSheet, rough: Array, *, along: float = 0.25, inward: float = 1.1
) -> Array:
    """A rough closed outline moved to where the light changes fastest across it: for metal, that
    may be darker or brighter than what lies beside it from one place to the next.

    The first edge from outside counts, up to so far within: behind it lie streaks of light. What
    changes as softly as a shadow is none.
    """
    points = evenly(rough)
    if signed_area(points) < 0:
        points = points[::-1]
    step = min(0.05, 0.4 / sheet.per_mm)
    for out, into in ((0.4, inward), (0.4, 0.4), (0.25, 0.25)):
        points = evenly(points)
        outward = -normals(points)
        offsets = np.arange(-int(np.ceil(into / step)), int(np.ceil(out / step)) + 1) * step
        spots = points[:, None] + outward[:, None] * offsets[None, :, None]
        places = ((spots - (sheet.left, sheet.top)) * sheet.per_mm).astype(np.float32)
        profiles = cv2.remap(light, places, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        profiles = smoothed(np.asarray(profiles, np.float64), along / STEP_MM)
        steep = sharpness(profiles, step)
        if into > out:
            moved = _outermost(steep, offsets)
        else:
            moved = _peak(steep * np.exp(-0.5 * (offsets / out) ** 2), offsets, step)
        usual = running_median(moved, max(1, round(0.8 / STEP_MM)))
        wild = 0.3 if into > out else 0.12
        moved = np.where(np.abs(moved - usual) > wild, usual, moved)
        points = points + outward * smoothed(moved, 1.0)[:, None]
    return points


@dataclass(frozen=True, slots=True)
class EdgesNear:
    """Where edges cross the normals of an outline: of a piece, its shadow, or what shines on it."""

    points: Array
    """(n, k, 2), mm; of n normals the k strongest edges."""
    strength: Array
    """(n, k), 1 for what is usual along the outline; 0 where there is none."""


def edges_near(
    light: Light, sheet: RectifiedSheet, outline: Array, reach: float, *, along: float = 0.25
) -> EdgesNear:
    """Every edge within `reach` (mm) of a closed outline, on both sides of it."""
    points = evenly(outline)
    step = min(0.05, 0.4 / sheet.per_mm)
    across = normals(points)
    offsets = np.arange(-reach, reach + step, step)
    spots = points[:, None] + across[:, None] * offsets[None, :, None]
    places = ((spots - (sheet.left, sheet.top)) * sheet.per_mm).astype(np.float32)
    profiles = cv2.remap(light, places, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    steep = sharpness(smoothed(np.asarray(profiles, np.float64), along / STEP_MM), step)
    usual = max(float(np.median(steep.max(axis=1))), 1e-9)
    before, at, after = steep[:, :-2], steep[:, 1:-1], steep[:, 2:]
    peak = np.where((at >= before) & (at > after), at, 0.0)
    peak[peak < _FAINT_SHARE * usual] = 0.0
    best = np.argsort(-peak, axis=1)[:, :_MOST_EDGES]
    rows = np.arange(len(points))[:, None]
    bend = before[rows, best] - 2 * at[rows, best] + after[rows, best]
    part = 0.5 * (before[rows, best] - after[rows, best]) / np.where(bend < -1e-12, bend, -1.0)
    off = offsets[best + 1] + np.clip(part, -0.5, 0.5) * step
    strength = np.minimum(peak[rows, best] / usual, 1.0)
    return EdgesNear(points[:, None] + across[:, None] * off[..., None], strength)


def has_edge(light: Light, sheet: RectifiedSheet, outline: Array, near: float) -> NDArray[np.bool_]:
    """At which points of a closed outline, evenly spaced, an edge is really seen so near (mm)."""
    step = min(0.05, 0.4 / sheet.per_mm)
    outward = -normals(outline) * (1 if signed_area(outline) > 0 else -1)
    offsets = np.arange(-0.6, 1.2, step)
    spots = outline[:, None] + outward[:, None] * offsets[None, :, None]
    places = ((spots - (sheet.left, sheet.top)) * sheet.per_mm).astype(np.float32)
    profiles = cv2.remap(light, places, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    steep = sharpness(smoothed(np.asarray(profiles, np.float64), 0.1 / STEP_MM), step)
    noise = float(np.median(steep[:, offsets > 0.5]))
    here = steep[:, np.abs(offsets) < near].max(axis=1)
    return np.asarray(here > max(_CLEAR * noise, _FIRST_LEAST * float(np.percentile(here, 75))))


def sharpness(profiles: Array, step: float) -> Array:
    """How fast each profile changes, less how fast it changes over a wider neighbourhood."""
    slopes = []
    for width in (_SHARP_MM, _SHADOW_MM):
        smooth = cv2.GaussianBlur(
            profiles, (0, 0), sigmaX=width / step, sigmaY=1e-3, borderType=cv2.BORDER_REPLICATE
        )
        slopes.append(np.abs(np.gradient(smooth, step, axis=1)))
    return np.asarray(np.maximum(slopes[0] - _SOFTNESS * slopes[1], 0.0))


def _outermost(steep: Array, offsets: Array) -> Array:
    """The outermost of the peaks of each row that stand out."""
    high = np.percentile(steep, 99, axis=1, keepdims=True)
    usual = float(np.median(high))
    enough = steep > np.maximum(_FIRST_SHARE * np.minimum(high, usual), _FIRST_LEAST * usual)
    peak = np.zeros_like(enough)
    peak[:, 1:-1] = (steep[:, 1:-1] >= steep[:, :-2]) & (steep[:, 1:-1] >= steep[:, 2:])
    found = enough & peak
    last = steep.shape[1] - 1 - np.argmax(found[:, ::-1], axis=1)
    last = np.where(found.any(axis=1), last, np.argmax(steep, axis=1))
    return np.asarray(offsets[last])


def _peak(steep: Array, offsets: Array, step: float) -> Array:
    """Where each row is highest, to a part of a step by a parabola."""
    rows = np.arange(len(steep))
    best = np.clip(np.argmax(steep, axis=1), 1, steep.shape[1] - 2)
    before, at, after = (steep[rows, best + way] for way in (-1, 0, 1))
    bend = before - 2 * at + after
    part = np.where(np.abs(bend) > 1e-12, 0.5 * (before - after) / np.where(bend == 0, 1, bend), 0)
    return np.asarray(offsets[best] + np.clip(part, -0.5, 0.5) * step)


def _crossings(
    light: Light, sheet: RectifiedSheet, points: Array, outward: Array, far: float, along: float
) -> tuple[Array, NDArray[np.bool_]]:
    """How far each point must move outward, mm, and whether an edge was found."""
    step = min(0.06, 0.5 / sheet.per_mm)
    count = int(np.ceil(far / step))
    offsets = np.arange(-count, count + 1) * step
    spots = points[:, None] + outward[:, None] * offsets[None, :, None]
    places = ((spots - (sheet.left, sheet.top)) * sheet.per_mm).astype(np.float32)
    profiles = cv2.remap(light, places, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    profiles = smoothed(np.asarray(profiles, np.float64), along)
    near = np.abs(offsets) > 0.4 * far
    few = max(1, round(2.0 / STEP_MM))
    inner = running_median(np.median(profiles[:, near & (offsets < 0)], axis=1), few)
    outer = running_median(np.median(profiles[:, near & (offsets > 0)], axis=1), few)
    height = outer - inner
    share = (profiles - inner[:, None]) / np.where(np.abs(height) < 1e-4, 1e-4, height)[:, None]
    above = share > 0.5
    rises = ~above[:, :-1] & above[:, 1:]
    low, high = share[:, :-1], share[:, 1:]
    with np.errstate(divide="ignore", invalid="ignore"):
        cross = offsets[:-1] + step * (0.5 - low) / (high - low)
    cross = np.where(rises, cross, np.inf)
    best = np.argmin(np.abs(cross), axis=1)
    moved = cross[np.arange(len(points)), best]
    sure = np.isfinite(moved) & (np.abs(height) > 0.25 * np.median(np.abs(height)))
    if not sure.any():
        return np.zeros(len(points)), sure
    at = np.arange(len(points))
    moved = np.interp(at, at[sure], moved[sure], period=len(points))
    usual = running_median(moved, max(1, round(1.2 / STEP_MM)))
    wild = np.abs(moved - usual) > 0.18
    moved = np.where(wild, usual, moved)
    return moved, sure & ~wild
