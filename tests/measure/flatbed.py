"""A flatbed scanner's pictures: square to the glass, without a camera, 300 dots an inch or more.

What lies on the glass is drawn by the surfaces of `meshes`, seen from so far that there is no
parallax; the lid is white and a little of the light falls short beside each piece.
"""

from __future__ import annotations

import io
from pathlib import Path

import cv2
import numpy as np
import pypdfium2
from PIL import Image

from tests.measure.meshes import Mesh
from tests.measure.other_scenes import FINISHES, Room, draw, shadow
from tests.measure.scene import Array, Lamp

_FAR_MM = 60_000.0
_LAMPS = Room(
    (Lamp(np.array((0.0, 0.6, 0.8)), 0.5, 0.25), Lamp(np.array((0.0, -0.5, 0.87)), 0.3, 0.25)),
    0.5, np.ones(3),
)  # fmt: skip


def scanned(
    meshes: list[Mesh], size_mm: tuple[float, float], dpi: int, seed: int = 1, lid: float = 0.85
) -> Array:
    """The scan of pieces on the glass, uint8; x to the right and y down from its upper left."""
    rng = np.random.default_rng(seed)
    per_mm = dpi / 25.4
    wide, high = (round(side * per_mm) for side in size_mm)
    focal = per_mm * _FAR_MM
    matrix = np.array(((focal, 0, -0.5), (0, focal, -0.5), (0, 0, 1.0)))
    lens = matrix, np.zeros(5), np.zeros(3), np.array((0.0, 0.0, _FAR_MM))
    dark = np.zeros((high // 2, wide // 2), np.float32)
    for mesh in meshes:
        shadow(dark, mesh, np.array((0.0, 0.35)), lens)
    dark = cv2.resize(cv2.GaussianBlur(dark, (0, 0), 0.8 * per_mm / 2), (wide, high))
    light = np.repeat((lid * (1 - 0.3 * dark))[..., None], 3, axis=2).astype(np.float32)
    finishes = [FINISHES[number % 2] for number in range(len(meshes))]
    draw(light, meshes, finishes, _LAMPS, lens, rng)
    light = cv2.GaussianBlur(light, (0, 0), 0.6)
    light += rng.normal(0, 0.006, light.shape).astype(np.float32)
    return np.asarray(np.clip(light, 0, 1) ** (1 / 2.2) * 255, np.uint8)


def save(pixels: Array, path: Path, dpi: float | None) -> Path:
    """The file as a scanner's program writes it, with its dots an inch or without."""
    image = Image.fromarray(pixels[..., ::-1] if pixels.ndim == 3 else pixels)
    if dpi is None:
        image.save(path, quality=92)
    else:
        image.save(path, quality=92, dpi=(dpi, dpi))
    return path


def printed(pdf: Path | bytes, dpi: int, size_mm: tuple[float, float], stretch: float) -> Array:
    """The first page of a PDF as a printer that is off puts it on paper, dots of `dpi`: light from
    0 to 1. `stretch` is what the printer makes of a millimetre, from the upper left corner."""
    data = pdf.read_bytes() if isinstance(pdf, Path) else pdf
    page = pypdfium2.PdfDocument(io.BytesIO(data))[0]
    drawn = page.render(scale=2 * dpi / 72, grayscale=True).to_numpy()
    drawn = drawn[..., 0] if drawn.ndim == 3 else drawn
    size = tuple(round(side * dpi / 25.4) for side in size_mm)
    # the middle of dot x shows what the PDF has at (x + 0.5) / stretch
    shift = 1 / stretch - 0.5
    turn = np.array(((2 / stretch, 0, shift), (0, 2 / stretch, shift)))
    soft = cv2.GaussianBlur(drawn, (0, 0), 1.0)
    paper = cv2.warpAffine(
        soft, turn, size, flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
        borderMode=cv2.BORDER_CONSTANT, borderValue=255,
    )  # fmt: skip
    return np.asarray(0.05 + 0.8 * paper.astype(np.float32) / 255)
