"""A third way to make pictures of laid fasteners: rays cast at distance fields, one by one.

Every piece is a distance field; rays from the camera march to its surface, so a silhouette is what
the field is and no list of faces or slices. Light is a room with windows, lamps and the person who
takes the picture; metal mirrors it, with the shaded paper where a mirrored ray comes down on it.
Shadows are marched too: soft ones under lamps, close ones where a piece stands on the paper.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np

from tagbench.measure.mat import PAPERS, Paper
from tests.measure.laid_scenes import HEADS, NUTS, PITCHES, WASHERS, Known
from tests.measure.pieces import Screw
from tests.measure.scene import MAT_PER_MM, Array, Lamp, printed_mat

_LENGTHS = (10, 12, 14, 16, 18, 20, 25, 30, 35, 40, 45, 50, 55)
_APART_MM = 5.0
_STEPS = 48
_NEAR = 0.004
SHADE_PER_MM = 8.0


@dataclass(frozen=True)
class Metal:
    """How a surface looks: what it mirrors and scatters (BGR), and how blunt its mirror is."""

    mirror: tuple[float, float, float]
    scatter: tuple[float, float, float]
    blunt: float
    rough: float = 0.0
    """How much its colour changes from place to place."""


MIRRORS = (
    Metal((0.66, 0.65, 0.63), (0.01, 0.01, 0.01), 0.08),  # nickel
    Metal((0.55, 0.54, 0.53), (0.05, 0.05, 0.05), 0.22),  # bright zinc
    Metal((0.60, 0.58, 0.56), (0.03, 0.03, 0.03), 0.15),  # stainless
    Metal((0.25, 0.50, 0.60), (0.03, 0.05, 0.06), 0.18),  # brass
)
PLAIN = (
    Metal((0.07, 0.07, 0.07), (0.025, 0.025, 0.025), 0.35),  # black oxide
    Metal((0.20, 0.20, 0.20), (0.10, 0.10, 0.10), 0.7, 0.1),  # phosphated
    Metal((0.28, 0.27, 0.26), (0.10, 0.10, 0.10), 0.6, 0.15),  # grey with age
    Metal((0.05, 0.06, 0.08), (0.05, 0.09, 0.16), 0.7, 0.3),  # rusty
    Metal((0.15, 0.25, 0.30), (0.05, 0.09, 0.11), 0.6, 0.1),  # dull brass
)


@dataclass(frozen=True)
class Thing:
    """A piece at its place."""

    kind: str
    screw: Screw | None
    sizes: tuple[float, float, float]
    """Inside, outside (or across flats) and thickness."""
    middle: Array
    """Of its own axes, mm over the page."""
    axes: Array
    """Its own x, y, z as rows."""
    metal: Metal
    rim: float = 0.3
    """Height of the rim of a countersunk head, mm."""
    roll: float = 0.0

    def off(self, points: Array) -> Array:
        """No more than the distance of points (n, 3; z up) to it, below zero within."""
        local = (points - self.middle) @ self.axes.T
        if self.screw is None:
            return _ring(local, self.sizes, self.kind == "nut")
        return _screw(local, self.screw, self.rim, self.roll)

    def reach(self) -> float:
        if self.screw is None:
            return 0.6 * self.sizes[1] + self.sizes[2]
        return 0.5 * (self.screw.length + self.screw.head_height) + self.screw.head_width


def _thread(screw: Screw, s: Array, phi: Array) -> Array:
    """How deep the thread is cut at a place (60 degrees, crest P/8, depth 0.6134 P)."""
    turns = (s / screw.pitch + phi / (2 * np.pi)) % 1.0
    from_crest = np.abs(turns - 0.5) * screw.pitch
    return np.clip(
        (from_crest - screw.pitch / 16) * np.float32(np.sqrt(3)), 0, 0.6134 * screw.pitch
    )


def _screw(p: Array, screw: Screw, rim: float, roll: float) -> Array:
    # its own x runs from head to tip and is 0 in the middle of all it is long
    headed = screw.head not in ("", "countersunk")
    k = screw.head_height if headed else 0.0
    s = p[:, 0] + (screw.length - k) / 2
    r = np.hypot(p[:, 1], p[:, 2])
    half, tip = screw.diameter / 2, screw.length
    body = r - half
    cut = (
        (s > max(0.0, screw.length - screw.threaded)) & (body < 0.5) & (s > -0.3) & (s < tip + 0.3)
    )
    if cut.any():
        deep = np.zeros_like(r)
        deep[cut] = _thread(screw, s[cut], np.arctan2(p[cut, 1], p[cut, 2]))
        body = np.where(cut, np.maximum(body, 0.5 * (body + deep)), body)
    lead = (r + s - (half - 0.62 * screw.pitch) - tip) * np.float32(0.7071)
    body = np.maximum(np.maximum(body, s - tip), lead)
    if screw.head == "":
        back = (r - s - (half - 0.62 * screw.pitch)) * np.float32(0.7071)
        return np.maximum(np.maximum(body, -s), back)
    wide = screw.head_width / 2
    if screw.head == "countersunk":
        body = np.maximum(body, -s)
        cone = (r + s - wide - rim) * np.float32(0.7071)
        head = np.maximum(np.maximum(cone, r - wide), np.maximum(-s, s - screw.head_height - 0.6))
        turned = np.cos(roll) * p[:, 1] + np.sin(roll) * p[:, 2]
        slot = np.maximum(np.abs(turned) - 0.1 * wide, s - 0.25 * screw.head_height)
        return np.asarray(np.minimum(body, np.maximum(head, -slot)))
    body = np.maximum(body, -s - 0.2)
    if screw.head == "hex":
        head = np.maximum(s, -s - k)
        for turn in (0, np.pi / 3, 2 * np.pi / 3):
            head = np.maximum(head, np.abs(np.sin(turn) * p[:, 1] + np.cos(turn) * p[:, 2]) - wide)
        # chamfer of 30 degrees at the top
        return np.minimum(body, np.maximum(head, 0.866 * (r - 0.97 * wide) - 0.5 * (s + k)))
    if screw.head == "pan":
        # a dome: a flattened sphere over a short cylinder
        low = 0.3 * k
        dome = np.hypot(r / wide, np.maximum(-s - low, 0) / (k - low) * 0.86) - 1
        head = np.maximum(np.maximum(dome * 0.6 * min(wide, k), r - wide), np.maximum(s, -s - k))
        return np.minimum(body, head)
    edge = 0.25
    dx, dr = np.maximum(-s - k + edge, 0), np.maximum(r - wide + edge, 0)
    head = np.maximum(np.hypot(dx, dr) - edge, np.maximum(np.maximum(s, -s - k), r - wide))
    key = 0.5 * wide
    hole = np.abs(p[:, 1]) - key
    for turn in (np.pi / 3, 2 * np.pi / 3):
        hole = np.maximum(hole, np.abs(np.cos(turn) * p[:, 1] + np.sin(turn) * p[:, 2]) - key)
    return np.minimum(body, np.maximum(head, -np.maximum(hole, s + 0.5 * k)))


def _ring(p: Array, sizes: tuple[float, float, float], nut: bool) -> Array:
    inside, outside, thick = sizes
    r = np.hypot(p[:, 0], p[:, 1])
    level = np.abs(p[:, 2]) - thick / 2
    if not nut:
        edge = min(0.12, 0.15 * thick)
        dx, dz = np.maximum(r - outside / 2 + edge, 0), np.maximum(level + edge, 0)
        outer = np.maximum(np.hypot(dx, dz) - edge, np.maximum(r - outside / 2, level))
        return np.maximum(outer, inside / 2 - r)
    outer = level
    for turn in (0, np.pi / 3, 2 * np.pi / 3):
        outer = np.maximum(
            outer, np.abs(np.cos(turn) * p[:, 0] + np.sin(turn) * p[:, 1]) - outside / 2
        )
    outer = np.maximum(outer, 0.866 * (level + 0.5774 * (r - 0.96 * outside / 2)))
    mouth = 0.7071 * ((1.08 * inside / 2 + level) - r)
    return np.maximum(np.maximum(outer, inside / 2 - r), mouth)


def _surface(thing: Thing) -> Array:
    """Points all over it, for its shade in the picture."""
    if thing.screw is None:
        phi = np.linspace(0, 2 * np.pi, 48, endpoint=False)
        half = thing.sizes[1] / 2 * (1.16 if thing.kind == "nut" else 1.0)
        level = np.column_stack((half * np.cos(phi), half * np.sin(phi)))
        ends = [np.column_stack((level, np.full(48, z * thing.sizes[2] / 2))) for z in (-1, 1)]
        local = np.concatenate(ends)
    else:
        screw = thing.screw
        headed = screw.head not in ("", "countersunk")
        k = screw.head_height if headed else 0.0
        rows = [(screw.length, screw.diameter / 2), (0.0, screw.diameter / 2)]
        wide = screw.head_width / 2 * (1.16 if screw.head == "hex" else 1.0)
        if screw.head == "countersunk":
            rows += [(0.0, wide), (thing.rim, wide)]
        elif headed:
            rows += [(0.0, wide), (-k, wide)]
        phi = np.linspace(0, 2 * np.pi, 36, endpoint=False)
        local = np.concatenate([
            np.column_stack((np.full(36, s - (screw.length - k) / 2), r * np.sin(phi),
                             r * np.cos(phi))) for s, r in rows
        ])  # fmt: skip
    return local @ thing.axes + thing.middle


def _lying(
    rng: np.random.Generator, kind: str, screw: Screw | None, sizes: tuple[float, float, float],
    at: tuple[float, float], turn: float, metal: Metal,
) -> Thing:  # fmt: skip
    c, s = np.cos(turn), np.sin(turn)
    if screw is None:
        axes = np.array(((c, s, 0), (-s, c, 0), (0, 0, 1.0)))
        return Thing(kind, None, sizes, np.array((*at, sizes[2] / 2)), axes, metal)
    rest = max(screw.head_width, screw.diameter) / 2 if screw.head else screw.diameter / 2
    lower = rest - screw.diameter / 2
    fall = float(np.arctan2(lower, screw.length - 0.6 * screw.pitch)) if screw.head else 0.0
    along = np.array((c * np.cos(fall), s * np.cos(fall), -np.sin(fall)))
    across = np.array((-s, c, 0.0))
    axes = np.stack((along, across, np.cross(along, across)))
    thing = Thing(kind, screw, sizes, np.array((*at, 0.0)), axes, metal,
                  float(rng.uniform(0.2, 0.4)), float(rng.uniform(0, np.pi)))  # fmt: skip
    # lowered until it touches the paper: the field tells where its lowest point is
    flat = thing.reach()
    grid = np.stack(np.meshgrid(np.arange(-flat, flat, 0.15), np.arange(-1.0, 1.01, 0.5)), -1)
    spots = grid[..., :1] * along[:2] / np.cos(fall) + grid[..., 1:] * across[:2]
    spots = spots.reshape(-1, 2) + at
    low, high = -2 * rest - 2.0, 0.0
    for _ in range(24):
        z = (low + high) / 2
        under = thing.off(np.column_stack((spots, np.full(len(spots), z)))).min()
        low, high = (low, z) if under < 0 else (z, high)
    return replace(thing, middle=np.array((*at, -low)))


def strewn(
    rng: np.random.Generator, paper: Paper, count: int, metals: tuple[Metal, ...],
    kinds: tuple[str, ...],
) -> list[tuple[Known, Thing]]:  # fmt: skip
    box = (np.array(PAPERS[paper]) - (150, 200)) / 2
    found: list[tuple[Known, Thing]] = []
    hulls: list[Array] = []
    for _ in range(500):
        if len(found) == count:
            break
        kind, screw, sizes = _a_piece(rng, kinds)
        at = (float(box[0] + rng.uniform(0, 150)), float(box[1] + rng.uniform(0, 200)))
        metal = metals[rng.integers(len(metals))]
        thing = _lying(rng, kind, screw, sizes, at, rng.uniform(0, 2 * np.pi), metal)
        flat = _surface(thing)[:, :2]
        if (flat.min(axis=0) < box + 5).any() or (flat.max(axis=0) > PAPERS[paper] - box - 5).any():
            continue
        hull = cv2.convexHull(flat.astype(np.float32)).reshape(-1, 2)
        if any(_gap(hull, other) < _APART_MM + 3 for other in hulls):
            continue
        hulls.append(hull)
        middle = (flat.min(axis=0) + flat.max(axis=0)) / 2
        place = (float(middle[0]), float(middle[1]))
        name = kind if screw is None else ("screw" if screw.head else "stud")
        found.append((Known(name, place, screw, sizes[0], sizes[1]), thing))
    return found


def _gap(one: Array, other: Array) -> float:
    if cv2.intersectConvexConvex(one, other)[0] > 0:
        return 0.0
    at = np.linspace(0, 1, 12, endpoint=False)[:, None, None]
    ends = [(h + at * (np.roll(h, -1, axis=0) - h)).reshape(-1, 2) for h in (one, other)]
    return float(np.linalg.norm(ends[0][:, None] - ends[1][None], axis=2).min())


def _a_piece(
    rng: np.random.Generator, kinds: tuple[str, ...]
) -> tuple[str, Screw | None, tuple[float, float, float]]:
    kind = str(rng.choice(kinds))
    if kind == "washer":
        return kind, None, WASHERS[rng.integers(len(WASHERS))]
    if kind == "nut":
        size = int(rng.choice(list(NUTS)))
        return kind, None, (size * 0.85, *NUTS[size])
    size = int(rng.choice(list(HEADS[kind])))
    wide, high = HEADS[kind][size]
    across = size - 0.026 - 0.09 * PITCHES[size] * rng.uniform(0.2, 1.2)
    lengths = [length for length in _LENGTHS if 2.2 * size <= length <= 8 * size]
    length = float(rng.choice(lengths))
    threaded = 1e9 if rng.random() < 0.55 or length < 4 * size else 2 * size + 6.0
    if kind == "countersunk":
        high = (wide - across) / 2 + 0.3
    return kind, Screw(across, PITCHES[size], length, kind, wide, high, threaded), (0.0, 0.0, 0.0)


class Lens:
    """A pinhole with Brown's distortion, its middle a little off, as phones have it."""

    def __init__(self, rng: np.random.Generator, slant: float, size: tuple[int, int], paper: Paper):
        wide, high = size
        self.size = size
        focal = rng.uniform(0.68, 1.05) * wide
        off = rng.uniform(-0.008, 0.008, 2) * wide
        self.matrix = np.array(((focal, 0, wide / 2 - 0.5 + off[0]),
                                (0, focal, high / 2 - 0.5 + off[1]), (0, 0, 1.0)))  # fmt: skip
        scale = (focal / (np.hypot(wide, high) / 2)) ** 2
        self.bend = np.array((rng.uniform(-0.04, 0.025) * scale, rng.uniform(-.01, .01) * scale**2,
                              0.0, 0.0, 0.0))  # fmt: skip
        page = np.array(PAPERS[paper])
        turn, tilt = rng.uniform(0, 2 * np.pi), np.radians(slant)
        back = np.array((np.sin(tilt) * np.cos(turn), np.sin(tilt) * np.sin(turn), -np.cos(tilt)))
        look = -back  # x right, y down, z into the page
        right = np.cross(look, np.array((np.cos(turn + 1.57), np.sin(turn + 1.57), 0)))
        right = np.cross(look, right / np.linalg.norm(right))
        down = np.cross(look, right)
        long_up = np.array((0, 1.0, 0)) - look[1] * look
        roll = np.arctan2(long_up @ down, long_up @ right) + rng.uniform(-0.3, 0.3)
        self.axes = np.stack((np.cos(roll) * right + np.sin(roll) * down,
                              -np.sin(roll) * right + np.cos(roll) * down, look))  # fmt: skip
        self.rotation = cv2.Rodrigues(self.axes)[0]
        corners = np.array(((0, 0, 0), (page[0], 0, 0), (*page, 0), (0, page[1], 0)))
        aim = np.array((*(page / 2 + rng.uniform(-3, 3, 2)), 0.0))
        low, far = 100.0, 3000.0
        for _ in range(40):
            distance = (low + far) / 2
            self.shift = -self.axes @ (aim - look * distance)
            seen = self.seen(corners * (1, 1, -1))
            out = np.abs(seen - (wide / 2, high / 2)) / (wide / 2, high / 2)
            low, far = (distance, far) if out.max() > 0.97 else (low, distance)
        eye = -self.axes.T @ self.shift
        self.eye = eye * (1, 1, -1)

    def seen(self, points: Array) -> Array:
        """Places in the picture of points with z up."""
        down = points * (1.0, 1.0, -1.0)
        return np.asarray(
            cv2.projectPoints(down, self.rotation, self.shift, self.matrix, self.bend)[0]
        ).reshape(-1, 2)

    def ways(self, places: Array) -> Array:
        """Unit ways of the rays through places of the picture, z up."""
        flat = cv2.undistortPoints(
            places.reshape(-1, 1, 2).astype(np.float64), self.matrix, self.bend
        ).reshape(-1, 2)
        rays = np.column_stack((flat, np.ones(len(flat)))) @ self.axes * (1, 1, -1)
        return np.asarray(rays / np.linalg.norm(rays, axis=1, keepdims=True))

    def on_page(self) -> Array:
        """Where each pixel looks on the page, mm: (rows, columns, 2), exact every 8 pixels."""
        step = 8
        wide, high = self.size
        columns, rows = -(-wide // step) + 2, -(-high // step) + 2
        across, down = (np.arange(columns) - 0.5) * step - 0.5, (np.arange(rows) - 0.5) * step - 0.5
        ways = self.ways(np.stack(np.meshgrid(across, down), -1).reshape(-1, 2))
        at = self.eye[:2] + ways[:, :2] * (-self.eye[2] / ways[:, 2:])
        fine = cv2.resize(at.reshape(rows, columns, 2).astype(np.float32),
                          (columns * step, rows * step))  # fmt: skip
        return np.asarray(fine[step : step + high, step : step + wide])


class Room:
    """The light there is: windows and lamps, a ceiling, walls, and the one who takes the picture"""

    def __init__(self, rng: np.random.Generator, eye: Array):
        self.lamps = []
        for _ in range(rng.integers(1, 4)):
            turn, rise = rng.uniform(0, 2 * np.pi), rng.uniform(0.55, 1.3)
            way = np.array((np.cos(rise) * np.cos(turn), np.cos(rise) * np.sin(turn), np.sin(rise)))
            self.lamps.append(Lamp(way, rng.uniform(0.2, 0.5), rng.uniform(0.06, 0.3)))
        self.dim = rng.uniform(0.3, 0.55)
        self.turn = rng.uniform(0, 2 * np.pi)
        self.eye = eye / np.linalg.norm(eye)
        self.tint = np.array((1 + rng.uniform(-0.15, 0.1), 1.0, 1 + rng.uniform(-0.05, 0.12)))

    @property
    def whole(self) -> float:
        return self.dim + sum(lamp.power for lamp in self.lamps)

    def mirrored(self, ways: Array, blunt: float) -> Array:
        """Light from ways that go up; paper in full light is 1."""
        up = np.clip(ways[:, 2], 0, 1)
        walls = 0.5 + 0.35 * np.sin(3 * np.arctan2(ways[:, 1], ways[:, 0]) + self.turn) ** 2
        light = self.dim * (walls * (1 - up) + 1.15 * up)
        for lamp in self.lamps:
            wide = np.hypot(lamp.size, blunt)
            off = np.arccos(np.clip(ways @ lamp.towards, -1, 1))
            # a window has a rim, that a blunt mirror washes out
            edge = np.clip((lamp.size * 1.6 - off) / (0.03 + blunt) + 0.5, 0, 1)
            round_ = np.exp(-0.5 * (off / wide) ** 2)
            share = np.clip(blunt / 0.2, 0, 1)
            shape = (1 - share) * edge / 1.28 + share * round_
            light = light + lamp.power / (2 * wide**2 * lamp.towards[2]) * 0.5 * shape
        # the phone and a hand over the mat
        off = np.arccos(np.clip(ways @ self.eye, -1, 1))
        return np.asarray(light * (1 - 0.8 * np.exp(-0.5 * (off / np.hypot(0.16, blunt)) ** 2)))


def _march(things: list[Thing], start: Array, ways: Array, far: float) -> tuple[Array, Array]:
    """How far each ray goes to the first surface (inf: none), and how near it came by its length"""
    t = np.full(len(start), 1e-3, np.float32)
    near = np.ones(len(start), np.float32) * 9
    alive = np.arange(len(start))
    hit = np.full(len(start), np.inf, np.float32)
    for _ in range(_STEPS):
        points = start[alive] + ways[alive] * t[alive, None]
        off = np.min([thing.off(points) for thing in things], axis=0)
        near[alive] = np.minimum(near[alive], off / np.maximum(t[alive], 0.05))
        done = off < _NEAR
        hit[alive[done]] = t[alive[done]]
        t[alive] += np.maximum(off, _NEAR)
        alive = alive[~done & (t[alive] < far)]
        if not len(alive):
            break
    return hit, near


def _paper_light(
    things: list[Thing], room: Room, paper: Paper, per_mm: float = SHADE_PER_MM
) -> Array:
    """Light on the page, 1 where nothing shades it; pixels of 1 / per_mm mm."""
    size = tuple(round(side * per_mm) for side in PAPERS[paper])
    total = np.full(size[::-1], room.whole, np.float32)
    for thing in things:
        flat = _surface(thing)[:, :2]
        reach = 4 + 3 * float(_surface(thing)[:, 2].max())
        low = np.maximum(((flat.min(axis=0) - reach) * per_mm).astype(int), 0)
        high = np.minimum(((flat.max(axis=0) + reach) * per_mm).astype(int), size)
        x, y = np.meshgrid(np.arange(low[0], high[0]), np.arange(low[1], high[1]))
        spots = np.column_stack(((x.ravel() + .5) / per_mm, (y.ravel() + .5) / per_mm,
                                 np.full(x.size, 0.01))).astype(np.float32)  # fmt: skip
        open_ = np.ones(x.size, np.float32)
        for height, share in ((0.3, 0.14), (0.9, 0.14), (2.0, 0.12), (4.5, 0.09), (9.0, 0.05)):
            off = thing.off(spots + np.array((0, 0, height), np.float32))
            open_ -= share * np.clip(1 - off / height, 0, 1.5)
        lost = room.dim * (1 - np.clip(open_, 0.06, 1))
        for lamp in room.lamps:
            ways = np.broadcast_to(lamp.towards.astype(np.float32), spots.shape)
            hit, near = _march([thing], spots, ways, 60.0)
            lit = np.where(np.isfinite(hit), 0, np.clip(near / (2 * lamp.size) + 0.0, 0, 1))
            lost = lost + lamp.power * (1 - lit * lit * (3 - 2 * lit))
        part = total[low[1] : high[1], low[0] : high[0]]
        # nothing of the darkness below a piece shows beside it
        bare = (thing.off(spots) > 0).astype(np.float32).reshape(part.shape)
        bare_lost = cv2.GaussianBlur(lost.reshape(part.shape).astype(np.float32) * bare, (0, 0), 1)
        part -= bare_lost / np.maximum(cv2.GaussianBlur(bare, (0, 0), 1), 1e-3)
    return np.maximum(total, 0.03) / room.whole


def ray_cast(
    rng: np.random.Generator, slant: float, megapixels: float = 8, count: int = 9,
    metals: tuple[Metal, ...] = PLAIN,
    kinds: tuple[str, ...] = ("hex", "hex", "socket", "pan", "countersunk", "", "washer", "nut"),
) -> tuple[Array, list[Known], int]:  # fmt: skip
    """A picture (uint8, BGR), what lies on it, and the JPEG quality it is to be written with."""
    paper: Paper = "a4" if rng.random() < 0.6 else "letter"
    laid = strewn(rng, paper, count, metals, kinds)
    things = [thing for _, thing in laid]
    high = round(np.sqrt(megapixels * 1e6 * 0.75) / 4) * 4
    lens = Lens(rng, slant, (round(high * 4 / 3), high), paper)
    room = Room(rng, lens.eye - np.array((*(np.array(PAPERS[paper]) / 2), 0)))
    at = lens.on_page()
    shade = _paper_light(things, room, paper)
    page = _page(rng, paper)
    places = at * np.float32(MAT_PER_MM) - np.float32(0.5)
    light = cv2.remap(page, places, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT,
                      borderValue=(0.1, 0.14, 0.2))  # fmt: skip
    spots = at * np.float32(SHADE_PER_MM) - np.float32(0.5)
    light *= cv2.remap(shade, spots, None, cv2.INTER_LINEAR,
                       borderMode=cv2.BORDER_REPLICATE)[..., None]  # fmt: skip
    for thing in things:
        _draw(light, thing, room, lens, shade, rng)
    # one side brighter, corners darker
    way = rng.uniform(0, 2 * np.pi)
    along = ((at[..., 0] - 105) * np.cos(way) + (at[..., 1] - 148) * np.sin(way)) / 150
    light *= (1 + rng.uniform(0.05, 0.3) * np.clip(along, -1.5, 1.5))[..., None]
    light *= room.tint.astype(np.float32)
    return _developed(light, rng), [known for known, _ in laid], int(rng.integers(70, 95))


def _page(rng: np.random.Generator, paper: Paper) -> Array:
    sheet = np.repeat(printed_mat(paper)[..., None], 3, axis=2).astype(np.float32)
    high, wide = sheet.shape[:2]
    grain = rng.normal(0, 0.02, (high // 3, wide // 3)).astype(np.float32)
    sheet *= (1 + cv2.resize(cv2.GaussianBlur(grain, (0, 0), 0.8), (wide, high)))[..., None]
    for _ in range(4):
        x, y = rng.uniform(0.15, 0.85) * wide, rng.uniform(0.15, 0.85) * high
        spot = np.zeros((high // 6, wide // 6), np.float32)
        cv2.ellipse(spot, (int(x / 6), int(y / 6)), tuple(rng.integers(3, 16, 2).tolist()),
                    float(rng.uniform(0, 180)), 0, 360, 1.0, -1)  # fmt: skip
        spot = cv2.resize(cv2.GaussianBlur(spot, (0, 0), rng.uniform(1.0, 4.0)), (wide, high))
        sheet *= 1 - spot[..., None] * rng.uniform((0.1, 0.06, 0.04), (0.35, 0.22, 0.15)).astype(
            "f4"
        )
    return sheet


def _draw(
    light: Array, thing: Thing, room: Room, lens: Lens, shade: Array, rng: np.random.Generator
) -> None:
    seen = lens.seen(_surface(thing))
    low = np.maximum(np.floor(seen.min(axis=0)).astype(int) - 4, 0)
    high = np.ceil(seen.max(axis=0)).astype(int) + 5
    part = light[low[1] : high[1], low[0] : high[0]]
    cover = np.zeros(part.shape[:2], np.uint8)
    hull = cv2.convexHull((seen - low).astype(np.float32)).reshape(-1, 2)
    cv2.fillPoly(cover, [np.round(hull).astype(np.int32)], 1)
    cover = cv2.dilate(cover, np.ones((9, 9), np.uint8))
    rows, columns = np.nonzero(cover)
    total = np.zeros((len(rows), 4), np.float64)
    grid = [(x, y) for x in (0.25, 0.75) for y in (0.25, 0.75)]
    for x, y in grid:
        jitter = rng.uniform(-0.25, 0.25, (len(rows), 2))
        places = np.column_stack((columns + low[0] + x - 0.5, rows + low[1] + y - 0.5)) + jitter
        ways = lens.ways(places).astype(np.float32)
        from_ = thing.middle - lens.eye
        begin = max(0.0, float(np.linalg.norm(from_)) - thing.reach() - 2)
        start = (lens.eye + ways * begin).astype(np.float32)
        hit, _ = _march([thing], start, ways, 2 * thing.reach() + 8)
        on = np.flatnonzero(np.isfinite(hit))
        points = start[on] + ways[on] * hit[on, None]
        total[on, :3] += _coloured(thing, room, points, ways[on], shade)
        total[on, 3] += 1
    total /= len(grid)
    spots = part[rows, columns]
    part[rows, columns] = spots * (1 - total[:, 3:]) + total[:, :3]


def _coloured(thing: Thing, room: Room, points: Array, ways: Array, shade: Array) -> Array:
    if not len(points):
        return np.empty((0, 3))
    step = np.float32(0.02)
    normal = np.stack(
        [thing.off(points + step * one) - thing.off(points - step * one)
         for one in np.eye(3, dtype=np.float32)], axis=1
    )  # fmt: skip
    normal /= np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-9)
    away = ways - 2 * (ways * normal).sum(axis=1, keepdims=True) * normal
    mirrored = _from(away, points, room, thing.metal.blunt, shade)
    scattered = _from(normal, points, room, 0.9, shade)
    for lamp in room.lamps:
        scattered = scattered + 0.5 * lamp.power / room.whole * np.clip(normal @ lamp.towards, 0, 1)
    # within grooves and holes less light comes in
    open_ = np.clip(0.35 + 0.65 * thing.off(points + 0.8 * normal) / 0.7, 0.25, 1)
    patchy = np.sin(points @ np.array((3.1, 1.7, 2.3))) * np.sin(
        points @ np.array((-2.3, 4.1, 1.1))
    )
    change = 1 + thing.metal.rough * patchy
    both = (mirrored[:, None] * np.array(thing.metal.mirror)
            + scattered[:, None] * np.array(thing.metal.scatter) * 2)  # fmt: skip
    return np.asarray(np.clip(both * (open_ * change)[:, None], 0, 2.5))


def _from(ways: Array, points: Array, room: Room, blunt: float, shade: Array) -> Array:
    """Light that comes from these ways: the room's, or the paper's where they go down."""
    up = room.mirrored(ways, blunt) / room.whole
    down = np.minimum(ways[:, 2], -0.02)
    far = points[:, 2] / -down
    spots = points[:, :2] + ways[:, :2] * far[:, None]
    soft = cv2.GaussianBlur(shade, (0, 0), 0.8 + 10 * blunt)
    column, row = np.clip(spots * SHADE_PER_MM, 0, np.array(shade.shape[::-1]) - 1).astype(int).T
    lit = soft[row, column]
    # under the piece itself there is no light
    lit = 0.85 * lit * np.clip(far / 1.0, 0.25, 1)
    share = 1 / (1 + np.exp(np.clip(ways[:, 2] / (0.02 + 0.2 * blunt), -30, 30)))
    return np.asarray((1 - share) * up + share * lit)


def _developed(light: Array, rng: np.random.Generator) -> Array:
    light = np.clip(light, 0, 1.6).astype(np.float32)
    soft = cv2.GaussianBlur(light, (0, 0), rng.uniform(0.55, 1.15))
    # a veil of light round what is bright
    veil = cv2.resize(cv2.GaussianBlur(cv2.resize(light, None, fx=.125, fy=.125,
                      interpolation=cv2.INTER_AREA), (0, 0), 6), light.shape[1::-1])  # fmt: skip
    light = 0.98 * soft + 0.02 * veil
    light *= np.float32(rng.uniform(0.7, 0.95) / np.percentile(light[::9, ::9], 95))
    noise = rng.normal(0, 1, light.shape).astype(np.float32)
    light += noise * np.sqrt(rng.uniform(2e-5, 1.2e-4) * np.clip(light, 0.01, 1) + 4e-6)
    tone = np.clip(light, 0, 1) ** np.float32(1 / rng.uniform(2.0, 2.4))
    curve = rng.uniform(0, 0.3)
    tone = (1 - curve) * tone + curve * (0.5 - 0.5 * np.cos(np.pi * tone))
    tone = tone + rng.uniform(0, 0.5) * (tone - cv2.GaussianBlur(tone, (0, 0), 1.5))
    return np.asarray(np.clip(np.round(tone * 255), 0, 255), np.uint8)
