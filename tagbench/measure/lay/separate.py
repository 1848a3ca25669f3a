"""The pieces on a sheet, each by itself: bright or dark, its shadow left out."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from tagbench.errors import BadInput
from tagbench.measure.circles import fit_circle
from tagbench.measure.outlines import Body, bodies
from tagbench.measure.paper import Mask, Parted, part_from_paper
from tagbench.measure.rectification import RectifiedSheet
from tagbench.measure.solver import Array

SMALLEST_MM2 = 5.0
"""An M2 screw of 4 mm covers more."""
_WEAK_SHARE, _FAINTEST = 0.4, 0.07
"""Beside a plain edge one of so much of it, or of so much light (log) a mm, is followed on."""
_FEWEST_STRONG_MM = 6.0
_FAINT_RUN_MM, _FAINT_RUN_SHARE, _CLOSED_SHARE = 24.0, 0.5, 0.7
"""A fainter edge is one all the same if it is so long, so plain in the middle, and encloses so much
of its hull."""
_LINE_MM, _LINE_SHARE, _TOGETHER_MM = 1.1, 0.11, 1.5
_AS_PAPER = 0.3
"""Paper in the shadow of a piece differs no more (log) from paper beside it."""
_SHARP_SHARE = 0.4
_HOLE_SHARE, _RIM_MM = 0.45, 0.6
_WIDEST_BORE = 0.85
_ROUND_PIECE, _RAYS, _NARROWEST_BORE, _BORE_OFF = 0.85, 120, 0.2, 0.12
_PLAIN_RAYS, _ROUND_BORE_MM = 0.8, 0.15
_EDGES_PER_MM, _SMOOTH_MM, _HEALED_MM, _HEALED_WIDER_MM = 9.0, 0.12, 0.45, 0.9
_STEEP = 0.2
"""Light (log) that changes faster than this a mm is an edge, soft shadows left out."""
_SOFT_MM = 0.45
"""What changes as much over this width is no edge: shadows are that soft where a piece stands."""
_SOFTNESS = 1.4
"""So many times that is taken off: none of a shadow is left."""
_NEAR_MM = 1.2
"""Pieces nearer to one another than this are not told apart surely."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One thing on the sheet."""

    outer: Array
    """Rough outer edge, mm on the sheet."""
    gap: Array | None
    """Rough edge of the hole through it, where paper is seen in it."""
    trouble: str = ""
    """Why it is not measured; empty when nothing stands against it."""

    @property
    def middle(self) -> tuple[float, float]:
        low, high = self.outer.min(axis=0), self.outer.max(axis=0)
        return float((low[0] + high[0]) / 2), float((low[1] + high[1]) / 2)


def separate(sheet: RectifiedSheet) -> tuple[list[Piece], Parted]:
    """The pieces, row by row from the top; BadInput where none is seen."""
    parted = part_from_paper(sheet, coarser=2)
    edges = _edges(sheet)
    mask = _enclosed(edges)
    fine = _differences(parted, mask)
    found = [body for body in bodies(sheet, mask, SMALLEST_MM2) if _is_piece(body, sheet, edges)]
    if not found:
        raise BadInput(
            "No fastener is seen on the paper; lay them apart in the plain middle, in even light."
        )
    # what lies within another one's outline is its bore, or a streak of light on it
    found = [
        body
        for body in found
        if not any(other is not body and _encloses(other, body) for other in found)
    ]
    pieces = [_piece(body, found, sheet, fine, edges) for body in found]
    return sorted(pieces, key=lambda piece: (round(piece.middle[1] / 15), piece.middle[0])), parted


@dataclass(frozen=True, slots=True)
class _Edges:
    """Where the light changes fast, on a grid of its own."""

    steep: Array
    """Change of light (log) a mm, less what changes so over a wider neighbourhood."""
    limit: float
    """What is plainly an edge."""
    per_mm: float
    valid: Mask

    @property
    def faint(self) -> float:
        """What is an edge beside plainer ones."""
        return max(_WEAK_SHARE * self.limit, _FAINTEST)


def _edges(sheet: RectifiedSheet) -> _Edges:
    scale = min(1.0, _EDGES_PER_MM / sheet.per_mm)
    per_mm = sheet.per_mm * scale
    high, wide = sheet.pixels.shape[:2]
    size = round(wide * scale), round(high * scale)
    pixels = cv2.resize(sheet.pixels, size, interpolation=cv2.INTER_AREA)
    channels = [pixels] if pixels.ndim == 2 else [cv2.cvtColor(pixels, cv2.COLOR_BGR2GRAY)]
    if pixels.ndim == 3:
        # brass is as light as some paper and differs by its colour
        channels.append(pixels[..., 0])
    steep = np.zeros(size[::-1], np.float32)
    usual = 0.0
    for values in channels:
        light = cv2.GaussianBlur(
            cv2.LUT(np.ascontiguousarray(values), _logarithms()), (0, 0), _SMOOTH_MM * per_mm
        )
        near = _slope(light, per_mm)
        usual = max(usual, float(np.median(near[::3, ::3])))
        half = cv2.resize(light, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
        half = cv2.GaussianBlur(half, (0, 0), _SOFT_MM * per_mm / 2)
        wide = cv2.resize(_slope(half, per_mm / 2), size, interpolation=cv2.INTER_LINEAR)
        steep = np.maximum(steep, near - _SOFTNESS * wide)
    valid = np.asarray(cv2.resize(sheet.valid, size, interpolation=cv2.INTER_NEAREST))
    limit = max(_STEEP, 5 * usual)
    return _Edges(steep, limit, per_mm, valid)


def _logarithms() -> Array:
    """Of every pixel value."""
    return np.log(np.arange(256, dtype=np.float32) + 10)


def _slope(light: Array, per_mm: float) -> Array:
    across = cv2.Sobel(light, cv2.CV_32F, 1, 0, scale=per_mm / 8)
    down = cv2.Sobel(light, cv2.CV_32F, 0, 1, scale=per_mm / 8)
    return np.asarray(cv2.magnitude(across, down))


def _enclosed(edges: _Edges) -> Mask:
    """What a sharp edge encloses. Shadows have soft edges and streaks of light lie within, so
    neither the one is taken for a piece nor the other cuts one up.

    An edge goes on along weaker ones: on one side a piece may be as light as its own shadow."""
    plain = (edges.steep > edges.limit).astype(np.uint8)
    weak = (edges.steep > edges.faint).astype(np.uint8)
    reach = max(1, round(_HEALED_MM * edges.per_mm))
    together = cv2.dilate(weak, np.ones((2 * reach + 1, 2 * reach + 1), np.uint8))
    _, parts = cv2.connectedComponents(together, connectivity=8)
    parts *= weak
    strong = np.bincount(parts[plain > 0], minlength=int(parts.max()) + 1)
    strong[0] = 0
    kept = strong > _FEWEST_STRONG_MM * edges.per_mm
    lines = np.asarray((kept | _closed(parts, edges, kept))[parts], np.uint8)
    mask = _filled(lines, edges, reach)
    # what is still open is closed from farther, and what is compact by its hull
    thin = _thin(mask, edges.per_mm)
    if thin.any():
        wider = _filled(thin, edges, round(_HEALED_WIDER_MM * edges.per_mm))
        mask = np.maximum(mask, wider)
        thin = _thin(mask, edges.per_mm)
        mask = np.maximum(mask, _hulls(thin, edges.per_mm))
    return np.ascontiguousarray(mask)


def _closed(parts: NDArray[np.int32], edges: _Edges, kept: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Which runs of edges close round something though hardly any of them is plain: in a coarse
    picture the edges of a small washer are blurred all round. The edge of a stain is fainter."""
    longest = _FAINT_RUN_MM * edges.per_mm
    closed = np.zeros(len(kept), bool)
    long = np.bincount(parts.ravel(), minlength=len(kept)) > longest
    long[0] = False
    for number in np.flatnonzero(long & ~kept):
        y, x = np.nonzero(parts == number)
        if np.median(edges.steep[y, x]) < _FAINT_RUN_SHARE * edges.limit:
            continue
        here = np.zeros((np.ptp(y) + 3, np.ptp(x) + 3), np.uint8)
        here[y - y.min() + 1, x - x.min() + 1] = 1
        outlines, tree = cv2.findContours(here, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
        hull = cv2.contourArea(cv2.convexHull(np.column_stack((x, y)).astype(np.int32)))
        inner = [
            cv2.contourArea(line)
            for line, (*_, parent) in zip(outlines, tree[0], strict=True)
            if parent >= 0
        ]
        closed[number] = bool(inner) and max(inner) > _CLOSED_SHARE * hull
    return closed


def _thin(mask: Mask, per_mm: float) -> Mask:
    """What of a mask is lines alone: an outline that did not close."""
    depth = cv2.distanceTransform(mask, cv2.DIST_L2, 3)
    thin = np.zeros_like(mask)
    contours, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    for contour in contours:
        x, y, wide, high = cv2.boundingRect(contour)
        cover = np.zeros((high, wide), np.uint8)
        cv2.drawContours(cover, [contour], -1, 1, -1, offset=(-x, -y))
        here = cover * (mask[y : y + high, x : x + wide] > 0)
        narrow = min(cv2.minAreaRect(contour)[1])
        deepest = float((depth[y : y + high, x : x + wide] * here).max())
        if deepest < max(_LINE_MM / 2 * per_mm, _LINE_SHARE * narrow):
            thin[y : y + high, x : x + wide] |= here
    return thin


def _hulls(lines: Mask, per_mm: float) -> Mask:
    """Lines near one another that go most of the way round something compact: filled."""
    filled = np.zeros_like(lines)
    reach = 2 * round(_TOGETHER_MM * per_mm) + 1
    near = cv2.dilate(lines, np.ones((reach, reach), np.uint8))
    count, parts = cv2.connectedComponents(near, connectivity=8)
    for number in range(1, count):
        y, x = np.nonzero((parts == number) & (lines > 0))
        spots = np.column_stack((x, y)).astype(np.int32)
        _, sides, _ = cv2.minAreaRect(spots.astype(np.float32))
        if min(sides) < 3 * per_mm or max(sides) > 1.4 * min(sides):
            continue
        hull = cv2.convexHull(spots).reshape(-1, 2)
        middle = hull.mean(axis=0)
        round_it = np.unique((np.arctan2(*(spots - middle).T) * 18 / np.pi).astype(int))
        if len(round_it) > 22:
            cv2.fillPoly(filled, [hull], 255)
    return filled


def _filled(lines: Mask, edges: _Edges, reach: int) -> Mask:
    """Lines healed over gaps of twice the reach, and what they then enclose."""
    round_ = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * reach + 1, 2 * reach + 1))
    wide = cv2.copyMakeBorder(lines, reach, reach, reach, reach, cv2.BORDER_CONSTANT, value=0)
    closed = cv2.dilate(wide, round_)[reach:-reach, reach:-reach]
    open_ = cv2.copyMakeBorder(
        (closed == 0).astype(np.uint8), 1, 1, 1, 1, cv2.BORDER_CONSTANT, value=1
    )
    open_[1:-1, 1:-1] |= (edges.valid == 0).astype(np.uint8)
    _, parts = cv2.connectedComponents(open_, connectivity=4)
    outside = (parts == parts[0, 0])[1:-1, 1:-1].astype(np.uint8)
    return np.asarray((1 - cv2.dilate(outside, round_)) * 255, np.uint8)


def _differences(parted: Parted, mask: Mask) -> Array:
    """How much darker than paper, or otherwise coloured, as fine as the mask: log, 0 is paper."""
    strength = float(np.linalg.norm(parted.body))
    return np.asarray(
        cv2.resize(parted.differs * strength, mask.shape[1::-1], interpolation=cv2.INTER_LINEAR)
    )


def _is_piece(body: Body, sheet: RectifiedSheet, edges: _Edges) -> bool:
    """Not a stain or a shadow: most of its outline is a sharp edge."""
    scale = edges.per_mm / sheet.per_mm
    places = np.round((sheet.to_pixels(body.outer) + 0.5) * scale - 0.5).astype(int)
    places = np.clip(places, 0, (edges.steep.shape[1] - 1, edges.steep.shape[0] - 1))
    near = max(1, round(0.3 * edges.per_mm))
    spots = [
        edges.steep[
            np.clip(places[:, 1] + dy, 0, edges.steep.shape[0] - 1),
            np.clip(places[:, 0] + dx, 0, edges.steep.shape[1] - 1),
        ]
        for dx in (-near, 0, near) for dy in (-near, 0, near)
    ]  # fmt: skip
    sharp = np.max(spots, axis=0) > edges.faint
    return float(sharp.mean()) > _SHARP_SHARE


def _painted(outline: Array, sheet: RectifiedSheet, mask: Array) -> tuple[tuple[int, int], Mask]:
    scale = mask.shape[1] / sheet.pixels.shape[1]
    places = np.round((sheet.to_pixels(outline) + 0.5) * scale - 0.5).astype(np.int32)
    places = np.clip(places, 0, (mask.shape[1] - 1, mask.shape[0] - 1))
    corner = places.min(axis=0)
    wide, high = places.max(axis=0) - corner + 1
    cover = np.zeros((high, wide), np.uint8)
    cv2.fillPoly(cover, [places - corner], 255)
    return (int(corner[0]), int(corner[1])), cover


def _hole(outline: Array, sheet: RectifiedSheet, fine: Array) -> Array | None:
    """Paper seen through a piece: a light spot in its middle."""
    scale = fine.shape[1] / sheet.pixels.shape[1]
    (x, y), cover = _painted(outline, sheet, fine)
    high, wide = cover.shape
    values = fine[y : y + high, x : x + wide]
    depth = float(np.percentile(values[cover > 0], 75))
    # along the rim the light is half paper's own
    rim = 2 * max(1, round(_RIM_MM * sheet.per_mm * scale)) + 1
    bare = cv2.copyMakeBorder(cover, rim, rim, rim, rim, cv2.BORDER_CONSTANT, value=0)
    inner = cv2.erode(bare, np.ones((rim, rim), np.uint8))[rim:-rim, rim:-rim]
    light = ((values < _HOLE_SHARE * depth) & (inner > 0)).astype(np.uint8)
    contours, _ = cv2.findContours(light, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    gaps = [
        sheet.to_mm((line.reshape(-1, 2) + (x, y) + 0.5) / scale - 0.5)
        for line in contours
        if len(line) > 8
    ]
    central = [gap for gap in gaps if _central(gap, outline)]
    return max(central, key=lambda line: float(np.ptp(line, axis=0).min()), default=None)


def _central_gap(outline: Array, sheet: RectifiedSheet, fine: Array, edges: _Edges) -> Array | None:
    """The place round a piece's middle that an edge encloses, where it is as light as paper: a
    bright nut is no darker than paper, but its bore has an edge of its own."""
    scale = fine.shape[1] / sheet.pixels.shape[1]
    (x, y), cover = _painted(outline, sheet, fine)
    high, wide = cover.shape
    lines = edges.steep[y : y + high, x : x + wide] > 0.6 * edges.limit
    free = ((~lines) & (cover > 0)).astype(np.uint8)
    _, parts = cv2.connectedComponents(free, connectivity=4)
    number = parts[high // 2, wide // 2]
    if not number:
        return None
    inside = (parts == number).astype(np.uint8)
    if abs(float(np.median(fine[y : y + high, x : x + wide][inside > 0]))) > _AS_PAPER:
        return None
    grown = cv2.dilate(inside, np.ones((3, 3), np.uint8))
    contours, _ = cv2.findContours(grown, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    line = max(contours, key=len).reshape(-1, 2)
    gap = sheet.to_mm((line + (x, y) + 0.5) / scale - 0.5)
    return gap if len(line) > 8 and _central(gap, outline) else None


def _ringed(outline: Array, sheet: RectifiedSheet, edges: _Edges) -> Array | None:
    """The round edge within a round piece: metal may be about as light as the paper in its bore,
    that lies in its shadow, yet all round there is an edge between them."""
    size = np.ptp(outline, axis=0)
    if size.min() < _ROUND_PIECE * size.max():
        return None
    scale = edges.per_mm / sheet.per_mm
    middle = (sheet.to_pixels((outline.min(axis=0) + outline.max(axis=0)) / 2) + 0.5) * scale - 0.5
    radius = float(size.mean()) / 2 * edges.per_mm
    around = cv2.warpPolar(
        np.asarray(edges.steep, np.float32), (round(radius), _RAYS), tuple(map(float, middle)),
        radius, cv2.WARP_POLAR_LINEAR,
    )  # fmt: skip
    near, far = round(_NARROWEST_BORE * radius), round(_WIDEST_BORE * radius)
    band = cv2.GaussianBlur(around, (0, 0), 0.3 * edges.per_mm, sigmaY=0.1)[:, near:far]
    if band.size == 0:
        return None
    best = near + int(np.argmax(np.minimum(band, 4 * edges.limit).mean(axis=0)))
    low = max(near, round(best - _BORE_OFF * radius))
    part = around[:, low : round(best + _BORE_OFF * radius)]
    at = low + np.argmax(part, axis=1)
    plain = part.max(axis=1) > edges.faint
    turns = np.arange(_RAYS) * 2 * np.pi / _RAYS
    spots = middle + np.column_stack((np.cos(turns), np.sin(turns))) * at[:, None]
    if plain.mean() < _PLAIN_RAYS:
        return None
    found = fit_circle(sheet.to_mm((spots[plain] + 0.5) / scale - 0.5))
    close = np.abs(
        np.linalg.norm(sheet.to_mm((spots + 0.5) / scale - 0.5) - (found.x, found.y), axis=1)
        - found.radius
    )
    if (plain & (close < _ROUND_BORE_MM + 0.1 * found.radius)).mean() < _PLAIN_RAYS:
        return None
    ring = np.column_stack((np.cos(turns), np.sin(turns))) * found.radius + (found.x, found.y)
    return ring if _central(ring, outline) else None


def _piece(
    body: Body, found: list[Body], sheet: RectifiedSheet, fine: Array, edges: _Edges
) -> Piece:
    trouble = ""
    if body.cut_off:
        trouble = "it reaches over the edge of what is seen"
    elif any(other is not body and _near(body.outer, other.outer) for other in found):
        trouble = "another piece lies too near; lay them apart"
    gap = _central_gap(body.outer, sheet, fine, edges)
    if gap is None:
        gap = _hole(body.outer, sheet, fine)
    if gap is None:
        gap = _ringed(body.outer, sheet, edges)
    return Piece(body.outer, gap, trouble)


def _encloses(body: Body, other: Body) -> bool:
    low, high = body.outer.min(axis=0), body.outer.max(axis=0)
    middle = (other.outer.min(axis=0) + other.outer.max(axis=0)) / 2
    if (middle < low).any() or (middle > high).any() or other.filled > body.filled:
        return False
    x, y = map(float, middle)
    return bool(cv2.pointPolygonTest(body.outer.astype(np.float32), (x, y), False) > 0)


def _near(one: Array, other: Array) -> bool:
    low, high = one.min(axis=0) - _NEAR_MM, one.max(axis=0) + _NEAR_MM
    if (other.max(axis=0) < low).any() or (other.min(axis=0) > high).any():
        return False
    apart = np.linalg.norm(one[::2, None] - other[None, ::2], axis=2)
    return bool(apart.min() < _NEAR_MM)


def _central(gap: Array, outer: Array) -> bool:
    """A hole through a ring lies in its middle; a streak of light seldom does."""
    size = np.ptp(outer, axis=0)
    off = (gap.min(axis=0) + gap.max(axis=0)) / 2 - (outer.min(axis=0) + outer.max(axis=0)) / 2
    inner = np.ptp(gap, axis=0)
    return bool(
        (np.abs(off) < 0.15 * size).all()
        and inner.min() > 0.5 * inner.max()
        and inner.min() > 0.12 * size.max()
        and inner.max() < _WIDEST_BORE * size.min()
        and size.min() > 0.6 * size.max()
    )
