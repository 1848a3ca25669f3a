"""Screws, studs, washers and nuts as stacks of slices, lying as they lie on a bench.

A headed screw rests on the rim of its head and on its tip, so its axis is tilted; a hexagon rests
on a flat. Threads are 60 degree helices (ISO 68-1: crest P/8, depth 0.6134 P).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.measure.scene import Array, Slice
from tests.measure.shapes import circle

_SLICES = 44


@dataclass(frozen=True)
class Screw:
    """What is known of a screw, mm. `head` is hex, socket, pan, countersunk or empty (a stud)."""

    diameter: float
    pitch: float
    length: float
    head: str = "hex"
    head_width: float = 0.0
    """Across flats of a hexagon, else the diameter."""
    head_height: float = 0.0
    threaded: float = 1e9


def thread_radius(screw: Screw, s: Array, phi: Array) -> Array:
    """Radius of the thread at a place along the axis and an angle about it."""
    p = screw.pitch
    along = ((s - p * phi / (2 * np.pi)) / p) % 1.0
    from_crest = np.abs(along - 0.5) * 2 * 0.5
    depth = np.clip((from_crest - 1 / 16) * np.sqrt(3) * p, 0, 0.6134 * p)
    return np.asarray(screw.diameter / 2 - depth)


def _half_width(screw: Screw, s: Array, dz: Array, side: int) -> Array:
    """Half the width of the body at (s, dz), NaN where there is none."""
    radius = np.full(s.shape, screw.diameter / 2)
    phi = side * np.arccos(np.clip(dz / radius, -1, 1))
    cut = (s > max(0.0, screw.length - screw.threaded)) & (s >= 0.0)
    radius = np.where(cut, thread_radius(screw, s, phi), radius)
    from_tip = screw.length - s
    radius = np.minimum(radius, screw.diameter / 2 - 0.6 * screw.pitch + from_tip)
    if screw.head in ("", "stud"):
        radius = np.minimum(radius, screw.diameter / 2 - 0.6 * screw.pitch + s)
    k, wide = screw.head_height, screw.head_width
    head = s < 0
    if screw.head == "socket":
        radius = np.where(head, np.minimum(wide / 2, wide / 2 - 0.4 + (s + k)), radius)
    elif screw.head == "pan":
        top = np.clip((-s - 0.35 * k) / (0.65 * k), 0, 1)
        radius = np.where(head, wide / 2 * np.sqrt(1 - 0.72 * top**2), radius)
    elif screw.head == "countersunk":
        # s runs from the top face: the length is over all
        cone = wide / 2 - np.clip(s - 0.25, 0, None)
        radius = np.where(s < k, np.maximum(cone, screw.diameter / 2 * 0.9), radius)
    with np.errstate(invalid="ignore"):
        width = np.sqrt(radius**2 - dz**2)
    if screw.head == "hex":
        flat = wide / np.sqrt(3) - np.abs(dz) / np.sqrt(3)
        round_ = np.sqrt(
            np.maximum((0.5 * wide / np.cos(np.pi / 6) - 0.55 + 1.7 * (s + k)) ** 2 - dz**2, 0)
        )
        inside = np.abs(dz) <= wide / 2
        width = np.where(head, np.where(inside, np.minimum(flat, round_), np.nan), width)
    return np.asarray(width)


def lay_screw(
    screw: Screw, at: tuple[float, float], degrees: float, number: int, shine: float = 0.6,
    base: float = 0.22, flat: bool = False,
) -> list[Slice]:  # fmt: skip
    """A screw with its middle near `at`; `flat` leaves the tilt out."""
    headed = screw.head not in ("", "countersunk", "stud")
    low = -screw.head_height if headed else 0.0
    s = np.arange(low, screw.length + 1e-9, 0.04)
    tip = screw.diameter / 2
    rest = max(screw.head_width / 2, tip) if screw.head not in ("", "stud") else tip
    tilt = 0.0 if flat else float(np.arcsin(np.clip((rest - tip) / screw.length, -0.5, 0.5)))
    axis = rest - s * np.sin(tilt)
    top = rest + max(screw.head_width / 2 * 1.16, tip) + 0.5
    turn = np.radians(degrees)
    u, v = np.array((np.cos(turn), np.sin(turn))), np.array((-np.sin(turn), np.cos(turn)))
    start = np.array(at) - u * (screw.length + low) / 2
    slices = []
    for z in np.linspace(0.02, top, _SLICES * 2):
        dz = (z - axis) / np.cos(tilt)
        sides = [_half_width(screw, s, dz, side) for side in (1, -1)]
        good = np.isfinite(sides[0]) & np.isfinite(sides[1])
        for run in _runs(good):
            x = s[run] * np.cos(tilt) + dz[run] * np.sin(tilt)
            upper = start + x[:, None] * u + sides[0][run][:, None] * v
            lower = start + x[:, None] * u - sides[1][run][:, None] * v
            outline = np.vstack((upper, lower[::-1]))
            radius = rest if s[run][-1] < 0.5 and headed else tip
            up = float(np.clip(np.median(dz[run]) / radius, -1, 1))
            light = base * (0.35 + 0.65 * max(up, 0)) + shine * np.exp(-(((up - 0.93) / 0.06) ** 2))
            light += 0.10 * np.exp(-(((up + 0.1) / 0.2) ** 2))
            slices.append(Slice(outline, float(z), (light, light, light * 0.97), (), number))
    return slices


def _runs(good: Array) -> list[Array]:
    at = np.flatnonzero(good)
    if not len(at):
        return []
    return [run for run in np.split(at, np.flatnonzero(np.diff(at) > 1) + 1) if len(run) > 2]


def lay_washer(
    at: tuple[float, float], inside: float, outside: float, thick: float, number: int,
    base: float = 0.3,
) -> list[Slice]:  # fmt: skip
    """A plain washer, flat on the mat."""
    slices = []
    for z in np.linspace(0.02, thick, 14):
        light = base if z > thick * 0.98 else base * 0.45
        slices.append(
            Slice(
                circle(*at, outside),
                float(z),
                (light, light, light),
                (circle(*at, inside),),
                number,
            )
        )
    return slices


def lay_nut(
    at: tuple[float, float], flats: float, bore: float, high: float, degrees: float, number: int,
    base: float = 0.25,
) -> list[Slice]:  # fmt: skip
    """A hexagon nut, flat on the mat."""
    angles = np.radians(degrees + 60 * np.arange(6))
    corners = np.column_stack((np.cos(angles), np.sin(angles))) * flats / np.sqrt(3) + at
    slices = []
    for z in np.linspace(0.02, high, 30):
        light = base * 1.3 if z > high * 0.98 else base * 0.5
        slices.append(Slice(corners, float(z), (light, light, light), (circle(*at, bore),), number))
    return slices
