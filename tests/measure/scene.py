"""A camera over the mat, rendered: the pictures that measuring is tried on.

Light is linear until the end. A piece of height is a stack of slices, each projected where its own
height puts it, so parallax and the silhouette of round bodies come out as they do in a camera.
OpenCV's own camera model (Brown's distortion) projects, not tagbench's.
"""

from __future__ import annotations

import io
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import cv2
import numpy as np
import pypdfium2
from numpy.typing import NDArray

from labels.output.pdf import PdfWriter
from tagbench.measure.mat import PAPERS, Paper, mat_page

Array = NDArray[Any]
MAT_PER_MM = 12
"""Dots a mm of the printed page and of what lies flat on it."""


@cache
def printed_mat(paper: Paper) -> Array:
    """The mat as it comes out of a printer: reflectance, one value a dot. The PDF itself is
    rasterised, by PDFium, at four times the dots."""
    stream = io.BytesIO()
    writer = PdfWriter(stream, "mat", 300 / 25.4)
    writer.add(mat_page(paper))
    writer.close()
    width, height = PAPERS[paper]
    size = round(width * MAT_PER_MM), round(height * MAT_PER_MM)
    document = pypdfium2.PdfDocument(stream.getvalue())
    drawn = document[0].render(scale=2 * MAT_PER_MM * 25.4 / 72, grayscale=True).to_numpy()
    ink = cv2.resize(
        drawn[..., 0] if drawn.ndim == 3 else drawn,
        None,
        fx=0.5,
        fy=0.5,
        interpolation=cv2.INTER_AREA,
    )
    ink = ink[: size[1], : size[0]]
    ink = cv2.copyMakeBorder(
        ink, 0, size[1] - ink.shape[0], 0, size[0] - ink.shape[1], cv2.BORDER_REPLICATE
    )
    return np.asarray(0.05 + 0.81 * ink.astype(np.float32) / 255)


@dataclass(frozen=True)
class Lamp:
    """Where from (unit vector), how bright on level paper, and its half width in radians."""

    towards: Array
    power: float
    size: float


@dataclass(frozen=True)
class Slice:
    """A level outline of a piece at a height over the mat, with its colour (linear, BGR)."""

    outline: Array
    height: float
    colour: tuple[float, float, float]
    holes: tuple[Array, ...] = ()
    piece: int = 0


@dataclass
class Shot:
    """How a picture is taken."""

    size: tuple[int, int] = (3264, 2448)
    slant: float = 15.0
    """Degrees from the upright."""
    azimuth: float = 40.0
    """From which side, degrees."""
    roll: float = 0.0
    """The camera turned about its own axis, degrees."""
    focal: float = 0.8
    """As a share of the longer side."""
    distortion: float = -0.03
    fill: float = 0.92
    """How much of the picture the mat takes."""
    blur: float = 0.9
    """Standard deviation of the lens blur, px."""
    noise: float = 0.012
    uneven: float = 0.25
    shadow: float = 0.35
    quality: int = 85
    grey: bool = False
    stains: int = 6
    grain: float = 0.01
    seed: int = 1


@dataclass
class Scene:
    """A mat with what lies on it."""

    paper: Paper = "a4"
    flat: list[tuple[Array, tuple[float, float, float], tuple[Array, ...]]] = field(
        default_factory=list
    )
    """Outline (mm on the page), colour, holes."""
    slices: list[Slice] = field(default_factory=list)


def mask_of(outlines: list[Array], size: tuple[int, int], per_mm: float) -> Array:
    """Coverage 0 to 1 of outlines (even-odd), four samples a dot each way."""
    big = np.zeros((size[1] * 4, size[0] * 4), np.uint8)
    points = [np.round((o * per_mm * 4 - 0.5) * 256).astype(np.int32) for o in outlines]
    cv2.fillPoly(big, points, 255, shift=8)
    return np.asarray(cv2.resize(big, size, interpolation=cv2.INTER_AREA), np.float32) / 255


def _stains(sheet: Array, shot: Shot, rng: np.random.Generator) -> None:
    high, wide = sheet.shape[:2]
    for _ in range(shot.stains):
        spot = np.zeros((high // 4, wide // 4), np.float32)
        x, y = rng.uniform(30, wide / MAT_PER_MM - 30), rng.uniform(45, high / MAT_PER_MM - 45)
        axes = rng.uniform(1.5, 6, 2) * MAT_PER_MM / 4
        cv2.ellipse(
            spot, (int(x * MAT_PER_MM / 4), int(y * MAT_PER_MM / 4)),
            (int(axes[0]) + 1, int(axes[1]) + 1), rng.uniform(0, 180), 0, 360, 1.0, -1,
        )  # fmt: skip
        spot = cv2.GaussianBlur(spot, (0, 0), rng.uniform(0.4, 1.2) * MAT_PER_MM / 4)
        rows, columns = (np.flatnonzero(spot.any(axis=way)) for way in (1, 0))
        spot = cv2.resize(spot, (wide, high))[..., None]
        colour = np.array(rng.uniform((0.55, 0.7, 0.78), (0.8, 0.88, 0.92)), np.float32)
        here = tuple(slice(max(0, 4 * (one[0] - 2)), 4 * (one[-1] + 3)) for one in (rows, columns))
        sheet[here] *= 1 - spot[here] * (1 - colour)


def _page(scene: Scene, shot: Shot, rng: np.random.Generator) -> Array:
    sheet = np.repeat(printed_mat(scene.paper)[..., None], 3, axis=2).copy()
    high, wide = sheet.shape[:2]
    for outline, colour, holes in scene.flat:
        cover = mask_of([outline, *holes], (wide, high), MAT_PER_MM)[..., None]
        grain = rng.normal(1, 0.08, (high // 3, wide // 3, 1)).astype(np.float32)
        grain = cv2.GaussianBlur(grain, (0, 0), 1.0)
        grain = 1 + 2.2 * (cv2.resize(grain, (wide, high))[..., None] - 1)
        sheet *= 1 - cover
        sheet += np.array(colour, np.float32) * (cover * grain)
    _stains(sheet, shot, rng)
    fibre = rng.normal(0, shot.grain, (high // 2, wide // 2)).astype(np.float32)
    sheet *= 1 + cv2.resize(fibre, (wide, high))[..., None]
    return np.asarray(sheet, np.float32)


def camera(shot: Shot, paper: Paper) -> tuple[Array, Array, Array, Array]:
    """Camera matrix, distortion, rotation vector and translation, the mat filling the picture."""
    wide, high = shot.size
    focal = shot.focal * max(shot.size)
    matrix = np.array(((focal, 0, wide / 2 - 0.5), (0, focal, high / 2 - 0.5), (0, 0, 1.0)))
    # k1 is told by half the diagonal; OpenCV's by the focal length
    k1 = shot.distortion * (focal / (np.hypot(wide, high) / 2)) ** 2
    bend = np.array((k1, 0, 0, 0, 0.0))
    page = np.array(PAPERS[paper])
    turn = np.radians(shot.azimuth)
    slant = np.radians(shot.slant)
    look = np.array((np.sin(slant) * np.cos(turn), np.sin(slant) * np.sin(turn), np.cos(slant)))
    up = np.array((0, -1.0, 0)) if abs(look[1]) < 0.9 else np.array((1.0, 0, 0))
    right = np.cross(-up, look)
    right /= np.linalg.norm(right)
    down = np.cross(look, right)
    roll = np.radians(shot.roll + (90 if wide > high else 0))
    axes = np.stack((np.cos(roll) * right + np.sin(roll) * down,
                     -np.sin(roll) * right + np.cos(roll) * down, look))  # fmt: skip
    corners = np.array(((0, 0, 0), (page[0], 0, 0), (*page, 0), (0, page[1], 0)))
    rotation = cv2.Rodrigues(axes)[0]
    centre = np.array((*page / 2, 0.0))
    low, far = 100.0, 3000.0
    for _ in range(40):
        distance = (low + far) / 2
        shift = -axes @ (centre - look * distance)
        seen = cv2.projectPoints(corners, rotation, shift, matrix, bend)[0].reshape(-1, 2)
        off = np.abs(seen - (wide / 2, high / 2)) / (wide / 2, high / 2)
        low, far = (distance, far) if off.max() > shot.fill else (low, distance)
    return matrix, bend, rotation, shift


def render(scene: Scene, shot: Shot) -> Array:
    """The picture, uint8 BGR (or grey)."""
    rng = np.random.default_rng(shot.seed)
    matrix, bend, rotation, shift = camera(shot, scene.paper)
    sheet = _page(scene, shot, rng)
    x, y = on_page(shot.size, matrix, bend, rotation, shift)
    across, down = ((v * MAT_PER_MM - 0.5).astype(np.float32) for v in (x, y))
    desk = (0.18, 0.2, 0.24)
    light = cv2.remap(
        sheet, across, down, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=desk
    )
    light = _with_pieces(light, scene, _Lens(matrix, bend, rotation, shift))
    light *= _light(shot, rng, x, y, PAPERS[scene.paper])[..., None]
    light = cv2.GaussianBlur(light, (0, 0), shot.blur)
    return _developed(light, shot, rng)


def on_page(
    size: tuple[int, int], matrix: Array, bend: Array, rotation: Array, shift: Array
) -> tuple[Array, Array]:
    """Where each pixel looks on the page, mm; exact on a coarse grid, cubic between."""
    step = 8
    wide, high = size
    columns, rows = -(-wide // step) + 2, -(-high // step) + 2
    across, down = (np.arange(columns) - 0.5) * step - 0.5, (np.arange(rows) - 0.5) * step - 0.5
    grid = np.stack(np.meshgrid(across, down), -1)
    flat = _straightened(grid, matrix, bend)
    axes = cv2.Rodrigues(rotation)[0]
    rays = np.concatenate((flat, np.ones((*flat.shape[:2], 1))), -1) @ axes
    eye = -axes.T @ shift.reshape(3)
    distance = -eye[2] / rays[..., 2]
    found = [
        cv2.resize(
            (eye[way] + distance * rays[..., way]).astype(np.float32), (columns * step, rows * step)
        )
        for way in (0, 1)
    ]
    return found[0][step : step + high, step : step + wide], found[1][
        step : step + high, step : step + wide
    ]


def _straightened(seen: Array, matrix: Array, bend: Array) -> Array:
    bent = (seen - (matrix[0, 2], matrix[1, 2])) / (matrix[0, 0], matrix[1, 1])
    flat = bent
    for _ in range(30):
        flat = bent / (1 + bend[0] * (flat**2).sum(-1, keepdims=True))
    return np.asarray(flat)


@dataclass(frozen=True)
class _Lens:
    matrix: Array
    bend: Array
    rotation: Array
    shift: Array

    def sees(self, points: Array, height: float) -> Array:
        raised = np.column_stack((points, np.full(len(points), -height)))
        seen = cv2.projectPoints(raised, self.rotation, self.shift, self.matrix, self.bend)[0]
        return np.asarray(seen.reshape(-1, 2))


def _with_pieces(light: Array, scene: Scene, lens: _Lens) -> Array:
    """Shadows of the pieces, then their slices from the lowest up, eight samples a pixel."""
    if not scene.slices:
        return light
    thrown = np.array((0.55, 0.35))
    dark = np.zeros((light.shape[0] // 4, light.shape[1] // 4), np.float32)
    for piece in scene.slices:
        outlines = [
            lens.sees(o + thrown * piece.height, 0.0) for o in (piece.outline, *piece.holes)
        ]
        cv2.fillPoly(dark, [np.round(o * 64).astype(np.int32) for o in outlines], 1.0, shift=8)
    dark = cv2.GaussianBlur(dark, (0, 0), 2.2)
    light = light * (1 - 0.45 * cv2.resize(dark, light.shape[1::-1])[..., None])
    over = 8
    for together in _groups(scene.slices):
        seen = [[lens.sees(o, p.height) for o in (p.outline, *p.holes)] for p in together]
        every = np.concatenate([outline for outlines in seen for outline in outlines])
        left, top = np.maximum(np.floor(every.min(axis=0)).astype(int) - 2, 0)
        right, low = np.ceil(every.max(axis=0)).astype(int) + 3
        part = light[top:low, left:right]
        if not part.size:
            continue
        big = np.repeat(np.repeat(part, over, axis=0), over, axis=1)
        for piece, outlines in zip(together, seen, strict=True):
            points = [
                np.round((((o - (left, top)) + 0.5) * over - 0.5) * 256).astype(np.int32)
                for o in outlines
            ]
            cv2.fillPoly(big, points, [float(c) for c in piece.colour], shift=8)
        light[top:low, left:right] = cv2.resize(
            big, part.shape[1::-1], interpolation=cv2.INTER_AREA
        )
    return light


def _groups(slices: list[Slice]) -> list[list[Slice]]:
    """Slices by the piece they belong to, each from the lowest up."""
    groups: dict[int, list[Slice]] = {}
    for piece in slices:
        groups.setdefault(piece.piece, []).append(piece)
    return [sorted(group, key=lambda piece: piece.height) for group in groups.values()]


def _light(
    shot: Shot, rng: np.random.Generator, x: Array, y: Array, page: tuple[float, float]
) -> Array:
    """Uneven light and one soft shadow across the page."""
    turn = rng.uniform(0, 2 * np.pi)
    along = ((x - page[0] / 2) * np.cos(turn) + (y - page[1] / 2) * np.sin(turn)) / 150
    field_ = 1 + shot.uneven * np.clip(along, -1.3, 1.3) * 0.7
    turn = rng.uniform(0, 2 * np.pi)
    edge = (
        (x - page[0] / 2) * np.cos(turn) + (y - page[1] / 2) * np.sin(turn) - rng.uniform(-50, 50)
    )
    soft = rng.uniform(4, 15)
    return np.asarray(
        field_ * (1 - shot.shadow / (1 + np.exp(-np.clip(edge / soft * 2, -30, 30)))), np.float32
    )


def _developed(light: Array, shot: Shot, rng: np.random.Generator) -> Array:
    light = light + rng.normal(0, shot.noise, light.shape).astype(np.float32) * np.sqrt(
        np.clip(light, 0.02, 1)
    )
    picture = np.clip(1.05 * light, 0, 1) ** (1 / 2.2) * 255
    pixels = np.round(picture).astype(np.uint8)
    if shot.grey:
        pixels = cv2.cvtColor(pixels, cv2.COLOR_BGR2GRAY)
    packed = cv2.imencode(".jpg", pixels, [cv2.IMWRITE_JPEG_QUALITY, shot.quality])[1]
    return np.asarray(cv2.imdecode(packed, cv2.IMREAD_UNCHANGED))
