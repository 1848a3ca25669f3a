"""From a picture to a plane in millimetres: by the mat, or by a scanner's dots per inch."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from tagbench.errors import BadInput
from tagbench.measure.camera import Camera, fit_camera
from tagbench.measure.mat import plain_middle
from tagbench.measure.picture import Pixels, UprightPicture
from tagbench.measure.refusals import NoMatSeen
from tagbench.measure.solver import Array
from tagbench.measure.symbols import MatSeen, see_mat

MOST_RESIDUAL_MM = 0.3
"""Above this a picture is refused."""
FEWEST_SYMBOLS = 4
MORE_MM = 3.0
"""How far round the plain middle pieces are looked for."""
_FINEST_PER_MM, _COARSEST_PER_MM = 13.0, 5.0
_SCAN_PER_MM = 12.5
_SCALE_AGREES = 0.004
"""A scan's dpi and a mat in it must agree so well: 0.6 mm in 150."""
_SQUARE_MM = 0.2
"""What is seen so evenly over the whole mat was scanned: a camera never stands so square."""
HOW = "lay the paper flatter, hold the camera steeper over it, and give it more and even light"

StepReport = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class RectifiedSheet:
    """The plane that pieces lie on, straightened: so many pixels a mm everywhere."""

    pixels: Pixels
    """Grey, or blue, green and red."""
    per_mm: float
    left: float
    """x of the middle of the first pixel, mm."""
    top: float
    """y of it, mm; y runs down the page."""
    valid: NDArray[np.uint8]
    """255 where the picture shows the plane."""
    camera: Camera | None
    """None for a scan, which has no parallax to speak of."""
    residual_mm: float
    """How far the mat's points are from where they should be, root mean square; 0 for a scan."""
    symbols: int
    """How many of the mat's symbols were used."""
    source: str
    """`mat` or `scan`."""
    detail: float
    """Pixels of the picture a mm, where it is coarsest in the middle of the sheet."""
    note: str = ""
    """What the person should know of its scale."""

    def to_mm(self, pixels: Array) -> Array:
        """Places (n, 2) of the sheet in mm."""
        return np.asarray(pixels / self.per_mm + (self.left, self.top))

    def to_pixels(self, points: Array) -> Array:
        """Points (n, 2) in mm as places of the sheet."""
        return np.asarray((points - (self.left, self.top)) * self.per_mm)

    def detail_along(self, at: Array, along: Array) -> float:
        """Pixels of the picture a mm at a point in a direction."""
        if self.camera is None:
            return self.detail
        ends = np.array((at - along / 2, at + along / 2))
        seen = self.camera.to_picture(ends)
        return float(np.linalg.norm(seen[1] - seen[0]) / np.linalg.norm(along))


def straighten(
    picture: UprightPicture, dpi: float | None = None, told: StepReport = lambda _: None
) -> RectifiedSheet:
    """The sheet of a picture: by the mat in it, or as a scan of so many dots per inch.

    BadInput where neither gives a scale that holds, with what to do.
    """
    if dpi is not None and not 50 <= dpi <= 5000:
        raise BadInput(f"A scan has from 50 to 5000 dots per inch, not {dpi:g}; 300 is right.")
    cv2.setNumThreads(1)  # the screens go on beside it, on the other cores
    told("looking for the mat")
    seen = see_mat(picture.grey)
    whole = seen is not None and seen.symbols >= FEWEST_SYMBOLS
    if dpi is not None:
        if seen is not None and whole:
            _check_scale(picture, dpi, seen)
            return _scan(picture, (dpi, dpi))
        return _scan(picture, (dpi, dpi), _disagreement(picture, dpi))
    if picture.dpi is not None and not whole:
        return _scan(picture, picture.dpi)
    if picture.dpi is not None and seen is not None and _lies_on_glass(seen):
        return _scanned_mat(picture, picture.dpi, seen)
    if seen is None:
        raise NoMatSeen(picture.name)
    if seen.symbols < FEWEST_SYMBOLS:
        raise BadInput(
            f"Only {seen.symbols} of the mat's symbols can be read in {picture.name}, and "
            f"{FEWEST_SYMBOLS} are needed: take the whole mat into view, sharp and evenly lit."
        )
    told("straightening")
    return _by_mat(picture, seen)


def _by_mat(picture: UprightPicture, seen: MatSeen) -> RectifiedSheet:
    camera = fit_camera(seen.mat, seen.seen, seen.homography, picture.size, picture.focal)
    off = np.linalg.norm(camera.to_picture(seen.mat) - seen.seen, axis=1)
    scale = np.array([_density(camera, point)[1] for point in seen.mat])
    residual = float(np.sqrt(np.mean((off / scale) ** 2)))
    if residual > MOST_RESIDUAL_MM:
        raise BadInput(
            f"The mat in {picture.name} is {residual:.2f} mm from flat and true, and "
            f"{MOST_RESIDUAL_MM:g} mm is the most: {HOW}."
        )
    box = plain_middle(seen.paper)
    middle = np.array((box.x + box.width / 2, box.y + box.height / 2))
    least, most = _density(camera, middle)
    per_mm = float(np.clip(most, _COARSEST_PER_MM, _FINEST_PER_MM))
    left, top = box.x - MORE_MM, box.y - MORE_MM
    wide = round((box.width + 2 * MORE_MM) * per_mm)
    high = round((box.height + 2 * MORE_MM) * per_mm)
    pixels, valid = _warped(picture.pixels, camera, (wide, high), per_mm, (left, top))
    return RectifiedSheet(
        pixels, per_mm, left, top, valid, camera, residual, seen.symbols, "mat", least
    )  # fmt: skip


def _density(camera: Camera, at: Array) -> tuple[float, float]:
    """Pixels a mm at a point, the least and the geometric mean of both ways."""
    ends = at + np.array(((0, 0), (0.5, 0), (0, 0.5)))
    seen = camera.to_picture(ends)
    sizes = np.linalg.svd(np.column_stack((seen[1] - seen[0], seen[2] - seen[0])) * 2)[1]
    return float(sizes[1]), float(np.sqrt(sizes[0] * sizes[1]))


def _warped(
    pixels: Pixels,
    camera: Camera,
    size: tuple[int, int],
    per_mm: float,
    corner: tuple[float, float],
) -> tuple[Pixels, NDArray[np.uint8]]:
    """The sheet resampled from the picture; exact on a grid of eight pixels, straight between,
    which is the same to a few thousandths of a pixel."""
    step = 8
    wide, high = size
    columns, rows = -(-wide // step) + 2, -(-high // step) + 2
    # cv2.resize puts the middle of coarse pixel n at (n + 0.5) * step - 0.5
    across = (np.arange(columns) - 0.5) * step - 0.5
    down = (np.arange(rows) - 0.5) * step - 0.5
    grid = np.stack(np.meshgrid(across, down), -1).reshape(-1, 2) / per_mm + corner
    coarse = camera.to_picture(grid).reshape(rows, columns, 2).astype(np.float32)
    fine = cv2.resize(coarse, (columns * step, rows * step), interpolation=cv2.INTER_LINEAR)
    places = np.ascontiguousarray(fine[step : step + high, step : step + wide])
    sheet = cv2.remap(pixels, places, None, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
    tall, broad = pixels.shape[:2]
    inside = cv2.inRange(places, (1.0, 1.0, 0.0, 0.0), (broad - 2.0, tall - 2.0, 0.0, 0.0))
    return np.asarray(sheet), np.asarray(inside)


def _scan(picture: UprightPicture, dots: tuple[float, float], note: str = "") -> RectifiedSheet:
    across, down = dots[0] / 25.4, dots[1] / 25.4
    per_mm = min(_SCAN_PER_MM, across, down)
    pixels = picture.pixels
    if max(across, down) > per_mm * 1.001:
        size = round(pixels.shape[1] * per_mm / across), round(pixels.shape[0] * per_mm / down)
        pixels = np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA))
    valid = np.full(pixels.shape[:2], 255, np.uint8)
    return RectifiedSheet(
        pixels, per_mm, 0.5 / per_mm, 0.5 / per_mm, valid, None, 0.0, 0, "scan", min(across, down),
        note,
    )  # fmt: skip


def _scanned_mat(
    picture: UprightPicture, dots: tuple[float, float], seen: MatSeen
) -> RectifiedSheet:
    """A scan with the mat on the glass: what lies on it is seen from everywhere square, so there
    is no camera; the mat gives the scale, and one of the two is off where they do not agree."""
    found, _ = _dots_per_mm(seen)
    by_mat, by_file = found * 25.4, float(np.sqrt(dots[0] * dots[1]))
    note = ""
    if abs(by_mat / by_file - 1) > _SCALE_AGREES:
        note = (
            f"{picture.name} says {by_file:.0f} dots per inch and the mat in it measures "
            f"{by_mat:.1f}: it was measured by the mat, which is right only if a steel rule finds "
            "150 mm along its scale."
        )
    return _scan(picture, (by_mat, by_mat), note)


def _dots_per_mm(seen: MatSeen) -> tuple[float, float]:
    """Dots a mm as the mat in a scan has them, and how far it is from square and even, mm."""
    mm = seen.mat - seen.mat.mean(axis=0)
    dots = seen.seen - seen.seen.mean(axis=0)
    affine = np.linalg.lstsq(mm, dots, rcond=None)[0]
    scale = float(np.sqrt(abs(np.linalg.det(affine))))
    turned = affine / scale
    skewed = np.linalg.svd(turned)[1]
    span = float(np.linalg.norm(np.ptp(mm, axis=0)))
    off = np.sqrt(np.mean(((dots - mm @ affine) ** 2).sum(axis=1))) / scale
    return scale, float(off + (skewed[0] - skewed[1]) * span / 2)


def _lies_on_glass(seen: MatSeen) -> bool:
    """Whether the mat is seen as a scanner sees it: all of it equally large, nothing bent."""
    return _dots_per_mm(seen)[1] < _SQUARE_MM


def _disagreement(picture: UprightPicture, dpi: float) -> str:
    """What to say where a scan's file has other dots an inch than those that were typed."""
    if picture.dpi is None:
        return ""
    by_file = float(np.sqrt(picture.dpi[0] * picture.dpi[1]))
    if abs(dpi / by_file - 1) <= _SCALE_AGREES:
        return ""
    return (
        f"{picture.name} says {by_file:.0f} dots per inch, and {dpi:g} were typed: it was measured "
        f"by those typed, and all is {by_file / dpi:.2f} times as large as by the file. Leave out "
        "--dpi to measure by the file, and check one length with the caliper."
    )


def _check_scale(picture: UprightPicture, dpi: float, seen: MatSeen) -> None:
    """BadInput where the mat in a scan says that its dots per inch are others."""
    found = _dots_per_mm(seen)[0] * 25.4
    if abs(found / dpi - 1) > _SCALE_AGREES:
        raise BadInput(
            f"{picture.name} is said to have {dpi:.0f} dots per inch, and the mat in it "
            f"measures {found:.1f}: leave out --dpi and it is measured by the mat, or scan "
            "at 100 % and print the mat at 100 %."
        )
