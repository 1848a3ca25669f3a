"""Finding the mat's symbols in a picture, and their points to a fraction of a pixel.

All symbols of the mats are known, so none has to be decoded: three finder patterns (ISO/IEC 18004)
give the frame, the modules are sampled, and the known symbol that they agree with best is it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import hypot

import cv2
import numpy as np
from numpy.typing import NDArray

from tagbench.measure.mat import MODULE_MM, MODULES, PAPERS, SYMBOL_MM, MatPoint, Paper, mat_points
from tagbench.measure.solver import Array

Grey = NDArray[np.uint8]

SEARCH_SIDES = (1500, 2200)
"""The search runs on a picture with the longer side reduced to the first, px; and to the second
where too few symbols are found by then."""
_ENOUGH_SYMBOLS = 8
_AGREES, _AHEAD = 0.72, 0.12
"""How well the modules must agree (correlation), and by how much better than with any other."""
_AGREES_IN_PLACE = 0.6
"""The same where the other symbols say that this one must lie."""
_MOST_PER_MM = 5.0
"""Samples a mm at most when a symbol is fitted; more gain nothing that noise does not take."""
_FIRST_PER_MM = 3.0
"""The same while the whole symbol is settled, before its quarters are."""
_SETTLED_MM = 0.003
_FINE = 8
"""Dots a module when a symbol is drawn to be compared."""
_PATCH_MM = SYMBOL_MM / 2
"""Each quarter of a symbol is one point."""


@dataclass(frozen=True, slots=True)
class Sighting:
    """A symbol of a mat that was found."""

    point: MatPoint
    homography: Array
    """From mm of the mat to px, near this symbol."""


@dataclass(frozen=True, slots=True)
class MatSeen:
    """The mat in a picture: points of the page and where they are seen."""

    paper: Paper
    symbols: int
    mat: Array
    """(n, 2), mm."""
    seen: Array
    """(n, 2), px."""
    homography: Array
    """mm to px, for a start."""


@dataclass(frozen=True, slots=True)
class _Finder:
    centre: Array
    corners: Array
    """(4, 2), in no fixed order."""
    side: float


@cache
def _patterns() -> tuple[tuple[Paper, MatPoint, Array], ...]:
    """Every known symbol with its modules, light 1 and dark -1, made free of its mean."""
    found = []
    for paper in PAPERS:
        for point in mat_points(paper):
            rows = np.array([list(row) for row in point.symbol.rows], dtype=float)
            light = 1 - 2 * rows
            found.append((paper, point, _normal(light)))
    return tuple(found)


def _normal(values: Array) -> Array:
    values = values - values.mean()
    size = np.linalg.norm(values)
    return np.asarray(values / size if size > 0 else values)


def find_symbols(grey: Grey) -> dict[Paper, list[Sighting]]:
    """The symbols seen in a grey picture, by mat; none twice."""
    sightings: dict[Paper, list[Sighting]] = {}
    for side in SEARCH_SIDES:
        sightings = _sighted(grey, min(1.0, side / max(grey.shape)))
        # where most are seen, the others are looked for where they must lie
        if max(map(len, sightings.values()), default=0) >= _ENOUGH_SYMBOLS:
            break
    return sightings


def _sighted(grey: Grey, scale: float) -> dict[Paper, list[Sighting]]:
    """The same, seen in the picture reduced so far."""
    small = grey
    if scale < 1:
        small = np.asarray(cv2.resize(grey, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA))
    smooth = np.asarray(cv2.GaussianBlur(small, (0, 0), 0.8))
    best: dict[str, tuple[float, Paper, Sighting]] = {}
    for corners in _triples(_finders(small)):
        found = _identified(smooth, corners)
        if found and found[0] > best.get(found[2].point.payload, (0.0,))[0]:
            best[found[2].point.payload] = found
    sightings: dict[Paper, list[Sighting]] = {}
    full = np.diag((1 / scale, 1 / scale, 1.0))
    full[:2, 2] = (1 / scale - 1) / 2
    for _, paper, sighting in best.values():
        scaled = Sighting(sighting.point, full @ sighting.homography)
        sightings.setdefault(paper, []).append(scaled)
    return sightings


def _finders(grey: Grey) -> list[_Finder]:
    """Dark rings with a dark square within, by nested contours after local thresholds."""
    found: list[_Finder] = []
    for share in (24, 60):
        window = max(15, max(grey.shape) // share) | 1
        ink = cv2.adaptiveThreshold(
            grey, 255, cv2.ADAPTIVE_THRESH_MEAN_C, cv2.THRESH_BINARY_INV, window, 7
        )
        for finder in _nested(np.asarray(ink)):
            x, y = finder.centre
            apart = 0.3 * finder.side
            if all(hypot(x - other.centre[0], y - other.centre[1]) > apart for other in found):
                found.append(finder)
    return found


def _nested(ink: Grey) -> list[_Finder]:
    contours, tree = cv2.findContours(ink, cv2.RETR_TREE, cv2.CHAIN_APPROX_NONE)
    found: list[_Finder] = []
    if tree is None:
        return found
    areas = [cv2.contourArea(contour) for contour in contours]
    for index, contour in enumerate(contours):
        hole = tree[0][index][2]
        core = tree[0][hole][2] if hole >= 0 else -1
        if core < 0 or areas[index] < 60 or areas[core] < 4:
            continue
        # outlines of a ring run through pixel middles, so small squares come out smaller yet
        if not 2.5 < areas[index] / areas[core] < 14 or not 1.2 < areas[hole] / areas[core] < 7:
            continue
        box = _corners(contour)
        sides = np.linalg.norm(box - np.roll(box, 1, axis=0), axis=1)
        if sides.min() < 0.35 * sides.max():
            continue
        if areas[index] < 0.75 * abs(cv2.contourArea(box.astype(np.float32))):
            continue
        middle = contours[core].reshape(-1, 2).mean(axis=0)
        if np.linalg.norm(middle - box.mean(axis=0)) > 0.2 * sides.mean():
            continue
        found.append(_Finder(middle.astype(float), box, float(sides.mean())))
    return found


def _corners(contour: NDArray[np.int32]) -> Array:
    around = cv2.arcLength(contour, True)
    for share in (0.05, 0.08, 0.03):
        shape = cv2.approxPolyDP(contour, share * around, True)
        if len(shape) == 4:
            return np.asarray(shape.reshape(4, 2), dtype=float)
    return np.asarray(cv2.boxPoints(cv2.minAreaRect(contour)), dtype=float)


def _triples(finders: list[_Finder]) -> list[tuple[_Finder, _Finder, _Finder]]:
    """Upper left, upper right and lower left finder of what may be a symbol."""
    if len(finders) < 3:
        return []
    centres = np.array([finder.centre for finder in finders])
    triples = []
    for first in finders:
        ordered = _turning(first.corners)
        # two sides of seven modules make the fourteen to the next finder
        across = ordered[1] + ordered[2] - ordered[0] - ordered[3]
        down = ordered[3] + ordered[2] - ordered[0] - ordered[1]
        steps = [across, down, -across, -down]
        for turn in range(4):
            to_right, to_low = steps[turn], steps[(turn + 1) % 4]
            reach = 0.3 * float(max(np.linalg.norm(to_right), np.linalg.norm(to_low)))
            right = _near(finders, centres, first.centre + to_right, first, reach)
            low = _near(finders, centres, first.centre + to_low, first, reach)
            triples += [(first, one, other) for one in right for other in low]
    return triples


def _turning(corners: Array) -> Array:
    """Corners in the order of a clock as seen in the picture (y downwards)."""
    middle = corners.mean(axis=0)
    angles = np.arctan2(corners[:, 1] - middle[1], corners[:, 0] - middle[0])
    return np.asarray(corners[np.argsort(angles)])


def _near(
    finders: list[_Finder], centres: Array, place: Array, but: _Finder, reach: float
) -> list[_Finder]:
    off = np.linalg.norm(centres - place, axis=1)
    order = [index for index in np.argsort(off)[:3] if off[index] < reach]
    return [
        finders[index] for index in order
        if finders[index] is not but and 0.5 < finders[index].side / but.side < 2
    ]  # fmt: skip


def _identified(
    grey: Grey, corners: tuple[_Finder, _Finder, _Finder]
) -> tuple[float, Paper, Sighting] | None:
    """Which known symbol three finders belong to, and how well it agrees."""
    first, right, low = corners
    across, down = right.centre - first.centre, low.centre - first.centre
    if across[0] * down[1] - across[1] * down[0] <= 0:
        return None
    frame = np.linalg.inv(np.column_stack((across, down)))
    modules, pixels = [], []
    for finder, (x, y) in zip(corners, ((0, 0), (14, 0), (0, 14)), strict=True):
        local = (finder.corners - finder.centre) @ frame.T
        signs = {(bool(u > 0), bool(v > 0)) for u, v in local}
        if len(signs) < 4:
            # a turned ring: its own corners are of no use, its middle is
            modules.append((x + 3.5, y + 3.5))
            pixels.append(finder.centre)
            continue
        for (u, v), corner in zip(local, finder.corners, strict=True):
            outward = (corner - finder.centre) / np.linalg.norm(corner - finder.centre)
            modules.append((x + (7.0 if u > 0 else 0.0), y + (7.0 if v > 0 else 0.0)))
            pixels.append(corner + 0.5 * outward)
    if len(modules) < 8:
        return None
    homography, _ = cv2.findHomography(np.array(modules), np.array(pixels))
    if homography is None:
        return None
    seen = _sampled(grey, homography)
    scores = [float((seen * pattern).sum()) for _, _, pattern in _patterns()]
    order = np.argsort(scores)[::-1]
    if scores[order[0]] < _AGREES or scores[order[0]] - scores[order[1]] < _AHEAD:
        return None
    paper, point, _ = _patterns()[order[0]]
    shift = np.array(((1, 0, -point.x), (0, 1, -point.y), (0, 0, MODULE_MM))) / MODULE_MM
    return scores[order[0]], paper, Sighting(point, homography @ shift)


def _sampled(grey: Grey, homography: Array) -> Array:
    """The light of each module, free of its mean, from a frame in modules."""
    at = np.arange(MODULES) + 0.5
    spots = np.stack(np.meshgrid(at, at), axis=-1).reshape(-1, 1, 2)
    spots = cv2.perspectiveTransform(spots, homography).reshape(MODULES, MODULES, 2)
    light = cv2.remap(
        grey, spots.astype(np.float32), None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    return _normal(np.asarray(light, dtype=float))


def see_mat(grey: Grey) -> MatSeen | None:
    """The mat in a picture, with four points a symbol; None where no symbol is seen.

    With fewer than four symbols there is no frame: then only their number is told.
    """
    sightings = find_symbols(grey)
    if not sightings:
        return None
    paper = max(sightings, key=lambda paper: len(sightings[paper]))
    found = sightings[paper]
    if len(found) < 4:
        return MatSeen(paper, len(found), np.empty((0, 2)), np.empty((0, 2)), np.eye(3))
    homography = _common_frame(found)
    if homography is None:
        return MatSeen(paper, 0, np.empty((0, 2)), np.empty((0, 2)), np.eye(3))
    mat, seen, count = _points(grey, paper, homography, {s.point.payload: s for s in found})
    better, _ = cv2.findHomography(mat, seen, 0) if len(mat) >= 4 else (None, None)
    return MatSeen(paper, count, mat, seen, homography if better is None else better)


def _common_frame(found: list[Sighting]) -> Array | None:
    mat, seen = [], []
    for sighting in found:
        box = _square(sighting.point)
        mat.append(box)
        seen.append(_moved(sighting.homography, box))
    pixels = np.concatenate(seen)
    span = float(np.linalg.norm(np.ptp(pixels, axis=0)))
    homography, inside = cv2.findHomography(
        np.concatenate(mat), pixels, cv2.RANSAC, max(3.0, 0.006 * span)
    )
    if homography is None or inside.sum() < 12:
        return None
    return np.asarray(homography)


def _square(point: MatPoint) -> Array:
    corners = np.array(((0, 0), (1, 0), (1, 1), (0, 1)), dtype=float) * SYMBOL_MM
    return np.asarray(corners + np.array((point.x, point.y)))


def _moved(homography: Array, points: Array) -> Array:
    return np.asarray(cv2.perspectiveTransform(points.reshape(-1, 1, 2), homography).reshape(-1, 2))


def _points(
    grey: Grey, paper: Paper, homography: Array, sightings: dict[str, Sighting]
) -> tuple[Array, Array, int]:
    """Points of every symbol that is where it must be, to a fraction of a pixel."""
    mat, seen, count = [], [], 0
    for point in mat_points(paper):
        sighting = sightings.get(point.payload)
        frames = [homography] if sighting is None else [sighting.homography, homography]
        for frame in frames:
            points = _quarters(grey, point, frame)
            if len(points[0]) >= 3:
                mat.append(points[0])
                seen.append(points[1])
                count += 1
                break
    if not mat:
        return np.empty((0, 2)), np.empty((0, 2)), 0
    return np.concatenate(mat), np.concatenate(seen), count


def _quarters(grey: Grey, point: MatPoint, frame: Array) -> tuple[Array, Array]:
    """The middles of the quarters of a symbol, each moved to where its modules fit best."""
    corners = _moved(frame, _square(point))
    high, wide = grey.shape
    if (
        not np.isfinite(corners).all()
        or corners.min() < 1
        or (corners > (wide - 2, high - 2)).any()
    ):
        return np.empty((0, 2)), np.empty((0, 2))
    sides = np.linalg.norm(corners - np.roll(corners, 1, axis=0), axis=1)
    per_mm = float(np.clip(sides.mean() / SYMBOL_MM, 2, _MOST_PER_MM))
    pattern = np.array([list(row) for row in point.symbol.rows], dtype=np.float32)
    mat, seen = [], []
    moved, agreed = _settled(grey, point, frame, pattern, min(per_mm, _FIRST_PER_MM))
    if not agreed:
        return np.empty((0, 2)), np.empty((0, 2))
    for quarter_x in (0.0, _PATCH_MM):
        for quarter_y in (0.0, _PATCH_MM):
            shift, good = _fitted(
                grey, point, moved, pattern, per_mm, (quarter_x, quarter_y, _PATCH_MM)
            )
            if good:
                middle = np.array((point.x + quarter_x, point.y + quarter_y)) + _PATCH_MM / 2
                mat.append(middle)
                seen.append(_moved(moved, (middle + shift)[None])[0])
    return np.array(mat).reshape(-1, 2), np.array(seen).reshape(-1, 2)


def _settled(
    grey: Grey, point: MatPoint, frame: Array, pattern: NDArray[np.float32], per_mm: float
) -> tuple[Array, bool]:
    """The frame moved so that the whole symbol fits."""
    for _ in range(2):
        shift, good = _fitted(grey, point, frame, pattern, per_mm, (0.0, 0.0, SYMBOL_MM))
        if not good:
            return frame, False
        frame = frame @ np.array(((1, 0, shift[0]), (0, 1, shift[1]), (0, 0, 1)))
    return frame, True


def _fitted(
    grey: Grey,
    point: MatPoint,
    frame: Array,
    pattern: NDArray[np.float32],
    per_mm: float,
    part: tuple[float, float, float],
) -> tuple[Array, bool]:
    """How far (mm) a square part of a symbol lies from where the frame puts it, by least squares
    on the light; False where it does not agree with what should be there."""
    left, top, side = part
    count = round(side * per_mm)
    at = (np.arange(count) + 0.5) / per_mm
    grid_x, grid_y = np.meshgrid(at + left, at + top)
    spots = np.stack((grid_x + point.x, grid_y + point.y), axis=-1).reshape(-1, 2)
    places = _moved(frame, spots).astype(np.float32).reshape(count, count, 2)
    light = np.asarray(cv2.remap(grey, places, None, cv2.INTER_LINEAR), dtype=float)
    fine, drawn = _FINE, _drawn(pattern, per_mm)
    shift = np.zeros(2)
    agrees = 0.0
    for _ in range(8):
        x = (((grid_x - shift[0]) / MODULE_MM + 2) * fine - 0.5).astype(np.float32)
        y = (((grid_y - shift[1]) / MODULE_MM + 2) * fine - 0.5).astype(np.float32)
        model = np.asarray(cv2.remap(drawn, x, y, cv2.INTER_LINEAR), dtype=float)
        slope_y, slope_x = np.gradient(model, 1 / per_mm)
        ramp_x, ramp_y = grid_x - left - side / 2, grid_y - top - side / 2
        columns = (model, np.ones_like(model), ramp_x, ramp_y, slope_x, slope_y)
        system = np.column_stack([column.ravel() for column in columns])
        answer = _least(system, light.ravel())
        gain = answer[0]
        if gain <= 0:
            return shift, False
        step = -answer[4:6] / gain
        shift = shift + np.clip(step, -0.5, 0.5)
        if np.abs(shift).max() > 1.5:
            return shift, False
        if np.abs(step).max() < _SETTLED_MM:
            break
    flat = system[:, 1:4]
    residue = light.ravel() - flat @ _least(flat, light.ravel())
    plain = model.ravel() - flat @ _least(flat, model.ravel())
    agrees = float(residue @ plain / (np.linalg.norm(residue) * np.linalg.norm(plain) + 1e-9))
    return shift, agrees > _AGREES_IN_PLACE


def _drawn(pattern: NDArray[np.float32], per_mm: float) -> Array:
    """A symbol's light, so many dots a module, as soft as so many samples a mm make it."""
    drawn = cv2.copyMakeBorder(1 - pattern, 2, 2, 2, 2, cv2.BORDER_CONSTANT, value=1.0)
    drawn = cv2.resize(drawn, None, fx=_FINE, fy=_FINE, interpolation=cv2.INTER_NEAREST)
    return np.asarray(cv2.GaussianBlur(drawn, (0, 0), _FINE * max(0.3, 0.9 / per_mm)))


def _least(system: Array, values: Array) -> Array:
    """Linear least squares by the normal equations: few unknowns, many samples."""
    normal = system.T @ system
    return np.asarray(np.linalg.lstsq(normal, system.T @ values, rcond=None)[0])
