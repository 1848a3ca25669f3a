"""What lies on the paper: the paper's own light is followed, and what differs from it stands out.

Light on a mat is uneven and shadows fall across it, so no one threshold serves. The paper is
flooded from the sheet's edge as far as its light changes only softly, its light is then carried
on under what lies there, and each place is compared with the paper that would be there.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from tagbench.errors import BadInput
from tagbench.measure.rectification import RectifiedSheet

GridArray = NDArray[Any]
Mask = NDArray[np.uint8]

COARSE_PER_MM = 4.0
"""Resolution at which paper and pieces are told apart; their edges are then refined."""
_SMOOTH_MM = 0.3
_EDGE_MM = 2.0
"""The ring along the sheet's edge from which paper is flooded."""
_SOFT = 0.035
"""Light of the paper may change by this much (log) from one coarse pixel to the next."""
_SURFACE_POINTS = 6000
_WHOLLY = 0.99
"""A pixel of a coarser grid is paper when this share of it is."""
_SPREAD_POINTS = 40_000
"""As many places tell how much paper differs from itself."""
_DIFFERS = 0.10
"""What differs less (log) from the paper than this is not believed to be a piece."""
_COLOUR_COUNTS = 1.0


@dataclass(frozen=True, slots=True)
class Parted:
    """Paper and what lies on it, on a coarse grid."""

    differs: GridArray
    """How far each place differs from the paper: 0 paper, 1 what lies there."""
    per_mm: float
    body: NDArray[np.float64]
    """How what lies there differs: light, and two of colour, as logarithms."""
    light: GridArray
    """The paper's own light under all, log."""


def part_from_paper(sheet: RectifiedSheet, coarser: int = 1) -> Parted:
    """Tell paper from what lies on it; BadInput where nothing does. Paper's light is followed on
    a grid that may be coarser by a factor, which is quicker and enough beside small pieces."""
    channels, per_mm, valid = _channels(sheet)
    edge = _edge_ring(valid, per_mm)
    paper = _flooded(channels, edge, valid)
    if paper.sum() < 0.02 * paper.size:
        raise BadInput(
            "No plain paper is seen round the pieces; leave a margin and light it evenly."
        )
    body = np.zeros(3)
    differs = np.zeros(paper.shape, np.float32)
    under = channels
    for _ in range(3):
        under = np.dstack([_carried(channels[..., at], paper, coarser) for at in range(3)])
        off = channels - under
        off[..., 1:] *= _COLOUR_COUNTS
        body, weights = _body(off, paper | (valid == 0))
        differs = np.asarray(cv2.transform(off, weights[None]), np.float32)
        differs[valid == 0] = 0
        bare = ((differs < 0.4) & (valid > 0)).astype(np.uint8)
        paper = cv2.erode(bare, np.ones((3, 3), np.uint8)) > 0
    return Parted(differs, per_mm, body, np.asarray(under[..., 0], np.float32))


def _channels(sheet: RectifiedSheet) -> tuple[GridArray, float, Mask]:
    """Log of light and two of colour, which shadows leave alone; coarse and smoothed."""
    scale = min(1.0, COARSE_PER_MM / sheet.per_mm)
    high, wide = sheet.pixels.shape[:2]
    size = max(1, round(wide * scale)), max(1, round(high * scale))
    pixels = cv2.resize(sheet.pixels, size, interpolation=cv2.INTER_AREA).astype(np.float32)
    per_mm = sheet.per_mm * scale
    pixels = cv2.GaussianBlur(pixels, (0, 0), _SMOOTH_MM * per_mm)
    valid = np.asarray(cv2.resize(sheet.valid, size, interpolation=cv2.INTER_NEAREST))
    if pixels.ndim == 2:
        light = np.log(pixels + 6)
        nothing = np.zeros_like(light)
        return np.dstack((light, nothing, nothing)), per_mm, valid
    blue, green, red = (np.log(pixels[..., at] + 6) for at in range(3))
    light = np.log(pixels @ np.array((0.114, 0.587, 0.299), np.float32) + 6)
    colour = cv2.GaussianBlur(np.dstack((red - green, blue - green)), (0, 0), _SMOOTH_MM * per_mm)
    return np.dstack((light, colour)), per_mm, valid


def _edge_ring(valid: Mask, per_mm: float) -> NDArray[np.bool_]:
    inner = cv2.copyMakeBorder(valid, 1, 1, 1, 1, cv2.BORDER_CONSTANT, value=0)
    reach = 2 * round(_EDGE_MM * per_mm) + 1
    inner = cv2.erode(inner, np.ones((reach, reach), np.uint8))[1:-1, 1:-1]
    return np.asarray((valid > 0) & (inner == 0))


def _flooded(channels: GridArray, edge: NDArray[np.bool_], valid: Mask) -> NDArray[np.bool_]:
    """Paper: what joins the sheet's edge without a sharp step."""
    light = channels[..., 0]
    usual = np.median(channels[edge], axis=0)
    near = edge & (np.abs(channels - usual) < (0.45, 0.2, 0.2)).all(axis=2)
    step = np.zeros(light.shape, np.float32)
    for at, weight in ((0, 1.0), (1, 1.5), (2, 1.5)):
        along = cv2.Sobel(channels[..., at], cv2.CV_32F, 1, 0, scale=1 / 8)
        down = cv2.Sobel(channels[..., at], cv2.CV_32F, 0, 1, scale=1 / 8)
        step = np.maximum(step, weight * cv2.magnitude(along, down))
    soft = ((step < _SOFT) & (valid > 0)).astype(np.uint8)
    _, parts = cv2.connectedComponents(soft, connectivity=4)
    counts = np.bincount(parts[near], minlength=parts.max() + 1)
    counts[0] = 0
    joined = counts[parts] > max(8, 0.01 * near.sum())
    # a soft leak into a piece shows as another level: what is far from the usual is left out
    return np.asarray(joined & (light - usual[0] > -1.1) & (valid > 0))


@lru_cache(maxsize=2)
def _terms(high: int, wide: int) -> GridArray:
    """What a surface of the second order is made of."""
    x = np.linspace(-1, 1, wide, dtype=np.float32)[None].repeat(high, 0)
    y = np.linspace(-1, 1, high, dtype=np.float32)[:, None].repeat(wide, 1)
    return np.stack((np.ones_like(x), x, y, x * x, x * y, y * y), -1)


def _carried(values: GridArray, paper: NDArray[np.bool_], coarser: int) -> GridArray:
    """The paper's values carried on under what is not paper: a surface of the second order, and
    what is left of it drawn in from all sides, smoother the farther it has to come."""
    if coarser > 1:
        high, wide = values.shape
        size = max(1, wide // coarser), max(1, high // coarser)
        share = cv2.resize(paper.astype(np.float32), size, interpolation=cv2.INTER_AREA)
        small = np.asarray(cv2.resize(values, size, interpolation=cv2.INTER_AREA))
        carried = _carried(small, np.asarray(share > _WHOLLY), 1)
        return np.asarray(cv2.resize(carried, (wide, high), interpolation=cv2.INTER_LINEAR))
    terms = _terms(*values.shape)
    some = np.flatnonzero(paper)[:: max(1, int(paper.sum()) // _SURFACE_POINTS)]
    system = terms.reshape(-1, 6)[some].astype(np.float64)
    known = values.ravel()[some].astype(np.float64)
    weight = np.ones(len(known))
    answer: GridArray = np.zeros(6)
    for _ in range(6):
        heavy = system * (weight**2)[:, None]
        answer = np.linalg.lstsq(heavy.T @ system, heavy.T @ known, rcond=None)[0]
        off = np.abs(known - system @ answer)
        weight = 1 / np.sqrt(1 + (off / 0.05) ** 2)
    base = (terms @ answer.astype(np.float32)).astype(np.float32)
    return np.asarray(base + _drawn_in(np.asarray(values - base, np.float32), paper))


def _drawn_in(values: GridArray, known: NDArray[np.bool_]) -> GridArray:
    """Fill what is not known from what is, by a pyramid of weighted means."""
    weight = known.astype(np.float32)
    levels = [(values * weight, weight)]
    while min(levels[-1][0].shape) > 2:
        total, amount = (cv2.pyrDown(part) for part in levels[-1])
        full = np.minimum(1.0, amount * 4)
        scale = np.where(amount > 1e-6, full / np.maximum(amount, 1e-6), 0)
        levels.append((np.asarray(total * scale, np.float32), np.asarray(full, np.float32)))
    total, amount = levels[-1]
    below = np.where(amount > 1e-6, total / np.maximum(amount, 1e-6), 0).astype(np.float32)
    for total, amount in reversed(levels[:-1]):
        up = cv2.pyrUp(below, dstsize=total.shape[1::-1])
        below = np.asarray(total + (1 - amount) * up, np.float32)
    return below


def _body(
    off: GridArray, paper: NDArray[np.bool_]
) -> tuple[NDArray[np.float64], NDArray[np.float32]]:
    """How what lies there differs from paper, and the weights that make of it one number."""
    size = np.sqrt(np.einsum("ijk,ijk->ij", off, off))
    there = ~paper & (size > _DIFFERS)
    there = cv2.erode(there.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
    if there.sum() < 40:
        there = ~paper & (size > _DIFFERS)
    if there.sum() < 12:
        raise BadInput(
            "Nothing is seen on the paper; lay the piece in the plain middle, where it differs "
            "from the paper. Of a faint rubbing, go over the edges with a pencil."
        )
    some = np.flatnonzero(paper if paper.any() else ~there)
    of_paper = off.reshape(-1, 3)[some[:: max(1, len(some) // _SPREAD_POINTS)]]
    spread = 1.4826 * np.median(np.abs(of_paper - np.median(of_paper, axis=0)), axis=0)
    noise = np.maximum(spread, (0.02, 0.02, 0.02)) ** 2
    body = np.median(off[there], axis=0).astype(np.float64)
    weights = body / noise
    return body, np.asarray(weights / (weights @ body), np.float32)
