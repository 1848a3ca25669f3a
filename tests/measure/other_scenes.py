"""A second way to make pictures of laid fasteners, that shares little with the first.

Pieces are surfaces that mirror lamps, the room and the paper (`meshes`); they lie where chance puts
them, not in a grid. Light comes from two or three lamps of a certain size, warm or cool, each with
its own shadows that soften with height. The camera stands nearer or farther, has more or less
wide lenses, sharpens its pictures and bends their tones, as phones do.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from tagbench.measure.mat import PAPERS, Paper
from tests.measure.laid_scenes import HEADS, NUTS, PITCHES, WASHERS, Known
from tests.measure.meshes import AROUND, Mesh, ring_mesh, screw_mesh
from tests.measure.pieces import Screw
from tests.measure.scene import (
    MAT_PER_MM,
    Array,
    Lamp,
    Shot,
    camera,
    on_page,
    printed_mat,
)

_APART = 3.5
"""Pieces lie at least so far from one another and from the edge of the middle, mm."""
_LENGTHS = (10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 60)


@dataclass(frozen=True)
class Finish:
    """How a surface looks: what it mirrors (BGR), how blunt the mirror is, what it scatters."""

    mirror: tuple[float, float, float]
    blunt: float
    scatter: tuple[float, float, float]
    speckle: float = 0.0
    highlight: float = 0.0
    """Above 0 nothing is mirrored but the lamps, the sharper the higher (Phong's exponent)."""


FINISHES = (
    Finish((0.10, 0.10, 0.10), 0.25, (0.03, 0.03, 0.03)),  # blackened
    Finish((0.45, 0.44, 0.42), 0.45, (0.10, 0.10, 0.10)),  # zinc, dull
    Finish((0.58, 0.56, 0.54), 0.15, (0.02, 0.02, 0.02)),  # stainless
    Finish((0.20, 0.42, 0.52), 0.3, (0.04, 0.07, 0.08)),  # yellow passivated, brass
    Finish((0.06, 0.07, 0.09), 0.6, (0.04, 0.06, 0.10), 0.35),  # rusty
    Finish((0.30, 0.29, 0.28), 0.5, (0.06, 0.06, 0.06), 0.15),  # grey with age
)


PLAIN_FINISHES = (
    Finish((0.1, 0.1, 0.1), 0.0, (0.05, 0.05, 0.05), 0.0, 30),
    Finish((0.3, 0.3, 0.3), 0.0, (0.12, 0.12, 0.12), 0.0, 12),
    Finish((0.4, 0.4, 0.4), 0.0, (0.28, 0.28, 0.28), 0.1, 50),
    Finish((0.2, 0.3, 0.4), 0.0, (0.13, 0.24, 0.3), 0.0, 20),
    Finish((0.0, 0.0, 0.0), 0.0, (0.05, 0.08, 0.14), 0.3, 1),
)
"""What does not mirror the paper: its sides are darker than the paper beside it."""


@dataclass(frozen=True)
class Room:
    """All light there is."""

    lamps: tuple[Lamp, ...]
    dim: float
    """What the room itself gives, as a share of all light on the paper."""
    tint: Array
    """BGR."""

    def paper(self) -> float:
        """Light on paper that nothing shades."""
        return self.dim + sum(lamp.power * float(lamp.towards[2]) for lamp in self.lamps)

    def mirrored(self, ways: Array, height: Array, blunt: float) -> Array:
        """Light that comes from these ways to faces so high over the paper, paper in light is 1."""
        up = ways[:, 2]
        # the room: a brighter ceiling, dim walls
        light = self.dim * (0.35 + 0.9 * np.clip(up, 0, 1) ** 1.5)
        for lamp in self.lamps:
            wide = np.hypot(lamp.size, blunt)
            off = np.arccos(np.clip(ways @ lamp.towards, -1, 1))
            # a lamp of the same power is as much brighter as it is smaller
            light = light + lamp.power * 0.9 / wide**2 * np.exp(-0.5 * (off / wide) ** 2)
        # what looks down sees the paper, the darker the nearer it is to where the piece stands
        seen = 0.8 * self.paper() * (1 - np.exp(-height / 1.6))
        share = 1 / (1 + np.exp(-up / (0.03 + 0.25 * blunt)))
        return np.asarray(share * light + (1 - share) * seen)


def a_room(rng: np.random.Generator) -> Room:
    """A room with two or three lamps."""
    lamps = []
    for _ in range(rng.integers(2, 4)):
        turn, rise = rng.uniform(0, 2 * np.pi), rng.uniform(0.6, 1.35)
        way = np.array((np.cos(rise) * np.cos(turn), np.cos(rise) * np.sin(turn), np.sin(rise)))
        lamps.append(Lamp(way, rng.uniform(0.15, 0.5), rng.uniform(0.12, 0.35)))
    warm = rng.uniform(-0.12, 0.2)
    return Room(tuple(lamps), rng.uniform(0.35, 0.6), np.array((1 - warm, 1.0, 1 + 0.6 * warm)))


def strewn(rng: np.random.Generator, paper: Paper, count: int) -> tuple[list[Known], list[Mesh]]:
    """Pieces thrown at random where they do not touch, some of them alike."""
    known: list[Known] = []
    meshes: list[Mesh] = []
    taken: list[Array] = []
    box = (np.array(PAPERS[paper]) - (150, 200)) / 2
    wished = [_a_piece(rng) for _ in range(max(3, count * 2 // 3))]
    for _ in range(600):
        if len(known) == count:
            break
        kind, screw, sizes = wished[rng.integers(len(wished))]
        at = (rng.uniform(box[0], box[0] + 150), rng.uniform(box[1], box[1] + 200))
        mesh = _mesh(kind, screw, sizes, at, rng.uniform(0, 360))
        flat = mesh.points[::7, :2]
        low, high = box + _APART, PAPERS[paper] - box - _APART
        if (flat.min(axis=0) < low).any() or (flat.max(axis=0) > high).any():
            continue
        hull = cv2.convexHull(flat.astype(np.float32)).reshape(-1, 2)
        if any(_nearer(hull, other) for other in taken):
            continue
        taken.append(hull)
        meshes.append(mesh)
        middle = (mesh.points[:, :2].min(axis=0) + mesh.points[:, :2].max(axis=0)) / 2
        place = (float(middle[0]), float(middle[1]))
        known.append(Known(kind, place, screw, sizes[0], sizes[1]))
    return known, meshes


def _nearer(one: Array, other: Array) -> bool:
    # what stands 8 mm high hides paper beside it from a slanted camera
    gap = _APART + 4
    grown = [np.max([cv2.pointPolygonTest(a.astype(np.float32), tuple(map(float, p)), True)
                     for p in _dense(b)]) for a, b in ((one, other), (other, one))]  # fmt: skip
    return bool(max(grown) > -gap)


def _dense(hull: Array) -> Array:
    after = np.roll(hull, -1, axis=0)
    return np.concatenate([hull + (after - hull) * share for share in (0, 0.25, 0.5, 0.75)])


def _a_piece(rng: np.random.Generator) -> tuple[str, Screw | None, tuple[float, float, float]]:
    kind = rng.choice(["hex", "hex", "socket", "pan", "countersunk", "", "washer", "nut"])
    if kind == "washer":
        return "washer", None, WASHERS[rng.integers(len(WASHERS))]
    if kind == "nut":
        size = int(rng.choice(list(NUTS)))
        return "nut", None, (size * 0.85, *NUTS[size])
    size = int(rng.choice(list(HEADS[kind])))
    wide, high = HEADS[kind][size]
    across = size - 0.026 - 0.09 * PITCHES[size] * rng.uniform(0.2, 1.2)
    lengths = [length for length in _LENGTHS if 2 * size <= length <= 8 * size]
    length = float(rng.choice(lengths))
    threaded = 1e9 if rng.random() < 0.5 or length < 4 * size else 2 * size + 6
    screw = Screw(across, PITCHES[size], length, str(kind), wide, high, threaded)
    return "screw" if kind else "stud", screw, (0.0, 0.0, 0.0)


def _mesh(
    kind: str, screw: Screw | None, sizes: tuple[float, float, float], at: tuple[float, float],
    turn: float,
) -> Mesh:  # fmt: skip
    if screw is not None:
        return screw_mesh(screw, at, turn)
    return ring_mesh(at, *sizes, turn, hexagon=kind == "nut")


def photographed(
    rng: np.random.Generator, slant: float, megapixels: float = 8, count: int = 9,
    looks: tuple[Finish, ...] = FINISHES,
) -> tuple[Array, list[Known], int]:  # fmt: skip
    """A picture (uint8, BGR), what lies on it, and the JPEG quality it is to be written with."""
    paper: Paper = "letter" if rng.random() < 0.5 else "a4"
    known, meshes = strewn(rng, paper, count)
    high = round(np.sqrt(megapixels * 1e6 * 0.75) / 4) * 4
    # a wide lens near by to a long one far away: with the slant, 0.28 to 0.6 m over the mat
    shot = Shot(
        size=(round(high * 4 / 3), high), slant=slant, azimuth=rng.uniform(0, 360),
        roll=rng.uniform(-25, 25), focal=rng.uniform(0.65, 1.15), fill=rng.uniform(0.8, 0.97),
        distortion=rng.uniform(-0.06, 0.04), blur=rng.uniform(0.6, 1.2),
        noise=rng.uniform(0.004, 0.015), quality=int(rng.integers(65, 95)),
    )  # fmt: skip
    room = a_room(rng)
    lens = camera(shot, paper)
    x, y = on_page(shot.size, *lens)
    light = _paper_light(x, y, paper, rng)
    light *= _shaded(shot.size, meshes, room, lens)[..., None] / room.paper()
    finishes = [looks[rng.integers(len(looks))] for _ in meshes]
    draw(light, meshes, finishes, room, lens, rng)
    light *= (room.tint * _falling_off(x, y, paper, rng)[..., None]).astype(np.float32)
    return _developed(light, shot, rng), known, shot.quality


def _paper_light(x: Array, y: Array, paper: Paper, rng: np.random.Generator) -> Array:
    """The mat on a bench of wood; paper has a grain, creases a little lighter, oil spots."""
    sheet = printed_mat(paper)[..., None] * rng.uniform((0.9, 0.95, 0.97), 1.0)
    sheet = sheet.astype(np.float32)
    high, wide = sheet.shape[:2]
    cloud = cv2.resize(rng.normal(0, 1, (14, 10)).astype(np.float32), (wide, high),
                       interpolation=cv2.INTER_CUBIC)  # fmt: skip
    sheet *= (1 + 0.012 * cloud)[..., None]
    for _ in range(5):
        spot = np.zeros((high // 4, wide // 4), np.float32)
        middle = (int(rng.uniform(0.2, 0.8) * wide / 4), int(rng.uniform(0.2, 0.8) * high / 4))
        cv2.circle(spot, middle, int(rng.uniform(4, 20)), 1.0, -1)
        spot = cv2.resize(cv2.GaussianBlur(spot, (0, 0), rng.uniform(1.5, 5)), (wide, high))
        sheet *= 1 - spot[..., None] * rng.uniform((0.1, 0.06, 0.04), (0.3, 0.2, 0.15))
    planks = np.float32(0.12) * (1 + 0.3 * np.sin(np.linspace(0, 60, 7)))
    desk = (float(planks[0]) * 0.8, float(planks[1]), float(planks[2]) * 1.4)
    at = [(v * MAT_PER_MM - 0.5).astype(np.float32) for v in (x, y)]
    return np.asarray(cv2.remap(sheet.astype(np.float32), at[0], at[1], cv2.INTER_LINEAR,
                                borderMode=cv2.BORDER_CONSTANT, borderValue=desk))  # fmt: skip


def _shaded(
    size: tuple[int, int], meshes: list[Mesh], room: Room, lens: tuple[Array, ...]
) -> Array:
    """Light that falls on the paper: each lamp shaded by the pieces, the room by those near by."""
    small = size[0] // 2, size[1] // 2
    per_mm = _per_mm(lens) / 2
    total = np.full(small[::-1], room.dim, np.float32)
    near = np.zeros(small[::-1], np.float32)
    for mesh in meshes:
        shadow(near, mesh, np.zeros(2), lens)
    total *= 1 - 0.55 * cv2.GaussianBlur(near, (0, 0), 1.2 * per_mm)
    for lamp in room.lamps:
        dark = np.zeros(small[::-1], np.float32)
        for mesh in meshes:
            shadow(dark, mesh, -lamp.towards[:2] / lamp.towards[2], lens)
        soft = max(0.6, lamp.size * 3.0 * per_mm)
        dark = cv2.GaussianBlur(dark, (0, 0), soft)
        total += lamp.power * float(lamp.towards[2]) * (1 - dark)
    return np.asarray(cv2.resize(total, size, interpolation=cv2.INTER_LINEAR))


def shadow(onto: Array, mesh: Mesh, thrown: Array, lens: tuple[Array, ...]) -> None:
    """Draws where a mesh shades the paper, light coming so that its height is thrown so far."""
    flat = mesh.faces.copy()
    flat[..., :2] += mesh.faces[..., 2:] * thrown
    flat[..., 2] = 0.0
    seen = (_seen(flat.reshape(-1, 3), lens) / 2).astype(np.float32)
    # rings of a screw are convex, a washer's faces have a hole in their middle
    size = 4 if mesh.hollow else 8 * AROUND
    for start in range(0, len(seen), size):
        hull = seen[start : start + size].reshape(-1, 1, 2)
        corners = hull if mesh.hollow else cv2.convexHull(hull)
        cv2.fillConvexPoly(onto, np.round(corners * 16).astype(np.int32), 1.0, shift=4)


def _seen(points: Array, lens: tuple[Array, ...]) -> Array:
    matrix, bend, rotation, shift = lens
    down = points * (1.0, 1.0, -1.0)
    return np.asarray(cv2.projectPoints(down, rotation, shift, matrix, bend)[0].reshape(-1, 2))


def _per_mm(lens: tuple[Array, ...]) -> float:
    ends = _seen(np.array(((100.0, 140, 0), (110.0, 140, 0))), lens)
    return float(np.linalg.norm(ends[1] - ends[0])) / 10


def draw(
    light: Array, meshes: list[Mesh], finishes: list[Finish], room: Room, lens: tuple[Array, ...],
    rng: np.random.Generator,
) -> None:  # fmt: skip
    """Faces that look at the camera, the farthest first, six by six samples a pixel."""
    over = 6
    axes = cv2.Rodrigues(lens[2])[0]
    eye = (-axes.T @ lens[3].reshape(3)) * (1, 1, -1)
    for mesh, finish in zip(meshes, finishes, strict=True):
        middles, normals = mesh.faces.mean(axis=1), mesh.normals()
        sight = middles - eye
        far = np.linalg.norm(sight, axis=1)
        sight /= far[:, None]
        front = np.flatnonzero((normals * sight).sum(axis=1) < 0)
        front = front[np.argsort(-far[front])]
        n, v = normals[front], sight[front]
        colour = _colours(finish, room, (n, v, middles[front, 2]), rng)
        seen = _seen(mesh.faces[front].reshape(-1, 3), lens).reshape(-1, 4, 2)
        left, top = np.maximum(np.floor(seen.min(axis=(0, 1))).astype(int) - 2, 0)
        right, low = np.ceil(seen.max(axis=(0, 1))).astype(int) + 3
        part = light[top:low, left:right]
        if not part.size:
            continue
        big = np.repeat(np.repeat(part, over, axis=0), over, axis=1)
        places = np.round((((seen - (left, top)) + 0.5) * over - 0.5) * 16).astype(np.int32)
        for corners, shade in zip(places, colour.tolist(), strict=True):
            cv2.fillConvexPoly(big, corners, shade, shift=4)
        light[top:low, left:right] = cv2.resize(
            np.clip(big, 0, 1.6), part.shape[1::-1], interpolation=cv2.INTER_AREA
        )


def _colours(
    finish: Finish, room: Room, faces: tuple[Array, Array, Array], rng: np.random.Generator
) -> Array:
    """Colours of faces from their normals, the ways they are looked at and their heights."""
    n, v, height = faces
    ways = v - 2 * (n * v).sum(axis=1, keepdims=True) * n
    if finish.highlight:
        scattered = room.dim * (0.55 + 0.45 * n[:, 2])
        mirrored = np.zeros(len(n))
        for lamp in room.lamps:
            scattered = scattered + lamp.power * np.clip(n @ lamp.towards, 0, 1)
            mirrored += lamp.power * np.clip(ways @ lamp.towards, 0, 1) ** finish.highlight
    else:
        scattered = room.mirrored(n, height, 0.9)
        mirrored = room.mirrored(ways, height, finish.blunt)
    speckle = 1 + finish.speckle * rng.normal(0, 0.5, len(n))
    both = mirrored[:, None] * finish.mirror + scattered[:, None] * finish.scatter
    return np.asarray(both * np.clip(speckle, 0.2, 2)[:, None] / room.paper())


def _falling_off(x: Array, y: Array, paper: Paper, rng: np.random.Generator) -> Array:
    """A lamp near by on one side, and corners that the lens leaves darker."""
    lamp = rng.uniform((-150, -150), (350, 450))
    far = (x - lamp[0]) ** 2 + (y - lamp[1]) ** 2 + rng.uniform(350, 700) ** 2
    middle = np.array(PAPERS[paper]) / 2
    corner = ((x - middle[0]) ** 2 + (y - middle[1]) ** 2) / 180**2
    return np.asarray((far.min() / far) * (1 - 0.15 * np.clip(corner, 0, 1.5)))


def _developed(light: Array, shot: Shot, rng: np.random.Generator) -> Array:
    light = cv2.GaussianBlur(np.clip(light, 0, 1.5), (0, 0), shot.blur)
    light = light * np.float32(rng.uniform(0.75, 0.98) / np.percentile(light[::9, ::9], 95))
    light += rng.normal(0, 1, light.shape).astype(np.float32) * (
        shot.noise * np.sqrt(np.clip(light, 0.02, 1))
    )
    # sRGB's own curve (IEC 61966-2-1), then more contrast, then sharpening
    light = np.clip(light, 0, 1)
    tone = np.where(light < 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    bend = rng.uniform(0, 0.35)
    tone = (1 - bend) * tone + bend * tone * tone * (3 - 2 * tone)
    soft = cv2.GaussianBlur(tone.astype(np.float32), (0, 0), 1.2)
    tone = tone + rng.uniform(0.1, 0.5) * (tone - soft)
    return np.asarray(np.clip(np.round(tone * 255), 0, 255), np.uint8)
