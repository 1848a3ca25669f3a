"""The pieces on a sheet, each by itself: bright or dark, its shadow left out."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from tagbench.errors import BadInput
from tagbench.measure.outlines import Body, bodies
from tagbench.measure.paper import Mask, Parted, part_from_paper
from tagbench.measure.rectification import Sheet
from tagbench.measure.solver import Array

SMALLEST_MM2 = 5.0
"""An M2 screw of 4 mm covers more."""
_FAINT = 0.2
_HOLE_SHARE, _RIM_MM = 0.45, 0.6
_EDGES_PER_MM, _SMOOTH_MM, _HEALED_MM = 9.0, 0.12, 0.25
_STEEP = 0.3
"""Light (log) that changes faster than this a mm is an edge; shadows of pieces are softer."""
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


def separate(sheet: Sheet) -> tuple[list[Piece], Parted]:
    """The pieces, row by row from the top; BadInput where none is seen."""
    parted = part_from_paper(sheet)
    mask = _enclosed(sheet)
    fine = _differences(parted, mask)
    found = [body for body in bodies(sheet, mask, SMALLEST_MM2) if _is_piece(body, sheet, fine)]
    if not found:
        raise BadInput(
            "No fastener is seen on the paper; lay them apart in the plain middle, in even light."
        )
    pieces = [_piece(body, found, sheet, fine) for body in found]
    return sorted(pieces, key=lambda piece: (round(piece.middle[1] / 15), piece.middle[0])), parted


def _enclosed(sheet: Sheet) -> Mask:
    """What a sharp edge encloses. Shadows have soft edges and streaks of light lie within, so
    neither the one is taken for a piece nor the other cuts one up."""
    scale = min(1.0, _EDGES_PER_MM / sheet.per_mm)
    per_mm = sheet.per_mm * scale
    high, wide = sheet.pixels.shape[:2]
    size = round(wide * scale), round(high * scale)
    pixels = cv2.resize(sheet.pixels, size, interpolation=cv2.INTER_AREA)
    grey = pixels if pixels.ndim == 2 else cv2.cvtColor(pixels, cv2.COLOR_BGR2GRAY)
    light = cv2.GaussianBlur(np.log(grey.astype(np.float32) + 10), (0, 0), _SMOOTH_MM * per_mm)
    across = cv2.Sobel(light, cv2.CV_32F, 1, 0, scale=per_mm / 8)
    down = cv2.Sobel(light, cv2.CV_32F, 0, 1, scale=per_mm / 8)
    steep = cv2.magnitude(across, down)
    limit = max(_STEEP, 5 * float(np.median(steep)))
    reach = max(1, round(_HEALED_MM * per_mm))
    round_ = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * reach + 1, 2 * reach + 1))
    edges = cv2.dilate((steep > limit).astype(np.uint8), round_)
    valid = cv2.resize(sheet.valid, size, interpolation=cv2.INTER_NEAREST)
    open_ = cv2.copyMakeBorder(
        (edges == 0).astype(np.uint8), 1, 1, 1, 1, cv2.BORDER_CONSTANT, value=1
    )
    open_[1:-1, 1:-1] |= (valid == 0).astype(np.uint8)
    _, parts = cv2.connectedComponents(open_, connectivity=4)
    outside = (parts == parts[0, 0])[1:-1, 1:-1].astype(np.uint8)
    grown = cv2.dilate(outside, round_)
    return np.ascontiguousarray((1 - grown) * 255)


def _differences(parted: Parted, mask: Mask) -> Array:
    """How much darker than paper, or otherwise coloured, as fine as the mask: log, 0 is paper."""
    strength = float(np.linalg.norm(parted.body))
    return np.asarray(
        cv2.resize(parted.differs * strength, mask.shape[1::-1], interpolation=cv2.INTER_LINEAR)
    )


def _is_piece(body: Body, sheet: Sheet, fine: Array) -> bool:
    """Not a stain or a shadow: it differs from paper as metal does."""
    return float(np.percentile(_inside(body.outer, sheet, fine), 75)) > _FAINT


def _inside(outline: Array, sheet: Sheet, fine: Array) -> Array:
    (x, y), cover = _painted(outline, sheet, fine)
    high, wide = cover.shape
    return np.asarray(fine[y : y + high, x : x + wide][cover > 0])


def _painted(outline: Array, sheet: Sheet, mask: Array) -> tuple[tuple[int, int], Mask]:
    scale = mask.shape[1] / sheet.pixels.shape[1]
    places = np.round((sheet.to_pixels(outline) + 0.5) * scale - 0.5).astype(np.int32)
    places = np.clip(places, 0, (mask.shape[1] - 1, mask.shape[0] - 1))
    corner = places.min(axis=0)
    wide, high = places.max(axis=0) - corner + 1
    cover = np.zeros((high, wide), np.uint8)
    cv2.fillPoly(cover, [places - corner], 255)
    return (int(corner[0]), int(corner[1])), cover


def _hole(outline: Array, sheet: Sheet, fine: Array) -> Array | None:
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


def _piece(body: Body, found: list[Body], sheet: Sheet, fine: Array) -> Piece:
    trouble = ""
    if body.cut_off:
        trouble = "it reaches over the edge of what is seen"
    elif any(other is not body and _near(body.outer, other.outer) for other in found):
        trouble = "another piece lies too near; lay them apart"
    return Piece(body.outer, _hole(body.outer, sheet, fine), trouble)


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
        and size.min() > 0.6 * size.max()
    )
