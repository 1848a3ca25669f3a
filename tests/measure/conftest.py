"""Rendered pictures, each made once for all processes of a run."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import cv2
import pytest
from filelock import FileLock

from tests.measure.pieces import Screw, lay_nut, lay_screw, lay_washer
from tests.measure.scene import Array, Scene, Shot, mask_of, render
from tests.measure.shapes import case_cover

SHAPE = case_cover().turned(25, (105.0, 148.0))
MEGAPIXELS_5 = (2592, 1944)
"""What the commands and screens are tried on; `pytest -m long` takes more and larger ones."""
SCREWS = (
    Screw(5.9, 1.0, 25, "hex", 10, 4, 18),
    Screw(5.9, 1.0, 50, "hex", 10, 4, 24),
    Screw(7.88, 1.25, 40, ""),
)


@pytest.fixture(scope="session")
def gasket_picture(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A gasket photographed at 30 degrees, with stains, grain, a shadow and uneven light."""
    brown = (0.12, 0.2, 0.3)
    scene = Scene("a4", [(SHAPE.outline, brown, SHAPE.all_holes())])
    shot = Shot(
        MEGAPIXELS_5, slant=30, azimuth=200, roll=70, blur=1.1, quality=80, shadow=0.4, seed=3
    )
    return _made_once("gasket", lambda: render(scene, shot), tmp_path_factory)


@pytest.fixture(scope="session")
def laid_picture(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three screws, two washers and a nut, photographed at 12 degrees."""
    slices = [
        piece
        for number, (screw, place, turn) in enumerate(
            zip(SCREWS, ((60, 90), (60, 150), (150, 100)), (20, 80, -75), strict=True)
        )
        for piece in lay_screw(screw, place, turn, number)
    ]
    slices += lay_washer((110, 190), 6.4, 12, 1.6, 10) + lay_washer((150, 200), 8.4, 16, 1.6, 11)
    slices += lay_nut((105, 100), 10, 5.2, 5, 17, 12)
    shot = Shot(MEGAPIXELS_5, slant=12, azimuth=60, roll=10, blur=0.8, stains=3, shadow=0.2, seed=4)
    return _made_once("laid", lambda: render(Scene("a4", [], slices), shot), tmp_path_factory)


@pytest.fixture(scope="session")
def empty_picture(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The mat with nothing on it."""
    shot = Shot(size=(2048, 1536), stains=0, slant=5)
    return _made_once("empty", lambda: render(Scene("letter"), shot), tmp_path_factory)


@pytest.fixture(scope="session")
def scan(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The gasket on a scanner's glass: 300 dpi by name, no mat, no dpi in the file."""
    per_mm = 300 / 25.4
    size = round(200 * per_mm), round(270 * per_mm)
    cover = mask_of([SHAPE.outline, *SHAPE.all_holes()], size, per_mm)
    light = cv2.GaussianBlur(0.85 - 0.65 * cover, (0, 0), 0.8)
    shades = (light ** (1 / 2.2) * 255).astype("uint8")
    return _made_once("scan", lambda: shades, tmp_path_factory)


def _made_once(name: str, make: Callable[[], Array], factory: pytest.TempPathFactory) -> Path:
    """The picture in the folder of the whole run; whichever process wants it first renders it."""
    folder = factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        folder = folder.parent
    path = folder / f"{name}.jpg"
    with FileLock(folder / f"{name}.lock"):
        if not path.exists():
            cv2.imwrite(str(path), make(), [cv2.IMWRITE_JPEG_QUALITY, 92])
    return path
