"""A tag as a phone sees it under a lamp: askew in perspective, with bands of glare, blurred, noisy.

Everything from a fixed seed; made by OpenCV's warp, which has no part in reading it.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from labels.face.artwork import TagArtwork
from tests.labels import wear

Picture = NDArray[np.float64]
PIXELS_A_MODULE = 7.0
"""What a phone at 25 cm gives of a module of 0.5 mm."""
BAND, LIGHT = 0.14, 160.0
"""Width of a band of glare to 37 % of its height, as a share of the symbol's side, and how much it
adds to a picture of 255 shades: its middle is white paper and ink hardly darker."""


def seen_askew(
    drawn: TagArtwork, seed: int, perspective: float = 0.3, bands: int = 2
) -> Image.Image:
    """The tag with its far edge shorter by `perspective`, and so many bands of glare over its
    symbol."""
    random = np.random.default_rng(seed)
    paper = np.asarray(wear.on_paper(drawn), dtype=np.float64)
    scale = PIXELS_A_MODULE / drawn.fit.module_dots
    size = (round(paper.shape[1] * scale), round(paper.shape[0] * scale))
    grey = cv2.resize(paper, size, interpolation=cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC)
    edge = drawn.image.height // 4
    left, top, right, bottom = ((edge + one) * scale for one in drawn.symbol_box)
    grey = 40 + grey * (150 / 255)  # ink is no black and paper no white under a lamp
    grey = _with_glare(grey, (left, top, right, bottom), bands, random)
    askew = _in_perspective(grey, perspective, random)
    blurred = cv2.GaussianBlur(askew, (0, 0), 0.9)
    noisy = blurred + random.normal(0, 4, blurred.shape)
    return Image.fromarray(np.clip(noisy, 0, 255).astype(np.uint8))


def _with_glare(
    grey: Picture, box: tuple[float, float, float, float], bands: int, random: np.random.Generator
) -> Picture:
    """Bands that run across the symbol and wash it out to white, soft at their edges."""
    left, top, right, _ = box
    side = right - left
    down, across = np.mgrid[0 : grey.shape[0], 0 : grey.shape[1]].astype(np.float64)
    for band in range(bands):
        angle = random.uniform(-0.5, 0.5) + (np.pi / 2 if random.random() < 0.5 else 0.0)
        place = (band + random.uniform(0.35, 0.65)) / bands
        x, y = left + side * place, top + side * place
        off = (across - x) * np.sin(angle) + (down - y) * np.cos(angle)
        light = LIGHT * np.exp(-((off / (BAND * side / 2)) ** 2))
        grey = np.minimum(255.0, grey + light)
    return grey


def _in_perspective(grey: Picture, share: float, random: np.random.Generator) -> Picture:
    """One edge of the picture, by turns each of the four, is shorter by the share."""
    high, wide = grey.shape
    corners = np.array([(0, 0), (wide, 0), (wide, high), (0, high)], dtype=np.float32)
    squeezed = corners.copy()
    edge = int(random.integers(4))
    first, last = edge, (edge + 1) % 4
    way = (corners[last] - corners[first]) * (share / 2)
    squeezed[first] += way
    squeezed[last] -= way
    # What is farther is foreshortened too.
    inward = corners[(edge + 3) % 4] - corners[first]
    squeezed[first] += inward * (share / 2)
    squeezed[last] += inward * (share / 2)
    turn = cv2.getRotationMatrix2D((wide / 2, high / 2), float(random.uniform(-12, 12)), 0.85)
    squeezed = (np.c_[squeezed, np.ones(4)] @ turn.T).astype(np.float32)
    matrix = cv2.getPerspectiveTransform(corners, squeezed)
    warped = cv2.warpPerspective(
        grey, matrix, (wide, high), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_CONSTANT,
        borderValue=(95.0,),
    )  # fmt: skip
    return np.asarray(warped, dtype=np.float64)
