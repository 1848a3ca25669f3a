"""Screws, studs, washers and nuts as closed surfaces, lit by a room: the second way to draw them.

Where `pieces` stacks level slices and paints them by their height, here every small face has a
normal and mirrors what is in its way: lamps, a dim room, and the paper below, so that a bright
shank may be as light as the paper beside it. Sizes are those of `pieces.Screw`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.measure.pieces import Screw, thread_radius
from tests.measure.scene import Array

AROUND = 96
_ROUNDED = 0.12
"""Edges of heads are rounded so far, mm."""


@dataclass(frozen=True)
class Mesh:
    """Faces of four corners each, mm over the page (x right, y down, z up), seen from outside."""

    faces: Array
    """(n, 4, 3), ring after ring of `AROUND`."""
    hollow: bool = False

    @property
    def points(self) -> Array:
        return self.faces.reshape(-1, 3)

    def normals(self) -> Array:
        """Unit normals, outward."""
        one = self.faces[:, 2] - self.faces[:, 0]
        other = self.faces[:, 3] - self.faces[:, 1]
        out = np.cross(one, other)
        return np.asarray(out / np.maximum(np.linalg.norm(out, axis=1, keepdims=True), 1e-12))


def _faces(grid: Array) -> Array:
    """Faces of a grid (rows, columns, 3) that is closed round its columns."""
    right = np.roll(grid, -1, axis=1)
    return np.stack((grid[:-1], right[:-1], right[1:], grid[1:]), axis=2).reshape(-1, 4, 3)


def screw_mesh(screw: Screw, at: tuple[float, float], degrees: float) -> Mesh:
    """A screw lying on its side with its middle near `at`, on what it touches the paper with."""
    phi = 2 * np.pi * np.arange(AROUND) / AROUND
    s = _stations(screw)
    radius = np.stack([_radius(screw, place, phi, after) for place, after in s])
    along = np.array([place for place, _ in s])
    tip = np.zeros((1, AROUND))
    radius = np.vstack((tip, radius, tip))
    along = np.concatenate((along[:1], along, along[-1:]))
    local = np.stack(
        (
            np.broadcast_to(along[:, None], radius.shape),
            radius * np.sin(phi),
            radius * np.cos(phi),
        ),
        axis=-1,
    )
    tilt = _resting(local, along, screw)
    fall = np.array(((np.cos(tilt), 0, np.sin(tilt)), (0, 1, 0), (-np.sin(tilt), 0, np.cos(tilt))))
    lying = local @ fall.T
    lying[..., 2] -= lying[..., 2].min()
    lying[..., 0] -= (lying[..., 0].min() + lying[..., 0].max()) / 2
    turn = np.radians(degrees)
    turned = np.array(
        ((np.cos(turn), -np.sin(turn), 0), (np.sin(turn), np.cos(turn), 0), (0, 0, 1))
    )
    return Mesh(_outward(_faces(lying @ turned.T + (*at, 0.0))))


def _stations(screw: Screw) -> list[tuple[float, bool]]:
    """Places along the axis, and whether the shank goes on after one that has two radii."""
    step = screw.pitch / 10
    places = [(float(at), True) for at in np.arange(0, screw.length, step)]
    places += [(screw.length, True)]
    high = screw.head_height
    if screw.head in ("", "stud", "countersunk"):
        return places
    head = [-high, *(-high + _ROUNDED * np.array((0.3, 1.0))), *np.linspace(-high, 0, 14)[1:-1]]
    return [(float(at), False) for at in sorted({*head, -_ROUNDED, 0.0})] + places


def _radius(screw: Screw, s: float, phi: Array, shank: bool) -> Array:
    wide, high = screw.head_width / 2, screw.head_height
    if not shank:
        from_top = s + high
        edge = min(from_top, -s if screw.head != "pan" else _ROUNDED)
        lost = _ROUNDED - np.sqrt(max(0.0, _ROUNDED**2 - (_ROUNDED - min(edge, _ROUNDED)) ** 2))
        if screw.head == "hex":
            # flats lie at 0, 60, 120 degrees: one is below
            off = (phi + np.pi / 6) % (np.pi / 3) - np.pi / 6
            flat = (wide - lost) / np.cos(off)
            return np.asarray(np.minimum(flat, 0.96 * wide + from_top * 1.73))
        if screw.head == "pan":
            dome = np.clip((from_top - high * 0.45) / -(high * 0.45), 0, 1)
            return np.full(phi.shape, wide * (1 - 0.5 * dome**2.2) * (0.985 if s == 0 else 1))
        return np.full(phi.shape, wide - lost)
    place = np.full(phi.shape, s)
    radius = np.full(phi.shape, screw.diameter / 2)
    if s > max(0.0, screw.length - screw.threaded):
        radius = thread_radius(screw, place, phi)
    chamfer = screw.diameter / 2 - 0.6 * screw.pitch
    radius = np.minimum(radius, chamfer + (screw.length - s))
    if screw.head in ("", "stud"):
        radius = np.minimum(radius, chamfer + s)
    if screw.head == "countersunk" and s < high:
        radius = np.full(phi.shape, max(wide - max(0.0, s - 0.2), screw.diameter / 2))
    return radius


def _resting(local: Array, along: Array, screw: Screw) -> float:
    """The fall of the axis with which head and tip both touch the paper."""
    if screw.head in ("", "stud"):
        return 0.0
    head = local[along <= max(0.3, 0.1 * screw.head_height)]
    tail = local[along > 0.5 * screw.length]
    low, high = 0.0, 0.6
    for _ in range(40):
        tilt = (low + high) / 2
        # z after the turn that moves +x down
        ends = [(-np.sin(tilt) * p[..., 0] + np.cos(tilt) * p[..., 2]).min() for p in (head, tail)]
        low, high = (tilt, high) if ends[0] < ends[1] else (low, tilt)
    return low


def _outward(faces: Array) -> Array:
    """The same faces in the order that has their normals outward, whole surface at once."""
    middle = faces.mean(axis=1)
    volume = np.einsum("ij,ij->i", middle, np.cross(faces[:, 2] - faces[:, 0],
                                                   faces[:, 3] - faces[:, 1])).sum()  # fmt: skip
    return faces if volume > 0 else faces[:, ::-1]


def ring_mesh(
    at: tuple[float, float], inside: float, outside: float, thick: float, degrees: float = 0.0,
    *, hexagon: bool = False,
) -> Mesh:  # fmt: skip
    """A washer, or a nut with its bore chamfered at both faces; `outside` is across flats."""
    phi = 2 * np.pi * np.arange(AROUND) / AROUND
    turn = np.radians(degrees)
    edge = min(0.08, 0.1 * thick)
    mouth = 0.07 * inside if hexagon else edge
    half, bore = outside / 2, inside / 2
    sides = np.linspace(0, thick, 8)[1:-1]
    profile = [(bore + mouth, 0.0), (half - edge, 0.0), (half, edge), *((half, z) for z in sides),
               (half, thick - edge), (half - edge, thick)]  # fmt: skip
    profile += [(r, thick) for r in np.linspace(half - edge, bore + mouth, 7)[1:]]
    within = [(bore, z) for z in sides[::-1] if mouth < z < thick - mouth]
    profile += [(bore, thick - mouth), *within, (bore, mouth), (bore + mouth, 0.0)]
    grid = np.empty((len(profile), AROUND, 3))
    off = (phi + np.pi / 6) % (np.pi / 3) - np.pi / 6
    for row, (r, z) in enumerate(profile):
        radius = np.full(AROUND, r)
        if hexagon and r > bore + mouth + 1e-9:
            cone = 0.97 * half + 1.73 * min(z, thick - z)
            share = (r - bore - mouth) / (half - bore - mouth)
            rim = np.minimum(half / np.cos(off), cone)
            radius = bore + mouth + share * (rim - bore - mouth)
        grid[row] = np.column_stack(
            (radius * np.cos(phi + turn) + at[0], radius * np.sin(phi + turn) + at[1],
             np.full(AROUND, z))
        )  # fmt: skip
    return Mesh(_outward(_faces(grid)), hollow=True)
