"""The solid that fits the outline of a piece best: place, length, widths and form of its head."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import cv2
import numpy as np

from tagbench.measure.edges import running_median
from tagbench.measure.lay.solid import (
    FLAT,
    Eye,
    Solid,
    SolidShape,
    moved,
    off_and_slopes,
    off_outline,
)
from tagbench.measure.solver import Array, forget, forgotten_slope, soften, softened_slope, solve

_EDGE_MM = 0.07
"""What a point of the outline may be off; threads, streaks and shadows are farther and few."""
_LIMIT, _LIMIT_WITHIN = 2.0, 1.6
_FORGET = 2.5
"""So many times farther, and a point belongs to something else."""
_POINTS, _FEW = 160, 50
_TRIED = 3
"""So many forms are looked at closely."""
_COMPACT = 1.5
"""Less slim than this, the axis may run either way."""
_ODD_MM = 0.001
_WORSE, _MUCH_WORSE = (1.5, 0.03), (1.3, 0.012)
"""So much more, as a share and in mm, may a form be off than the best one: at first, and when both
have been looked at closely."""
_NECK_MOVED, _NECK_BETTER_MM = (-0.35, 0.35), 0.002
_STEP_FROM_END, _STEP_WITHIN_MM, _FEWEST_STEP_POINTS = 0.5, 0.25, 30
_STEP_BETTER, _LEAST_DROP, _MOST_DROP = 0.75, 0.012, 0.12
"""A thread on a plain shank is believed when it leaves so much of what the outline is off, and is
so deep as a share of the radius."""
_STEP_MM, _THINNEST_MM = 0.1, 0.4
_FIELDS: dict[SolidShape, tuple[str, ...]] = {
    "stud": ("x", "y", "turn", "length", "radius", "chamfer"),
    "round": ("x", "y", "turn", "length", "radius", "chamfer", "half", "high", "straight", "top"),
    "hex": ("x", "y", "turn", "length", "radius", "chamfer", "half", "high", "top"),
    "countersunk": ("x", "y", "turn", "length", "radius", "chamfer", "half", "high"),
}
_HEX_TOP = (0.86, 0.05)
"""A hexagon's top is chamfered to about its width across flats, 0.866 of that across corners, or
a little less (ISO 4017: 0.95 of it; memory)."""
_FALL_SPREAD, _FALL_LIMIT = 0.015, 1.5
"""What lies on a burr, a thread or the corner of its head falls otherwise (radians, a guess)."""
_LEVEL_LESS, _ODD_FALL = 0.01, 0.02
"""So much likelier (radians) is what rests on head and tip than what lies level."""
_ODD_POSE_MM, _RESTS_BY, _POSES_ALIKE = 0.0005, 0.05, 0.05
"""By what two poses are compared; by so much (share) must what lies level fit better, and within
so much of that either may be right (screws laid in both ways, rendered)."""
_STEPS = {"turn": 3e-4, "fall": 2e-3, "straight": 5e-3, "top": 5e-3}


@dataclass(frozen=True, slots=True)
class Fitted:
    """A solid and how well it fits."""

    solid: Solid
    spread: float
    """How far the outline is from it, mean of the distances, wild ones cut."""
    odd: float
    """How far it is from what is usual, squared, in what is usually off."""
    doubt: dict[str, float]
    """What each figure may be off by the fit alone, mm, one standard deviation."""

    @property
    def unlikely(self) -> float:
        """By which forms are compared, mm: what fits a little worse and is usual is likelier."""
        return self.spread + _ODD_MM * self.odd


def fit_solid(outer: Array, eye: Eye | None) -> list[Fitted]:
    """Solids of every form that may be it, the best first."""
    shift = outer.mean(axis=0)
    points, near = _about(outer, eye, shift)
    few = points[:: max(1, len(points) // _FEW)]
    found = [_rough(start, few, near) for start in _starts(points, near)]
    round_ = [one.solid for one in found if one.solid.shape == "round"]
    found += [_rough(_as_countersunk(one), few, near) for one in round_]
    found.sort(key=lambda one: one.spread)
    return [replace(one, solid=moved(one.solid, shift)) for one in found]


def _as_countersunk(round_: Solid) -> Solid:
    """Where to look for a countersunk head: its rim is what a low round head fits."""
    level = np.array((np.cos(round_.turn), np.sin(round_.turn)))
    low = min(round_.high, 0.5 * round_.half)
    x, y = np.array((round_.x, round_.y)) - level * low / 2
    return replace(
        round_, shape="countersunk", x=float(x), y=float(y), length=round_.length + low,
        half=1.02 * round_.half, high=1.02 * round_.half - round_.radius,
    )  # fmt: skip


def refit(fits: list[Fitted], outer: Array, eye: Eye | None) -> list[Fitted]:
    """The likelier ones of rough fits, fitted again to an outline; the best first."""
    shift = outer.mean(axis=0)
    points, near = _about(outer, eye, shift)
    limit = _likely(min(one.spread for one in fits), _WORSE)
    closer = []
    for one in fits[:_TRIED]:
        if one.spread <= limit:
            solid, _ = _solved(moved(one.solid, -shift), points, near, 14, 1.0, 5e-3)
            closer.append((_spread(solid, points, near), solid))
    limit = _likely(min(spread for spread, _ in closer), _MUCH_WORSE)
    found, some, missed = [], points[::2], True
    for spread, solid in sorted(closer, key=lambda one: one[0]):
        if spread > limit:
            continue
        spread = _spread(solid, some, near)
        # where the best form has its head's end right the others have it too
        necks, missed = _necks(solid) if missed else [], False
        for other in necks:
            tried, _ = _solved(other, some, near, 4, 1.0, 5e-2)
            its_spread = _spread(tried, some, near)
            if its_spread < spread - _NECK_BETTER_MM:
                solid, spread, missed = tried, its_spread, True
        solid, slopes = _solved(solid, points, near, 10, 1.0, 2e-3, settled=True)
        if (stepped := _stepped(solid, points, near)) is not None:
            solid, slopes = _solved(stepped, points, near, 10, 1.0, 2e-3, settled=True)
        spread = _spread(solid, points, near)
        if solid.shape != "stud" and abs(solid.fall) > _ODD_FALL:
            level, its_slopes = _solved(_level(solid), points, near, 10, 1.0, 2e-3, settled=True)
            its_spread = _spread(level, points, near)
            if its_spread + _ODD_MM * _oddness(level) < spread + _ODD_MM * _oddness(solid):
                solid, slopes, spread = level, its_slopes, its_spread
        doubts = _doubts(solid, slopes, spread)
        found.append(Fitted(moved(solid, shift), spread, _oddness(solid), doubts))
    return sorted(found, key=lambda one: one.unlikely)


def posed(fitted: Fitted, outer: Array, eye: Eye) -> tuple[Fitted, float]:
    """The same in the likelier pose, resting on head and tip or level; and by how much the other
    is longer or shorter, mm, zero where the outline tells them apart."""
    if fitted.solid.shape == "stud":
        return fitted, 0.0
    shift = outer.mean(axis=0)
    points, near = _about(outer, eye, shift)
    assert near is not None
    solid = moved(fitted.solid, -shift)
    is_level = abs(solid.tilt) < abs(solid.fall)
    start = _seen_alike(solid, replace(solid, fall=0.0) if is_level else _level(solid), near)
    other, slopes = _solved(start, points, near, 10, 1.0, 2e-3, settled=True)
    spread = _spread(other, points, near)
    tried = Fitted(moved(other, shift), spread, _oddness(other), _doubts(other, slopes, spread))
    rests, level = (tried, fitted) if is_level else (fitted, tried)
    off = [one.spread + _ODD_POSE_MM * one.odd for one in (rests, level)]
    for_level = float(np.log(off[0] / off[1])) - _RESTS_BY
    apart = abs(rests.solid.length - level.solid.length)
    return level if for_level > 0 else rests, apart if abs(for_level) < _POSES_ALIKE else 0.0


def _seen_alike(solid: Solid, other: Solid, eye: Eye) -> Solid:
    """Another pose of a solid, turned, placed and as long that its ends are seen where they were:
    what lies higher is seen moved away from the camera."""
    middle = np.array((solid.x, solid.y))
    reach = solid.length / 2 * np.cos(solid.tilt)
    way = reach * np.array((np.cos(solid.turn), np.sin(solid.turn)))
    slant = (np.array(eye[:2]) - middle) / eye[2]
    start, end = (
        middle + side * way + slant * (its - was)
        for side, its, was in zip((-1, 1), other.heights, solid.heights, strict=True)
    )
    x, y = (start + end) / 2
    length = max(float(np.hypot(*(end - start)) / np.cos(other.tilt)), 0.5 * solid.length)
    turn = float(np.arctan2(*(end - start)[::-1]))
    plain = solid.plain * length / solid.length
    return replace(other, x=float(x), y=float(y), turn=turn, length=length, plain=plain)


def _level(solid: Solid) -> Solid:
    """The same with its axis level: its tip rests on something, or its head lies in a groove."""
    return replace(solid, fall=solid.fall - solid.tilt)


def _oddness(solid: Solid) -> float:
    names = _free(solid.shape, closely=True)
    values = np.array([[getattr(solid, name) for name in names]])
    odd = _unusual(solid.shape, values, values, names, _usual(solid, names))
    return float((odd**2).sum())


def _stepped(solid: Solid, points: Array, eye: Eye | None) -> Solid | None:
    """The same with a thread on the end of a plain shank, where the outline shows the step: the
    mean of a thread's edge lies under its crests. Without it the axis would seem to fall."""
    way = np.array((np.cos(solid.turn), np.sin(solid.turn)))
    off = off_outline(points, solid.outline(eye))
    along = (points - (solid.x, solid.y)) @ way
    across = (points - (solid.x, solid.y)) @ (-way[1], way[0])
    run = 0.5 * solid.length - solid.chamfer - _STEP_FROM_END * solid.radius
    own = (np.abs(along) < run) & (np.abs(off) < _STEP_WITHIN_MM)
    if own.sum() < _FEWEST_STEP_POINTS:
        return None
    t, value, side = along[own] / run, off[own], np.sign(across[own])
    # what a step at each place leaves, beside a mean, a slope and both sides for themselves
    flat, _ = np.linalg.qr(np.column_stack((np.ones(len(t)), t, side)))
    places = np.linspace(-0.8, 0.8, 33)
    steps = (t[:, None] > places).astype(float)
    steps -= flat @ (flat.T @ steps)
    value = value - flat @ (flat.T @ value)
    pull, size = steps.T @ value, np.maximum((steps**2).sum(axis=0), 1e-9)
    at = int(np.argmax(pull**2 / size))
    drop, place = -float(pull[at] / size[at]), float(places[at])
    all_left = float(value @ value)
    best, least = all_left - float(pull[at] ** 2 / size[at]), _STEP_BETTER * all_left
    if best > least or not _LEAST_DROP < abs(drop) / solid.radius < _MOST_DROP:
        return None
    if drop > 0:
        return replace(solid, plain=solid.length / 2 + place * run, drop=drop)
    if solid.shape != "stud":
        return None
    # a stud has no head: it is the same the other way round
    return replace(solid, turn=solid.turn + np.pi, plain=solid.length / 2 - place * run, drop=-drop)


def _likely(best: float, worse: tuple[float, float]) -> float:
    """What spread a form may have beside the best one."""
    return max(worse[0] * best, best + worse[1])


def _necks(solid: Solid) -> list[Solid]:
    """The same with its head higher or lower: seen at a slant, where a head ends is soon missed."""
    if solid.shape not in ("hex", "round"):
        return []
    level = np.array((np.cos(solid.turn), np.sin(solid.turn)))
    others = []
    for share in _NECK_MOVED:
        by = share * solid.half
        if solid.high + by > 0.4 and solid.length - by > 1.0:
            x, y = np.array((solid.x, solid.y)) + level * by / 2
            others.append(
                replace(solid, x=float(x), y=float(y), length=solid.length - by,
                        high=solid.high + by)
            )  # fmt: skip
    return others


def _about(outer: Array, eye: Eye | None, shift: Array) -> tuple[Array, Eye | None]:
    """The outline and the eye from a middle near by, and no more points than tell something."""
    some = np.linspace(0, len(outer), min(_POINTS, len(outer)), endpoint=False).astype(int)
    points = outer[some] - shift
    return points, None if eye is None else (eye[0] - shift[0], eye[1] - shift[1], eye[2])


def _rough(start: Solid, points: Array, eye: Eye | None) -> Fitted:
    solid, _ = _solved(start, points, eye, 10, 3.0, 0.02, slopes_too=False)
    return Fitted(solid, _spread(solid, points, eye), 0.0, {})


def _spread(solid: Solid, points: Array, eye: Eye | None) -> float:
    off = np.abs(off_outline(points, solid.outline(eye)))
    return float(np.minimum(off, 0.4).mean())


def _solved(
    start: Solid, points: Array, eye: Eye | None, rounds: int, loose: float, enough: float,
    *, slopes_too: bool = True, settled: bool = False,
) -> tuple[Solid, Array]:  # fmt: skip
    """The solid that fits from a start, and what each figure moves at the points. Once it is
    `settled`, points that are plainly not its own count for nothing."""
    names = _free(start.shape, closely=slopes_too)
    steps = np.array([_STEPS.get(name, 2e-3) for name in names])
    usual = _usual(start, names)
    give = _EDGE_MM * loose

    def softened(off: Array) -> tuple[Array, Array]:
        if settled:
            return forget(off, _FORGET), forgotten_slope(off, _FORGET)
        # a bright face that is no darker than paper is a bite out of the outline
        limits = np.where(off < 0, _LIMIT_WITHIN, _LIMIT)
        return soften(off, limits), softened_slope(off, limits)

    def residuals(values: Array) -> Array:
        possible = _possible(values[None], names)
        off = off_outline(points, _solid(start, names, possible[0]).outline(eye)) / give
        odd = _unusual(start.shape, values[None], possible, names, usual)[0]
        return np.concatenate((softened(off)[0], odd))

    def slopes(values: Array) -> Array:
        every = np.vstack((values, values + np.diag(steps)))
        possible = _possible(every, names)
        now, *near = [_solid(start, names, one) for one in possible]
        off, slope = off_and_slopes(points, now, near, steps, eye)
        off = off / give
        slope *= (softened(off)[1] / give)[:, None]
        odd = _unusual(start.shape, every, possible, names, usual)
        return np.vstack((slope, (odd[1:] - odd[0]).T / steps))

    at = np.array([getattr(start, name) for name in names])
    best, _ = solve(residuals, at, steps, rounds=rounds, enough=enough, slopes=slopes)
    found = _solid(start, names, _possible(best[None], names)[0])
    if not slopes_too:
        return found, np.empty((0, len(names)))
    return found, slopes(best)[: len(points)]


def _solid(start: Solid, names: tuple[str, ...], values: Array) -> Solid:
    told = dict(zip(names, values.tolist(), strict=True))
    return Solid(start.shape, **told, plain=start.plain, drop=start.drop)


_BOUNDS = {
    "length": (0.5, 0.0, np.inf), "radius": (_THINNEST_MM, 0.0, np.inf), "chamfer": (0.0, 0.6, 0.0),
    "half": (0.0, 4.5, 0.0), "high": (0.1, 6.0, 0.0), "fall": (-0.4, 0.0, 0.4),
    "straight": (0.0, 0.0, 1.0), "top": (0.2, 0.0, 1.0),
}  # fmt: skip
"""The least; and the most, as so many radii of the shank and a number on top of them."""


@cache
def _bounds(names: tuple[str, ...]) -> tuple[Array, Array, Array]:
    free = (-np.inf, 0.0, np.inf)
    least, radii, most = np.array([_BOUNDS.get(name, free) for name in names]).T
    return least, radii, most


def _possible(values: Array, names: tuple[str, ...]) -> Array:
    """Rows of figures, each within what is possible."""
    least, radii, most = _bounds(names)
    radius = np.maximum(values[:, names.index("radius")], _THINNEST_MM)
    return np.asarray(np.clip(values, least, most + radius[:, None] * radii))


def _free(shape: SolidShape, *, closely: bool) -> tuple[str, ...]:
    """What is fitted; how the axis falls only where it is looked at closely."""
    names = _FIELDS[shape]
    return (*names, "fall") if closely and shape != "stud" else names


def _usual(solid: Solid, names: tuple[str, ...]) -> dict[str, tuple[float, float]]:
    """What is usual and how widely it spreads: it decides where the outline does not tell."""
    radius = max(solid.radius, _THINNEST_MM)
    usual = {
        "chamfer": (0.17 * radius, 0.06 * radius), "straight": (0.6, 0.3),
        "top": _HEX_TOP if solid.shape == "hex" else (0.75, 0.25), "fall": (0.0, _FALL_SPREAD),
    }  # fmt: skip
    return {name: usual[name] for name in names if name in usual}


def _unusual(
    shape: SolidShape, values: Array, possible: Array, names: tuple[str, ...],
    usual: dict[str, tuple[float, float]],
) -> Array:  # fmt: skip
    """Penalties, a row for each row: far from the usual, and values that are not possible."""
    at = {name: values[:, index] for index, name in enumerate(names)}
    off = [(at[name] - middle) / give for name, (middle, give) in usual.items() if name != "fall"]
    if "fall" in usual:
        # most lie as they should, and those that do not may lie level, or quite otherwise
        rest = at["half"] * (FLAT if shape == "hex" else 1.0)
        level = np.arctan2(rest - at["radius"], np.maximum(at["length"] - at["chamfer"], 1.0))
        level = np.abs(at["fall"] + level) + _LEVEL_LESS
        fall = np.minimum(np.abs(at["fall"]), level)
        off.append(soften(fall / _FALL_SPREAD, _FALL_LIMIT))
    if shape == "countersunk":
        # of 90 degrees; one of 82, in inches, is a little higher
        radius = np.maximum(at["radius"], _THINNEST_MM)
        off.append((at["high"] - at["half"] + radius) / (0.06 * radius))
    return np.column_stack((*off, (values - possible) / 0.02))


def _doubts(solid: Solid, slopes: Array, spread: float) -> dict[str, float]:
    names = _free(solid.shape, closely=True)
    # neighbouring points share their fault: about one in six counts by itself
    normal = slopes.T @ slopes / 6 / max(1.0, (spread / _EDGE_MM) ** 2)
    usual = _usual(solid, names)
    for index, name in enumerate(names):
        give = usual.get(name)
        if give:
            normal[index, index] += 1 / give[1] ** 2
    spreads = np.sqrt(np.abs(np.diag(np.linalg.pinv(normal + 1e-9 * np.eye(len(names))))))
    return dict(zip(names, map(float, spreads), strict=True))


# Where the search starts


def _starts(points: Array, eye: Eye | None) -> list[Solid]:
    _, (wide, high), degrees = cv2.minAreaRect(points.astype(np.float32))
    angle = float(np.radians(degrees if wide >= high else degrees + 90))
    turns = [angle]
    if max(wide, high) < _COMPACT * min(wide, high):
        turns.append(angle + np.pi / 2)
    starts: list[Solid] = []
    for turn in turns:
        starts += _along(points, turn, eye)
    return starts


def _along(points: Array, turn: float, eye: Eye | None) -> list[Solid]:
    """Starts from the widths along one way."""
    u, v = np.array((np.cos(turn), np.sin(turn))), np.array((-np.sin(turn), np.cos(turn)))
    x, half, middle = _widths(np.column_stack((points @ u, points @ v)))
    inner = half[3:-3] if len(half) > 20 else half
    shank, widest = float(np.percentile(inner, 35)), float(np.percentile(inner, 97))
    long = float(x[-1] - x[0])
    place = u * (x[0] + x[-1]) / 2 + v * float(np.median(middle))
    found = []
    if widest < 1.35 * shank + 0.3:
        found.append(Solid("stud", *_down(place, shank, eye), turn, long, shank, 0.17 * shank))
    if widest > 1.08 * shank + 0.1:
        wide = half > shank + 0.45 * (widest - shank)
        if x[wide].mean() > x.mean():
            u, v, x, half, middle = -u, -v, -x[::-1], half[::-1], -middle[::-1]
            turn, wide = turn + np.pi, wide[::-1]
        run = np.flatnonzero(wide[: max(2, int(0.8 * len(wide)))])
        neck = float(x[run[-1]])
        found += _headed(u, v, x, middle, turn, (shank, widest, neck), eye)
    return found


def _headed(
    u: Array, v: Array, x: Array, middle: Array, turn: float, sizes: tuple[float, float, float],
    eye: Eye | None,
) -> list[Solid]:  # fmt: skip
    shank, widest, neck = sizes
    offset = float(np.median(middle))
    high = max(neck - float(x[0]), 0.5)
    length = max(float(x[-1]) - neck, 1.0)
    under = u * (neck + x[-1]) / 2 + v * offset
    at = _down(under, (shank + widest) / 2, eye)
    base = Solid("round", *at, turn, length, shank, 0.17 * shank, widest, high, 0.6, 0.75)
    return [
        base,
        replace(base, shape="hex", top=_HEX_TOP[0]),
    ]  # fmt: skip


def _down(seen: Array, height: float, eye: Eye | None) -> tuple[float, float]:
    """What is seen on the paper at a place, as the place of something so high over it."""
    if eye is None:
        return float(seen[0]), float(seen[1])
    foot = np.array(eye[:2])
    x, y = foot + (seen - foot) * (eye[2] - height) / eye[2]
    return float(x), float(y)


def _widths(points: Array) -> tuple[Array, Array, Array]:
    """Half the width and the middle at even steps of x."""
    corner = points.min(axis=0) - 0.5
    places = np.round((points - corner) / _STEP_MM).astype(np.int32)
    size = places.max(axis=0) + 3
    cover = np.zeros((int(size[1]), int(size[0])), np.uint8)
    cv2.fillPoly(cover, [places], 1)
    columns = np.flatnonzero(cover.any(axis=0))
    part = cover[:, columns[0] : columns[-1] + 1]
    low = part.argmax(axis=0)
    top = part.shape[0] - 1 - part[::-1].argmax(axis=0)
    x = np.arange(columns[0], columns[-1] + 1) * _STEP_MM + corner[0]
    half = running_median((top - low) * _STEP_MM / 2, 4)
    return x, half, (top + low) * _STEP_MM / 2 + corner[1]


def across_flats(solid: Solid) -> float:
    """Width across flats of a hexagon head, mm."""
    return 2 * solid.half * FLAT
