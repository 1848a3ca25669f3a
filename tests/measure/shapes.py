"""Gaskets with known outlines, invented, for the renderer."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.measure.scene import Array


@dataclass(frozen=True)
class Shape:
    """A gasket: outline, round holes (x, y, diameter) and openings, mm, y downwards."""

    outline: Array
    holes: tuple[tuple[float, float, float], ...]
    openings: tuple[Array, ...] = ()

    def turned(self, degrees: float, to: tuple[float, float]) -> Shape:
        """The same turned about 0, 0 and moved."""
        angle = np.radians(degrees)
        turn = np.array(((np.cos(angle), -np.sin(angle)), (np.sin(angle), np.cos(angle))))
        holes = tuple((*(turn @ (x, y) + to), d) for x, y, d in self.holes)
        return Shape(
            self.outline @ turn.T + to, holes, tuple(o @ turn.T + to for o in self.openings)
        )

    def all_holes(self) -> tuple[Array, ...]:
        return (*(circle(x, y, d) for x, y, d in self.holes), *self.openings)


def circle(x: float, y: float, diameter: float) -> Array:
    """A circle as a closed run of points."""
    at = np.linspace(0, 2 * np.pi, 240, endpoint=False)
    return np.column_stack((x + diameter / 2 * np.cos(at), y + diameter / 2 * np.sin(at)))


def rounded(corners: list[tuple[float, float, float]]) -> Array:
    """A polygon with its corners (x, y, radius) rounded."""
    points = []
    count = len(corners)
    for at, (x, y, radius) in enumerate(corners):
        here = np.array((x, y))
        before = np.array(corners[at - 1][:2]) - here
        after = np.array(corners[(at + 1) % count][:2]) - here
        before, after = before / np.linalg.norm(before), after / np.linalg.norm(after)
        half = np.arccos(np.clip(before @ after, -1, 1)) / 2
        centre = here + (before + after) / np.linalg.norm(before + after) * radius / np.sin(half)
        start = here + before * radius / np.tan(half) - centre
        end = here + after * radius / np.tan(half) - centre
        first = np.arctan2(start[1], start[0])
        sweep = (np.arctan2(end[1], end[0]) - first + np.pi) % (2 * np.pi) - np.pi
        angles = first + sweep * np.linspace(0, 1, 40)
        points += list(centre + radius * np.column_stack((np.cos(angles), np.sin(angles))))
    return np.array(points)


def case_cover() -> Shape:
    """A chain case cover: eight bolts, one large opening of many corners."""
    outline = rounded(
        [(-60, -38, 14), (20, -45, 18), (64, -20, 16), (58, 36, 15), (0, 30, 30), (-58, 42, 13)]
    )
    inner = rounded(
        [(-48, -27, 8), (18, -33, 10), (51, -13, 9), (46, 24, 8), (-2, 18, 20), (-47, 30, 7)]
    )
    holes = ((-53, -31, 6.6), (-16, -35.5, 6.6), (19, -38.6, 6.6),
             (56.5, -15.5, 6.6), (48.5, 27, 6.6),
             (-2, 24.5, 5.5), (-50, 32, 6.6), (-53.6, 3, 6.6))  # fmt: skip
    return Shape(outline, holes, (inner,))


def flange() -> Shape:
    """An inlet flange: two bolts, a round bore."""
    at = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    body = np.column_stack((17 * np.cos(at), 17 * np.sin(at)))
    ears = [circle(-24, 0, 16), circle(24, 0, 16), body]
    import cv2

    hull = cv2.convexHull(np.concatenate(ears).astype(np.float32)).reshape(-1, 2)
    return Shape(hull.astype(float), ((-24, 0, 6.6), (24, 0, 6.6)), (circle(0, 0, 22),))


def base() -> Shape:
    """A cylinder base: square with rounded corners, four studs, a large bore, two ports."""
    outline = rounded([(-36, -36, 9), (36, -36, 9), (36, 36, 9), (-36, 36, 9)])
    holes = tuple((x, y, 8.4) for x in (-27, 27) for y in (-27, 27))
    slot = rounded([(-7, -32.5, 2.4), (7, -32.5, 2.4), (7, -27.5, 2.4), (-7, -27.5, 2.4)])
    return Shape(outline, (*holes, (30.0, 0.0, 4.5)), (circle(0, 0, 47), slot))
