"""A screw as a solid that rests on the paper, and the outline that a camera sees of it.

A screw is laid of convex pieces: shank, tip, head. What a camera sees of a convex piece is the
convex hull of what it sees of its rims, so the outline follows exactly, however slanted the view:
ends bulge, a head hides its own face, and what lies higher is seen moved away from the camera.
A headed screw rests on the rim of its head and on its tip, so its axis falls towards the tip.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import atan2, cos, sin
from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray

from tagbench.measure.solver import Array

SolidShape = Literal["stud", "round", "hex", "countersunk"]
Eye = tuple[float, float, float]

FLAT = float(np.cos(np.pi / 6))
"""Half the width across flats of a hexagon over half its width across corners."""
_CORNERS = 24
_RIM = np.column_stack(
    [way(2 * np.pi * (np.arange(_CORNERS) + 0.5) / _CORNERS) for way in (np.cos, np.sin)]
) / np.sqrt(np.sinc(1 / _CORNERS))  # fmt: skip
"""A circle by so many corners, as wide as the circle in the mean."""
_HEXAGON = np.column_stack(
    [way(np.pi / 3 * np.arange(6)) for way in (np.cos, np.sin)]
)  # fmt: skip
_HEX_CHAMFER = float(np.tan(np.pi / 6))
"""A hexagon head's chamfer, of 30 degrees, is so much as high as it is wide."""
_COUNTERSUNK_RIM = 0.2
"""Height of the sharp rim's flat of a countersunk head, mm (ISO 7721 gives 0.2 to 0.4, memory)."""


@dataclass(frozen=True, slots=True)
class Solid:
    """A screw or stud, mm; x, y is the middle of its shank's axis, seen from straight above."""

    shape: SolidShape
    x: float
    y: float
    turn: float
    """From head to tip, radians from x towards y."""
    length: float
    """Under the head; over all for a stud and a countersunk head."""
    radius: float
    """Of the shank."""
    chamfer: float
    """What the tip loses of its radius, and of its length, at 45 degrees."""
    half: float = 0.0
    """Half the head's width: to the corners of a hexagon."""
    high: float = 0.0
    """Height of the head."""
    straight: float = 1.0
    """Round heads: how much of the height is a plain cylinder, as a share."""
    top: float = 0.9
    """Radius of the top's flat as a share of `half`; not of a countersunk head."""
    raised: float = 0.0
    """How far over the paper it is held, mm: below zero it is sunk in."""
    fall: float = 0.0
    """How much more its axis falls towards the tip than by resting on head and tip, radians."""

    plain: float = 0.0
    """How far the shank is plain from where `length` begins, when a thread follows on it."""
    drop: float = 0.0
    """How far the mean of the thread's edge lies under the plain shank's."""

    @property
    def rest(self) -> float:
        """Half the head's width where it rests on the paper."""
        if self.shape == "stud":
            return self.radius
        return self.half * FLAT if self.shape == "hex" else self.half

    @property
    def tilt(self) -> float:
        """How far the axis falls towards the tip, radians."""
        lower = self.rest - self.radius
        return self.fall + atan2(lower, max(self.length - self.chamfer, 1.0))

    @property
    def heights(self) -> tuple[float, float]:
        """Heights of the axis over the paper where `length` begins and where it ends."""
        tilt = self.tilt
        start = self.rest * cos(tilt)
        end = start - self.length * sin(tilt)
        return start + self.raised, end + self.raised

    def outline(self, eye: Eye | None) -> list[Array]:
        """The convex pieces as they are seen on the paper, each a closed run of corners."""
        seen = corners_seen([self], eye)[0]
        return [seen[part][hull] for part, hull in self._hulls(seen)]

    def _hulls(self, seen: Array) -> list[tuple[slice, NDArray[np.intp]]]:
        """For each convex piece where its corners stand in `seen`, and which of them bound it."""
        found, start = [], 0
        for rims in self.rims():
            part = slice(start, start + sum(len(rim) for _, _, rim in rims))
            hull = cv2.convexHull(seen[part].astype(np.float32), returnPoints=False)
            found.append((part, hull.ravel()))
            start = part.stop
        return found

    def rims(self) -> list[list[tuple[float, float, Array]]]:
        """Convex pieces as rims: place along the axis, half width, form."""
        end, tip = self.length - self.chamfer, self.radius - self.chamfer
        thread = self.radius - self.drop
        shank = [(end, thread, _RIM), (self.length, min(tip, thread), _RIM)]
        before = []
        if self.drop:
            before = [(self.plain, self.radius, _RIM)]
            shank = [(self.plain, thread, _RIM), *shank]
        if self.shape == "stud":
            start = [(0.0, tip, _RIM), (self.chamfer, self.radius, _RIM), *before]
            return [start, shank] if before else [[*start, *shank]]
        if self.shape == "countersunk":
            foot = _COUNTERSUNK_RIM + max(self.high, 0.05)
            head = [(0.0, self.half, _RIM), (_COUNTERSUNK_RIM, self.half, _RIM)]
            head, start = [*head, (foot, self.radius, _RIM)], [(foot, self.radius, _RIM)]
        else:
            head, start = self._head(), [(0.0, self.radius, _RIM)]
        return [head, [*start, *before], shank] if before else [head, [*start, *shank]]

    def _head(self) -> list[tuple[float, float, Array]]:
        """The rims of a hexagon or round head."""
        if self.shape == "hex":
            chamfer = min(_HEX_CHAMFER * self.half * (1 - self.top), 0.5 * self.high)
            return [(0.0, self.half, _HEXAGON), (chamfer - self.high, self.half, _HEXAGON),
                    (-self.high, self.half * self.top, _RIM)]  # fmt: skip
        dome = self.high * (1 - self.straight)
        head = [(0.0, self.half, _RIM), (-self.high + dome, self.half, _RIM)]
        # a quarter of an ellipse from the cylinder to the flat on top
        for share in (0.4, 0.75, 1.0):
            half = self.half * (self.top + (1 - self.top) * float(np.sqrt(max(0.0, 1 - share**2))))
            head.append((-self.high + dome * (1 - share), half, _RIM))
        return head


def corners_seen(solids: Sequence[Solid], eye: Eye | None) -> Array:
    """Where the corners of solids of one shape are seen on the paper: (solid, corner, 2), mm."""
    every = [[one for rims in solid.rims() for one in rims] for solid in solids]
    forms = [rim for _, _, rim in every[0]]
    sizes = [len(rim) for rim in forms]
    lengths = np.array([[solid.length / 2] for solid in solids])
    along = np.repeat(np.array([[at for at, _, _ in rims] for rims in every]) - lengths, sizes, 1)
    halves = np.repeat(np.array([[half for _, half, _ in rims] for rims in every]), sizes, 1)
    rim = np.concatenate(forms)
    across, up = halves * rim[:, 0], halves * rim[:, 1]
    # the axis lies level at `turn` and falls by `tilt`
    tilt = [solid.tilt for solid in solids]
    axes = np.array(
        [(cos(one.turn), sin(one.turn), cos(fall), sin(fall), one.x, one.y, sum(one.heights) / 2)
         for one, fall in zip(solids, tilt, strict=True)]
    )  # fmt: skip
    c, s, c_fall, s_fall, x, y, middle = axes.T[..., None]
    level = along * c_fall + up * s_fall
    seen = np.stack((x + level * c - across * s, y + level * s + across * c), axis=-1)
    if eye is None:
        return seen
    height = middle - along * s_fall + up * c_fall
    foot = np.array(eye[:2])
    return np.asarray(foot + (seen - foot) * (eye[2] / (eye[2] - height))[..., None])


def off_outline(points: Array, hulls: list[Array]) -> Array:
    """How far points are outside of what is seen (inside below zero), mm."""
    nearest = np.full(len(points), np.inf)
    for hull in hulls:
        off, _, _ = _off_sides(points, hull)
        nearest = np.minimum(nearest, off.max(axis=1))
    return nearest


def _off_sides(points: Array, hull: Array) -> tuple[Array, Array, Array]:
    """How far points are beyond each side of a hull; the normals (2, n) and lengths of these."""
    x, y = hull[:, 0], hull[:, 1]
    along_x = np.concatenate((x[1:], x[:1])) - x
    along_y = np.concatenate((y[1:], y[:1])) - y
    length = np.maximum(np.hypot(along_x, along_y), 1e-9)
    # outline() gives hulls that turn from x towards y
    normal = np.stack((along_y / length, -along_x / length))
    return points @ normal - (normal[0] * x + normal[1] * y), normal, length


def off_and_slopes(
    points: Array, solid: Solid, others: Sequence[Solid], steps: Array, eye: Eye | None
) -> tuple[Array, Array]:
    """How far points are outside of what is seen of a solid, and how much farther (a unit of each
    step) of others, each a small step from it. Of a side, its two corners move."""
    seen = corners_seen([solid, *others], eye)
    moves = (seen[1:] - seen[0]) / steps[:, None, None]
    nearest = np.full(len(points), np.inf)
    slopes = np.zeros((len(points), len(others)))
    for part, hull in solid._hulls(seen[0]):
        corners = seen[0, part][hull]
        off, normal, length = _off_sides(points, corners)
        side = off.argmax(axis=1)
        farthest = off[np.arange(len(points)), side]
        here = np.flatnonzero(farthest < nearest)
        nearest[here] = farthest[here]
        side = side[here]
        after = (side + 1) % len(hull)
        out = normal[:, side]
        from_corner = points[here] - corners[side]
        share = (out[0] * from_corner[:, 1] - out[1] * from_corner[:, 0]) / length[side]
        first, last = moves[:, part][:, hull[side]], moves[:, part][:, hull[after]]
        moved_by = first + (last - first) * share[:, None]
        slopes[here] = -(moved_by[..., 0] * out[0] + moved_by[..., 1] * out[1]).T
    return nearest, slopes


def moved(solid: Solid, by: Array) -> Solid:
    """The same solid about another middle, seen from straight above."""
    return replace(solid, x=solid.x + float(by[0]), y=solid.y + float(by[1]))
