"""Rough outlines of what lies on the paper: bodies, the gaps in them, lines that were drawn."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from tagbench.errors import BadInput
from tagbench.measure.edges import signed_area
from tagbench.measure.paper import Mask, Parted
from tagbench.measure.rectification import RectifiedSheet
from tagbench.measure.solver import Array

_FINER = 3
"""The coarse grid is made so many times finer before outlines are drawn on it."""
SMALLEST_GAP_MM2 = 3.0
"""A hole of 2 mm; smaller gaps are grain."""
_OPEN_LINE = 12.0
"""A line that is not closed is so many times longer round than the root of what it covers; a
square is 4, a slim oblong of 1 to 20 is 9."""
_LINE_MM, _LINE_SHARE = 1.6, 0.2
"""What is narrower and fills less of what it encloses is a drawn line, not a body."""


@dataclass(frozen=True, slots=True)
class Body:
    """One thing on the paper, mm on the sheet."""

    outer: Array
    gaps: tuple[Array, ...]
    area: float
    """What it covers, mm², gaps taken off."""
    cut_off: bool
    """It reaches the edge of the sheet or of the picture."""

    @property
    def filled(self) -> float:
        """Area within its outer edge, mm²."""
        return abs(signed_area(self.outer))

    @property
    def open_line(self) -> bool:
        """A line that goes round nothing: what somebody drew has gaps."""
        around = sum(_length(line) for line in (self.outer, *self.gaps))
        return bool(2 * self.area / around < _LINE_MM and around > _OPEN_LINE * self.filled**0.5)

    @property
    def drawn(self) -> bool:
        """A line somebody drew round something."""
        around = sum(_length(line) for line in (self.outer, *self.gaps))
        return bool(
            self.gaps
            and 2 * self.area / around < _LINE_MM
            and self.area < _LINE_SHARE * self.filled
        )


def _length(points: Array) -> float:
    return float(np.linalg.norm(points - np.roll(points, 1, axis=0), axis=1).sum())


def mask_of(parted: Parted, level: float = 0.5, close_mm: float = 0.0) -> tuple[Mask, float]:
    """What differs from paper by more than `level`, finer than the coarse grid, and pixels a mm."""
    high, wide = parted.differs.shape
    size = wide * _FINER, high * _FINER
    fine = cv2.resize(parted.differs, size, interpolation=cv2.INTER_CUBIC)
    mask = np.asarray((fine > level).astype(np.uint8) * 255)
    per_mm = parted.per_mm * _FINER
    if close_mm > 0:
        reach = max(3, round(close_mm * per_mm)) | 1
        round_ = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach))
        padded = cv2.copyMakeBorder(mask, reach, reach, reach, reach, cv2.BORDER_CONSTANT, value=0)
        mask = cv2.morphologyEx(padded, cv2.MORPH_CLOSE, round_)[reach:-reach, reach:-reach]
    return np.ascontiguousarray(mask), per_mm


def bodies(sheet: RectifiedSheet, mask: Mask, smallest: float) -> list[Body]:
    """What lies on the paper, the largest first, pieces under `smallest` mm² left out."""
    scale = mask.shape[1] / sheet.pixels.shape[1]
    contours, tree = cv2.findContours(mask, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    found: list[Body] = []
    if tree is None:
        return found
    per_mm2 = (sheet.per_mm * scale) ** 2
    edge = cv2.erode(
        sheet.valid, np.ones((5, 5), np.uint8), borderType=cv2.BORDER_CONSTANT, borderValue=0
    )
    for index, contour in enumerate(contours):
        if tree[0][index][3] >= 0 or cv2.contourArea(contour) < smallest * per_mm2:
            continue
        gaps, gap = [], tree[0][index][2]
        while gap >= 0:
            if cv2.contourArea(contours[gap]) >= SMALLEST_GAP_MM2 * per_mm2:
                gaps.append(_placed(contours[gap], sheet, scale))
            gap = tree[0][gap][0]
        outer = _placed(contour, sheet, scale)
        area = abs(signed_area(outer)) - sum(abs(signed_area(line)) for line in gaps)
        if area < smallest:
            continue
        found.append(Body(outer, tuple(gaps), area, _at_edge(outer, sheet, edge)))
    return sorted(found, key=lambda body: -body.filled)


def _placed(contour: Array, sheet: RectifiedSheet, scale: float) -> Array:
    """A contour of the finer grid in mm; half a pixel of either grid is minded."""
    pixels = (contour.reshape(-1, 2).astype(float) + 0.5) / scale - 0.5
    return sheet.to_mm(pixels)


def _at_edge(outer: Array, sheet: RectifiedSheet, edge: Mask) -> bool:
    places = np.round(sheet.to_pixels(outer)).astype(int)
    high, wide = edge.shape
    places = np.clip(places, 0, (wide - 1, high - 1))
    return bool((edge[places[:, 1], places[:, 0]] == 0).any())


def largest_body(found: list[Body]) -> Body:
    """The one that encloses most; BadInput where there is none or it is cut off."""
    if not found:
        raise BadInput(
            "No gasket is seen on the paper; lay it flat in the plain middle. Scan a cover face "
            "down with the scanner's lid open, in a dark room."
        )
    best = found[0]
    if best.cut_off:
        raise BadInput(
            "The gasket reaches over the edge of what is seen; move it into the plain middle, or "
            "scan it in one piece."
        )
    return best
