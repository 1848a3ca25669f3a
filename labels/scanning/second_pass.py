"""A second look at a picture in which no tag was found: glare painted over, contrast evened place
by place, and the symbol's corners found and pulled square.

It needs OpenCV and numpy (the extras `measure` or `webcam`); without them there is no second look.
OpenCV's own decoder is asked too: two readers fail on different pictures.
"""

from collections.abc import Iterator
from importlib import import_module
from typing import Any, NamedTuple

from PIL import Image

GLARE = 250
"""Brighter than this (255 is white) is glare, if it is brighter than the paper around too."""
MOST_GLARE = 0.3
"""Share of a picture that may be glare; more is white paper."""
_SQUARE = 420
"""Side in pixels of a symbol that is pulled square: ten or more a module of any tag."""
_QUIET = 0.17
"""Blank round it, as a share of its side: more than four of 25 modules."""
_LEAST_SIDE = 40
_MOST_PLACES = 6
_LARGEST = 1600
_SMALL = 1000
"""Smaller pictures are enlarged first, so that a threshold follows the edges of the modules."""


class Squared(NamedTuple):
    """A symbol pulled square, and where its middle was, as shares of the picture."""

    picture: Image.Image
    x: float
    y: float
    decoded: str = ""
    """What OpenCV's decoder read, where it did."""


def second_looks(grey: Image.Image) -> Iterator[Squared]:
    """Pictures to be read again, the likeliest first; none where OpenCV is not installed."""
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
        yield Squared(Image.fromarray(look), 0.5, 0.5)
    high, wide = picture.shape
    for corners in _places(vision, numbers, painted, evened):
        middle = corners.mean(axis=0)
        for look in _pulled_square(vision, numbers, painted, corners):
            text = _decoded(vision, look)
            yield Squared(
                Image.fromarray(look), float(middle[0] / wide), float(middle[1] / high), text
            )


def _without_glare(vision: Any, numbers: Any, picture: Any) -> Any:
    """The picture with what is washed out painted over from its edges (Telea, J. Graphics Tools 9
    (2004) 23-34)."""
    glare = (picture >= GLARE).astype(numbers.uint8)
    if not 0 < glare.mean() < MOST_GLARE:
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


def _places(vision: Any, numbers: Any, *looks: Any) -> Iterator[Any]:
    """Corners of what may be a symbol: as OpenCV's detector has them, then of dense squares."""
    found: list[Any] = []
    for look in looks:
        there, corners = vision.QRCodeDetector().detectMulti(look)
        if there:
            found += [one.reshape(4, 2) for one in corners]
    found += _blobs(vision, numbers, looks[0])
    kept: list[Any] = []
    for corners in found:
        sides = numbers.linalg.norm(corners - numbers.roll(corners, 1, axis=0), axis=1)
        if sides.min() < _LEAST_SIDE or sides.max() > 4 * sides.min():
            continue
        kept.append(corners)
        yield corners
        if len(kept) == _MOST_PLACES:
            return


def _blobs(vision: Any, numbers: Any, look: Any) -> list[Any]:
    """Four-cornered masses of ink: dark modules joined with one another, the largest first."""
    size = max(look.shape)
    dark = vision.adaptiveThreshold(
        look,
        255,
        vision.ADAPTIVE_THRESH_MEAN_C,
        vision.THRESH_BINARY_INV,
        max(3, size // 12 * 2 + 1),
        12,
    )
    found = []
    for reach in (size // 90, size // 55, size // 35):
        side = max(3, reach) | 1
        joined = vision.morphologyEx(
            dark, vision.MORPH_CLOSE, numbers.ones((side, side), numbers.uint8)
        )
        outlines, _ = vision.findContours(joined, vision.RETR_EXTERNAL, vision.CHAIN_APPROX_SIMPLE)
        for outline in outlines:
            hull = vision.convexHull(outline)
            area = vision.contourArea(hull)
            if area < _LEAST_SIDE**2 or area > 0.6 * look.size:
                continue
            corners = _four_corners(vision, hull)
            if corners is not None and vision.contourArea(corners) > 0.8 * area:
                found.append((area, corners.reshape(4, 2).astype(numbers.float32)))
    found.sort(key=lambda one: -one[0])
    return [corners for _, corners in found]


def _four_corners(vision: Any, hull: Any) -> Any:
    """The hull with only four corners left; None where it has no four."""
    length = vision.arcLength(hull, True)
    for share in (0.02, 0.03, 0.04, 0.06, 0.08, 0.1):
        corners = vision.approxPolyDP(hull, share * length, True)
        if len(corners) == 4:
            return corners
    return None


def _pulled_square(vision: Any, numbers: Any, look: Any, corners: Any) -> Iterator[Any]:
    """The symbol as a square, as it is, in ink and paper only, and with ink a little thinner."""
    edge = _SQUARE * _QUIET
    square = numbers.array(
        [(edge, edge), (edge + _SQUARE, edge), (edge + _SQUARE, edge + _SQUARE),
         (edge, edge + _SQUARE)], dtype=numbers.float32,
    )  # fmt: skip
    side = round(_SQUARE + 2 * edge)
    matrix = vision.getPerspectiveTransform(_clockwise(numbers, corners), square)
    flat = vision.warpPerspective(
        look, matrix, (side, side), flags=vision.INTER_CUBIC, borderMode=vision.BORDER_REPLICATE
    )
    yield flat
    even = vision.createCLAHE(clipLimit=2.0, tileGridSize=(4, 4)).apply(flat)
    for block in (61, 121):
        yield vision.adaptiveThreshold(
            vision.GaussianBlur(even, (0, 0), 2.0), 255, vision.ADAPTIVE_THRESH_GAUSSIAN_C,
            vision.THRESH_BINARY, block, 4,
        )  # fmt: skip
    _, plain = vision.threshold(
        vision.GaussianBlur(flat, (0, 0), 2.0), 0, 255, vision.THRESH_BINARY + vision.THRESH_OTSU
    )
    yield plain
    yield vision.dilate(plain, numbers.ones((3, 3), numbers.uint8))


def _clockwise(numbers: Any, corners: Any) -> Any:
    """The corners from the upper left round, as far as that can be told."""
    middle = corners.mean(axis=0)
    turn = numbers.arctan2(corners[:, 1] - middle[1], corners[:, 0] - middle[0])
    return corners[numbers.argsort(turn)].astype(numbers.float32)


def _decoded(vision: Any, look: Any) -> str:
    """What OpenCV's decoder reads of a picture; empty where it cannot."""
    try:
        text, _, _ = vision.QRCodeDetector().detectAndDecode(look)
    except vision.error:  # it stumbles over some shapes instead of finding nothing
        return ""
    return str(text)
