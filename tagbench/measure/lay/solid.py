"""A screw as a solid that rests on the paper, and the outline that a camera sees of it.

A screw is laid of convex pieces: shank, tip, head. What a camera sees of a convex piece is the
convex hull of what it sees of its rims, so the outline follows exactly, however slanted the view:
ends bulge, a head hides its own face, and what lies higher is seen moved away from the camera.
A headed screw rests on the rim of its head and on its tip, so its axis falls towards the tip.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import cv2
import numpy as np

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
_HEX_CHAMFER = 0.045
"""Height of a hexagon head's chamfer of 30 degrees over its width across flats."""
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
    """Round heads: radius of the top's flat as a share of `half`."""
    raised: float = 0.0
    """How far over the paper it is held, mm: below zero it is sunk in."""
    fall: float = 0.0
    """How much more its axis falls towards the tip than by resting on head and tip, radians."""

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
        return self.fall + float(np.arctan2(lower, max(self.length - self.chamfer, 1.0)))

    @property
    def heights(self) -> tuple[float, float]:
        """Heights of the axis over the paper where `length` begins and where it ends."""
        start = self.rest * float(np.cos(self.tilt))
        end = start - self.length * float(np.sin(self.tilt))
        return start + self.raised, end + self.raised

    def outline(self, eye: Eye | None) -> list[Array]:
        """The convex pieces as they are seen on the paper, each a closed run of corners."""
        middle, *ways = self._axes()
        pieces = self._pieces()
        rims = [one for rims in pieces for one in rims]
        sizes = [len(rim) for _, _, rim in rims]
        local = np.empty((sum(sizes), 3))
        local[:, 0] = np.repeat([at - self.length / 2 for at, _, _ in rims], sizes)
        local[:, 1:] = np.concatenate([rim for _, _, rim in rims])
        local[:, 1:] *= np.repeat([half for _, half, _ in rims], sizes)[:, None]
        seen = _seen(local @ np.array(ways) + middle, eye)
        hulls, start = [], 0
        for piece in pieces:
            end = start + sum(len(rim) for _, _, rim in piece)
            hulls.append(cv2.convexHull(seen[start:end]).reshape(-1, 2).astype(np.float64))
            start = end
        return hulls

    def _axes(self) -> tuple[Array, Array, Array, Array]:
        """Middle of the axis, then the ways along it, across it and up from it."""
        fall = self.tilt
        level = np.array((np.cos(self.turn), np.sin(self.turn), 0.0))
        along = level * np.cos(fall) - np.array((0, 0, np.sin(fall)))
        across = np.array((-np.sin(self.turn), np.cos(self.turn), 0.0))
        up = level * np.sin(fall) + np.array((0, 0, np.cos(fall)))
        middle = np.array((self.x, self.y, sum(self.heights) / 2))
        return middle, along, across, up

    def _pieces(self) -> list[list[tuple[float, float, Array]]]:
        """Convex pieces as rims: place along the axis, half width, form."""
        end, tip = self.length - self.chamfer, self.radius - self.chamfer
        shank = [(end, self.radius, _RIM), (self.length, tip, _RIM)]
        if self.shape == "stud":
            return [[(0.0, tip, _RIM), (self.chamfer, self.radius, _RIM), *shank]]
        if self.shape == "countersunk":
            foot = _COUNTERSUNK_RIM + max(self.high, 0.05)
            head = [(0.0, self.half, _RIM), (_COUNTERSUNK_RIM, self.half, _RIM)]
            return [[*head, (foot, self.radius, _RIM)], [(foot, self.radius, _RIM), *shank]]
        body = [(0.0, self.radius, _RIM), *shank]
        if self.shape == "hex":
            chamfer = _HEX_CHAMFER * 2 * self.half * FLAT
            head = [(0.0, self.half, _HEXAGON), (chamfer - self.high, self.half, _HEXAGON),
                    (-self.high, self.half * FLAT * 0.96, _RIM)]  # fmt: skip
            return [head, body]
        dome = self.high * (1 - self.straight)
        head = [(0.0, self.half, _RIM), (-self.high + dome, self.half, _RIM)]
        # a quarter of an ellipse from the cylinder to the flat on top
        for share in (0.4, 0.75, 1.0):
            half = self.half * (self.top + (1 - self.top) * float(np.sqrt(max(0.0, 1 - share**2))))
            head.append((-self.high + dome * (1 - share), half, _RIM))
        return [head, body]


def _seen(points: Array, eye: Eye | None) -> Array:
    """Where points (n, 3) with their heights are seen on the paper."""
    if eye is None:
        return points[:, :2].astype(np.float32)
    foot = np.array(eye[:2])
    grown = eye[2] / (eye[2] - points[:, 2:])
    return np.asarray(foot + (points[:, :2] - foot) * grown, np.float32)


def off_outline(points: Array, hulls: list[Array]) -> Array:
    """How far points are outside of what is seen (inside below zero), mm."""
    nearest = np.full(len(points), np.inf)
    for hull in hulls:
        x, y = hull[:, 0], hull[:, 1]
        along_x = np.concatenate((x[1:], x[:1])) - x
        along_y = np.concatenate((y[1:], y[:1])) - y
        length = np.maximum(np.hypot(along_x, along_y), 1e-9)
        # outline() gives hulls that turn from x towards y
        out_x, out_y = along_y / length, -along_x / length
        normal = np.stack((out_x, out_y))
        off = points @ normal - (out_x * x + out_y * y)
        nearest = np.minimum(nearest, off.max(axis=1))
    return nearest


def moved(solid: Solid, by: Array) -> Solid:
    """The same solid about another middle, seen from straight above."""
    return replace(solid, x=solid.x + float(by[0]), y=solid.y + float(by[1]))
