"""Whether the edges that a piece was fitted to are plainly its own, or may be shine's or shadow's.

Polished metal mirrors paper, lamps and its own shadow. Its outline stays sharp, but the edge that
is followed may be the inner one of a bright chamfer, or the outer one of a dark shadow. What tells
of it: metal about as light as the paper beside it, so that a rim of another light, narrower than a
pixel, shifts the edge (by its width times its own step over the metal's); a second edge along the
first; an end where the light hardly changes.
"""

from __future__ import annotations

from typing import NamedTuple

import cv2
import numpy as np

from tagbench.measure.edges import Light, edges_near, evenly, normals, signed_area
from tagbench.measure.lay.rings import Ring
from tagbench.measure.lay.solid import Eye, Solid
from tagbench.measure.lay.strip import Frame
from tagbench.measure.rectification import RectifiedSheet
from tagbench.measure.solver import Array

_STEP_MM = 0.05
_WITHOUT_MM, _WITHIN_MM, _PAPER_MM = (-0.3, -0.12), (0.12, 0.3), (-1.2, -0.8)
"""Places on the normals of an outline, inward: just without, just within, and on free paper."""
_HARDLY, _PLAINLY = 0.2, 0.5
"""Steps in light from paper to metal, as a share of paper's: below the one any rim shifts the edge
by more than is promised, above the other none does."""
_AGREED = 0.88
"""At so much of both rims of a washer an edge must lie where it should, where the step is between
the two (made pictures of washers of every look)."""
_NUT_STEP, _NUT_FAINT, _FAINT = 0.3, 0.4, 0.25
"""A nut's sides stand in its own shadow: their step, and the share of them where it is fainter."""
_NUT_CLOSE_MM = 0.045
"""An outline that is so nearly a hexagon's all round is the nut's own, however faint."""
_NUT_LOW, _NUT_HIGH = 0.43, 0.655
"""Where its step is not plain, a nut that fits only if it is so low or so high (shares of its width
across flats) was fitted to an edge that is not its own (ISO 4032: 0.46 to 0.59; memory)."""
_REACH_MM = 1.2
_OWN_MM, _OWN_PITCHES, _BESIDE_MM, _FAR_MM = 0.12, 0.25, 0.1, 0.7
"""Crests and roots of a thread lie so far to both sides of the mean outline; what lies farther out
by so much, and no more than so far, runs beside it."""
_AS_STRONG, _MOST_BESIDE = 0.5, 0.3
_DARK, _FEWEST_DARK = 0.2, 0.3
_TIP_RADII, _FACING, _AT_TIP_MM, _OFF_TIP_MM = 1.3, 0.7, 0.2, 0.3
_CLEAR, _FEWEST_CLEAR = 0.3, 0.4
_TIP_AS_STRONG = 0.6
_TIP_STEP, _MOST_OTHER = 0.27, 0.6
_TIP_STEP_DOUBTED, _MOST_OTHER_DOUBTED = 0.45, 0.5


def rim_doubted(light: Light, sheet: RectifiedSheet, ring: Ring) -> bool:
    """Whether the outside of a washer, or the width of a nut, may be that of another edge."""
    step = _Around(light, sheet, ring.outline).step()
    usual = float(np.median(step))
    if ring.is_nut and sheet.camera is None:
        # flat on the glass nothing is seen of its height, that a camera's view adds to its width
        return False
    if ring.is_nut:
        unlike = not _NUT_LOW < ring.thick / ring.outside < _NUT_HIGH
        faint = usual < _NUT_STEP or float(np.mean(step < _FAINT)) > _NUT_FAINT
        return ring.spread > _NUT_CLOSE_MM and (faint or (unlike and usual < _PLAINLY))
    return usual < _PLAINLY and (usual < _HARDLY or ring.seen_all_round < _AGREED)


def side_doubted(
    light: Light, sheet: RectifiedSheet, outline: Array, solid: Solid, pitch: float, *, read: bool
) -> bool:
    """Whether a side of a shank may be another edge: one as strong runs beside it, or no thread is
    `read` that would tell it from a shadow, and it is no darker than paper."""
    around = _Around(light, sheet, outline)
    off, strength = around.edges()
    step = around.step()
    own_to = _OWN_MM + _OWN_PITCHES * pitch
    own = (strength * (np.abs(off) < own_to)).max(axis=1)
    out = -off - own_to
    beside = (strength * ((out > _BESIDE_MM) & (out < _FAR_MM))).max(axis=1)
    way = np.array((np.cos(solid.turn), np.sin(solid.turn)))
    from_middle = around.points - (solid.x, solid.y)
    shank = np.abs(from_middle @ way) < 0.4 * solid.length
    across = from_middle @ (-way[1], way[0])
    for side in (shank & (across > 0), shank & (across <= 0)):
        if not side.any():
            continue
        if float(np.mean(beside[side] > _AS_STRONG * own[side])) > _MOST_BESIDE:
            return True
        if not read and float(np.mean(step[side] > _DARK)) < _FEWEST_DARK:
            return True
    return False


class Tip(NamedTuple):
    """How surely a shank ends where it seems to."""

    lost: bool
    doubted: bool
    """Good enough for a shank whose sides are plainly its own, and not for one that lies in shine
    or shadow."""


def tip_sight(
    light: Light, sheet: RectifiedSheet, outline: Array, solid: Solid, eye: Eye | None
) -> Tip:
    """Whether a shank may end elsewhere: hardly an edge is seen where it should end, or others as
    strong beside a faint one. A stud has two ends."""
    around = _Around(light, sheet, outline)
    off, strength = around.edges()
    step = around.step()
    own = (strength * (np.abs(off) < _AT_TIP_MM)).max(axis=1)
    other = (strength * (np.abs(off) > _OFF_TIP_MM)).max(axis=1)
    way = np.array((np.cos(solid.turn), np.sin(solid.turn)))
    lost = doubted = False
    for end in (1, -1) if solid.shape == "stud" else (1,):
        along = np.array((end * solid.length / 2 * float(np.cos(solid.tilt)),))
        frame = Frame(np.array((solid.x, solid.y)), way, solid.heights[end > 0], eye)
        spot = frame.to_sheet(along, np.zeros(1))[0]
        near = np.linalg.norm(around.points - spot, axis=1) < _TIP_RADII * solid.radius
        here = near & (-end * (around.inward @ way) > _FACING)
        if not here.any():
            continue
        clear = float(np.mean(own[here] > _CLEAR))
        rivals = float(np.mean(other[here] > _TIP_AS_STRONG * own[here]))
        fall = float(np.median(step[here]))
        lost |= clear < _FEWEST_CLEAR or (fall < _TIP_STEP and rivals > _MOST_OTHER)
        doubted |= fall < _TIP_STEP_DOUBTED and rivals > _MOST_OTHER_DOUBTED
    return Tip(lost, doubted or lost)


class _Around:
    """The light about a closed outline."""

    def __init__(self, light: Light, sheet: RectifiedSheet, outline: Array):
        self._light, self._sheet = light, sheet
        self._outline = outline if signed_area(outline) > 0 else outline[::-1]
        self.points = evenly(self._outline)
        self.inward = normals(self.points)

    def step(self) -> Array:
        """At each point how much darker it is just within than just without, as a share of the
        light on free paper; below zero where it is lighter."""
        offsets = np.arange(_PAPER_MM[0], _WITHIN_MM[1] + 1e-9, _STEP_MM)
        spots = self.points[:, None] + self.inward[:, None] * offsets[None, :, None]
        sheet = self._sheet
        places = ((spots - (sheet.left, sheet.top)) * sheet.per_mm).astype(np.float32)
        seen = cv2.remap(
            self._light, places, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
        )
        without, within, paper = (
            seen[:, (offsets > low) & (offsets < high)]
            for low, high in (_WITHOUT_MM, _WITHIN_MM, _PAPER_MM)
        )
        free = max(float(np.percentile(paper, 75)), 1e-3)
        return np.asarray((without.mean(axis=1) - within.mean(axis=1)) / free)

    def edges(self) -> tuple[Array, Array]:
        """Edges on each normal: how far inward of the outline they lie, mm, and how strong."""
        found = edges_near(self._light, self._sheet, self._outline, _REACH_MM)
        off = ((found.points - self.points[:, None]) * self.inward[:, None]).sum(axis=-1)
        return off, found.strength
