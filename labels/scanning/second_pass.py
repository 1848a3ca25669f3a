"""A second look at a picture in which no tag was found: ink told from paper place by place, glare
painted over, contrast evened, and symbols found by their known patterns and drawn anew.

It needs OpenCV and numpy (the extras `measure` or `webcam`); without them there is no second look.
"""

from collections.abc import Iterator
from importlib import import_module
from typing import Any

from PIL import Image

from labels.scanning.grid import Drawn, drawn_anew

_GLARE = 250
"""Brighter than this (255 is white) is glare, if it is brighter than the paper around too."""
_MOST_GLARE = 0.3
"""Share of a picture that may be glare; more is white paper."""
_LARGEST = 1600
_SMALL = 1000
"""Smaller pictures are enlarged first, so that a threshold follows the edges of the modules."""


def second_looks(grey: Image.Image) -> Iterator[Image.Image | Drawn]:
    """The whole picture to be read again, and then symbols drawn anew, the quickest looks first;
    none where OpenCV is not installed."""
    try:
        vision, numbers = import_module("cv2"), import_module("numpy")
    except ImportError:
        return
    if max(grey.size) > _LARGEST:
        grey = grey.copy()
        grey.thumbnail((_LARGEST, _LARGEST))
    picture = numbers.asarray(grey)
    painted = _without_glare(vision, numbers, picture)
    evened = vision.createCLAHE(clipLimit=3.0, tileGridSize=(8, 8)).apply(painted)
    for look in (*_ink_alone(vision, picture), painted, evened):
        yield Image.fromarray(look)
    yield from drawn_anew(vision, numbers, picture)


def _without_glare(vision: Any, numbers: Any, picture: Any) -> Any:
    """The picture with what is washed out painted over from its edges (Telea, J. Graphics Tools 9
    (2004) 23-34)."""
    glare = (picture >= _GLARE).astype(numbers.uint8)
    if not 0 < glare.mean() < _MOST_GLARE:
        return picture
    # The soft edge of a band is brighter than paper too.
    glare = vision.dilate(glare, numbers.ones((5, 5), numbers.uint8))
    return vision.inpaint(picture, glare, 4, vision.INPAINT_TELEA)


def _ink_alone(vision: Any, picture: Any) -> Iterator[Any]:
    """Ink and paper told apart place by place: under a lamp's glare ink is as bright as paper
    elsewhere, and darker only than the paper beside it."""
    if max(picture.shape) < _SMALL:
        picture = vision.resize(picture, None, fx=2, fy=2, interpolation=vision.INTER_CUBIC)
    size = max(picture.shape)
    for share in (60, 36, 22):
        for smooth in (1.0, 2.2):
            soft = vision.GaussianBlur(picture, (0, 0), smooth)
            for least in (6, 3):
                yield vision.adaptiveThreshold(
                    soft, 255, vision.ADAPTIVE_THRESH_GAUSSIAN_C, vision.THRESH_BINARY,
                    max(7, size // share) | 1, least,
                )  # fmt: skip
