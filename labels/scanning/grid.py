"""A symbol found by what every symbol has in common, however little of it a reader sees.

Finder, timing and alignment patterns are known for each version (ISO/IEC 18004), so the corners of
a symbol are moved until these patterns lie where they must; that also holds where glare has washed
out a finder, on which readers depend. Each module is then looked at by itself, the known patterns
are drawn anew, and the reader gets a clean symbol, whose error correction proves what is read.

It needs OpenCV and numpy, which the caller hands over.
"""

from collections.abc import Iterator
from functools import lru_cache
from typing import Any, NamedTuple

from PIL import Image

from labels.symbols.symbol import QUIET_MODULES, modules_along

_VERSIONS = range(1, 7)
"""A code takes version 1, an address in the garage 2 to 5; from 7 on there are more patterns."""
_REACHES = (0.026, 0.047, 0.084)
"""How wide a dark stroke may be, as shares of the picture's longer side: at least the three modules
of a finder's core, and less than the shadow beside a band of glare."""
_REACH = 35
"""The same in pixels: a picture with wider strokes is made smaller, which loses nothing of them."""
_MOST_PLACES = 6
_LEAST_AGREEMENT = 0.55
"""How well the known patterns must be seen (1 is every one of them) for a place to be read."""
_ROUGH, _FINE = (2.0, 1.0, 0.5), (0.5, 0.25, 0.12)
"""Steps by which corners are moved, in modules."""
_ROUNDS = 12
_DOTS = 4
"""Of the drawn symbol, a module."""


class Drawn(NamedTuple):
    """A clean symbol, and where its middle was, as shares of the picture it was seen in."""

    symbol: Image.Image
    x: float
    y: float


class _Known(NamedTuple):
    """The patterns of a version: where (points in a square of 1 by 1) and how much each counts."""

    modules: int
    rows: Any
    """1 dark, -1 light, 0 where the data are."""
    points: Any
    weights: Any


def drawn_anew(vision: Any, numbers: Any, grey: Any) -> Iterator[Drawn]:
    """Each place that shows the known patterns of a symbol drawn anew, in several ways."""
    whole = grey
    for share in _REACHES:
        less = min(1.0, _REACH / (max(whole.shape) * share))
        grey = vision.resize(whole, None, fx=less, fy=less, interpolation=vision.INTER_AREA)
        reach = max(7, round(max(grey.shape) * share)) | 1
        ink = _ink(vision, numbers, grey, reach)
        rough = vision.GaussianBlur(ink, (0, 0), reach / 18)
        for corners in _places(vision, numbers, ink, reach):
            agreement, version, corners = _likeliest(vision, numbers, rough, corners)
            if agreement < _LEAST_AGREEMENT / 3:
                continue
            known = _known(numbers, version)
            _, corners = _moved(vision, numbers, rough, known, corners, _ROUGH)
            agreement, corners = _moved(vision, numbers, ink, known, corners, _FINE)
            if agreement >= _LEAST_AGREEMENT:
                middle = corners.mean(axis=0)
                x, y = float(middle[0] / grey.shape[1]), float(middle[1] / grey.shape[0])
                for dark in _modules(vision, numbers, (ink, grey), known, corners):
                    yield Drawn(_clean(numbers, known, dark), x, y)


def _ink(vision: Any, numbers: Any, grey: Any, reach: int) -> Any:
    """1 where there is ink, -1 where there is none: how much darker a stroke is than what is
    around it, against the darkest strokes near it, since glare leaves ink a little of its depth."""
    soft = vision.GaussianBlur(grey, (0, 0), 0.8)
    round_ = vision.getStructuringElement(vision.MORPH_ELLIPSE, (reach, reach))
    depth = vision.morphologyEx(soft, vision.MORPH_BLACKHAT, round_)
    near = vision.dilate(depth, numbers.ones((reach // 2 | 1,) * 2))
    near = vision.GaussianBlur(near, (0, 0), reach / 4).astype(numbers.float32)
    return numbers.clip(2 * depth.astype(numbers.float32) / (near + 8) - 1, -1, 1)


def _places(vision: Any, numbers: Any, ink: Any, reach: int) -> list[Any]:
    """Corners of four-cornered masses of ink, the largest first."""
    dark = (ink > 0).astype(numbers.uint8)
    found = []
    for share in (0.5, 0.8):
        square = numbers.ones((int(reach * share) | 1,) * 2, numbers.uint8)
        joined = vision.morphologyEx(dark, vision.MORPH_CLOSE, square)
        joined = vision.morphologyEx(joined, vision.MORPH_OPEN, square)
        outlines, _ = vision.findContours(joined, vision.RETR_EXTERNAL, vision.CHAIN_APPROX_SIMPLE)
        for outline in outlines:
            hull = vision.convexHull(outline)
            area = vision.contourArea(hull)
            if area < (2.5 * reach) ** 2:
                continue
            # A rectangle has the corner too that is torn off or washed out whole.
            rectangle = vision.boxPoints(vision.minAreaRect(hull))
            found += [
                (area, _clockwise(numbers, corners.reshape(4, 2).astype(float)))
                for corners in (_four_corners(vision, hull), rectangle)
                if corners is not None and 0.75 * area < vision.contourArea(corners) < 1.4 * area
            ]
    found.sort(key=lambda one: -one[0])
    return [corners for _, corners in found[:_MOST_PLACES]]


def _four_corners(vision: Any, hull: Any) -> Any:
    """The hull with only four corners left; None where it has no four."""
    length = vision.arcLength(hull, True)
    for share in (0.02, 0.03, 0.04, 0.06, 0.08, 0.1):
        corners = vision.approxPolyDP(hull, share * length, True)
        if len(corners) == 4:
            return corners
    return None


def _clockwise(numbers: Any, corners: Any) -> Any:
    middle = corners.mean(axis=0)
    turn = numbers.arctan2(corners[:, 1] - middle[1], corners[:, 0] - middle[0])
    return corners[numbers.argsort(turn)]


@lru_cache(maxsize=8)
def _known(numbers: Any, version: int) -> _Known:
    """The patterns of a version, with one module of the quiet zone around, dark and light
    counting the same."""
    side = modules_along(version)
    rows = numbers.zeros((side, side))
    rows[6, 8:-8] = rows[8:-8, 6] = numbers.resize([1, -1], side - 16)
    ring = numbers.pad(numbers.ones((3, 3)), 1, constant_values=-1)
    finder = numbers.pad(numbers.pad(ring, 1, constant_values=1), 1, constant_values=-1)
    rows[:8, :8], rows[:8, -8:], rows[-8:, :8] = finder[1:, 1:], finder[1:, :-1], finder[:-1, 1:]
    if version > 1:
        rows[-9:-4, -9:-4] = numbers.pad(-ring[1:4, 1:4], 1, constant_values=1)
        rows[-7, -7] = 1
    edged = numbers.pad(rows, 1, constant_values=-1)
    y, x = numbers.nonzero(edged)
    signs = edged[y, x]
    weights = numbers.where(signs > 0, 0.5 / (signs > 0).sum(), -0.5 / (signs < 0).sum())
    return _Known(side, rows, numbers.stack([x - 0.5, y - 0.5], axis=1) / side, weights)


def _likeliest(vision: Any, numbers: Any, ink: Any, corners: Any) -> tuple[float, int, Any]:
    """The version and the way up that agree best once the corners are moved a little, and how
    well."""
    tried = []
    for version in _VERSIONS:
        known = _known(numbers, version)
        for turn in range(4):
            turned = numbers.roll(corners, turn, axis=0)
            agreement, moved = _moved(vision, numbers, ink, known, turned, (1.0,))
            tried.append((agreement, version, moved))
    return max(tried, key=lambda one: one[0])


def _moved(
    vision: Any, numbers: Any, ink: Any, known: _Known, corners: Any, steps: tuple[float, ...]
) -> tuple[float, Any]:
    """Corners moved, one, two or all four of them at a time, while the patterns agree better."""
    ways = numbers.zeros((10, 4, 2))
    for corner in range(4):
        ways[corner, corner] = ways[4 + corner, [corner, (corner + 1) % 4]] = 1
        ways[8, corner], ways[9, corner] = 1, (-1) ** (corner // 2)
    ways = ways[:, None] * numbers.array([(1, 0), (-1, 0), (0, 1), (0, -1)])[None, :, None]
    ways = numbers.concatenate([numbers.zeros((1, 4, 2)), ways.reshape(-1, 4, 2)])
    module = abs(vision.contourArea(corners.astype(numbers.float32))) ** 0.5 / known.modules
    agreement = -1.0
    for step in steps:
        for _ in range(_ROUNDS):
            tries = corners + ways * (step * module)
            agreements = _seen(vision, numbers, ink, tries, known.points) @ known.weights
            best = int(agreements.argmax())
            agreement, corners = float(agreements[best]), tries[best]
            if best == 0:
                break
    return agreement, corners


def _seen(vision: Any, numbers: Any, picture: Any, quads: Any, points: Any) -> Any:
    """What a picture shows at points of the unit square, for each of the quads it may be seen as:
    one row a quad."""
    # The projective map of the unit square (Heckbert, Fundamentals of Texture Mapping, 1989).
    first, second, third, fourth = (quads[:, corner] for corner in range(4))
    bend, right, down = first - second + third - fourth, second - third, fourth - third
    size = right[:, 0] * down[:, 1] - down[:, 0] * right[:, 1]
    size = numbers.where(abs(size) < 1e-9, 1e-9, size)
    g = (bend[:, 0] * down[:, 1] - down[:, 0] * bend[:, 1]) / size
    h = (right[:, 0] * bend[:, 1] - bend[:, 0] * right[:, 1]) / size
    across = second - first + g[:, None] * second
    along = fourth - first + h[:, None] * fourth
    x, y = points[:, 0], points[:, 1]
    below = 1 + numbers.outer(g, x) + numbers.outer(h, y)
    below = numbers.where(below < 1e-3, 1e-3, below)
    maps = [
        ((first[:, k, None] + numbers.outer(across[:, k], x) + numbers.outer(along[:, k], y))
         / below).astype(numbers.float32)
        for k in (0, 1)
    ]  # fmt: skip
    return vision.remap(
        picture, maps[0], maps[1], vision.INTER_LINEAR, borderMode=vision.BORDER_REPLICATE
    )


def _modules(
    vision: Any, numbers: Any, looks: tuple[Any, Any], known: _Known, corners: Any
) -> Iterator[Any]:
    """Which modules are dark: by their ink, and by their shade against their neighbours'."""
    side = known.modules
    spread = numbers.array([(x, y) for x in (-0.2, 0, 0.2) for y in (-0.2, 0, 0.2)])
    y, x = numbers.divmod(numbers.arange(side * side), side)
    points = (numbers.stack([x, y], axis=1)[:, None] + 0.5 + spread).reshape(-1, 2) / side
    ink, shade = (
        _seen(vision, numbers, look.astype(numbers.float32), corners[None], points)
        .reshape(side, side, len(spread)).mean(axis=2)
        for look in looks
    )  # fmt: skip
    for least in (0.0, -0.25, 0.25):
        yield ink > least
    for reach in (1.2, 2.0, 3.5):
        yield shade < vision.GaussianBlur(shade, (0, 0), reach, borderType=vision.BORDER_REFLECT)


def _clean(numbers: Any, known: _Known, dark: Any) -> Image.Image:
    """The symbol with its known patterns as they must be."""
    dark = numbers.where(known.rows == 0, dark, known.rows > 0)
    shades = numbers.pad(numbers.where(dark, 0, 255).astype(numbers.uint8), QUIET_MODULES,
                         constant_values=255)  # fmt: skip
    picture = Image.fromarray(shades)
    return picture.resize((picture.width * _DOTS, picture.height * _DOTS), Image.Resampling.NEAREST)
