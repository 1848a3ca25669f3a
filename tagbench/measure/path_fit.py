"""Lines and arcs through a closed run of measured points: as few as the points' own noise allows.

Where a joint lies is found for all at once (shortest path over the candidate joints, each line or
arc costing its squared distances and a fee for being there), so that no line or arc takes from its
neighbour what the tolerance would give it. Distances from circles are those of the least-squares
fit of x² + y² + Dx + Ey + F = 0.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from tagbench.measure.edges import evenly, normals, smoothed
from tagbench.measure.paths import ClosedPath, off_path
from tagbench.measure.solver import Array

TOLERANCE_MM = 0.1
"""How far a line or an arc may be from the measured points."""
_STEP_MM = 0.25
_JOINT_EVERY_MM = 1.0
_NOISE_MM = 0.012, 0.05
"""What the points scatter by is taken from them, but never as less or more than this."""
_RELATED_MM = 1.0
"""Points nearer to each other than this scatter together (edges are averaged along them)."""
_FEE = 9.0
"""Half the squared scatters that a further line or arc must save (three figures by BIC)."""
_ARC_FEE = 1.0
"""A line is taken before an arc that is no better than by so much."""
_LARGEST_RADIUS_MM = 400.0
_SHORTEST = 4
_WILD_MM = 0.4
"""No point may be farther off: a sharp corner that blur has rounded."""
_HARDLY_MM = 0.25
"""Points farther off than this hardly count when pieces are compared."""
_CORNER_MM = 2.5
"""A piece up to this between two others may be their corner, rounded by blur."""
_ROUNDED_MM = 0.6
"""So far from the points two lines may meet where their corner is rounded by blur."""


@dataclass(frozen=True, slots=True)
class _Runs:
    """Joints along a closed run, and what lies behind each: an arc (True) or a line."""

    points: Array
    joints: tuple[int, ...]
    arcs: tuple[bool, ...]
    known: dict[tuple[int, int, bool], float] = field(default_factory=dict)
    """What pieces cost that were tried before."""

    def cut(self, joints: Iterable[int], arcs: Iterable[bool]) -> _Runs:
        """The same points, cut otherwise."""
        return _Runs(self.points, tuple(joints), tuple(arcs), self.known)

    def cost(self, start: int, end: int, arc: bool) -> float:
        """The squared distances of the points between two places from the best line or arc."""
        key = start, end, arc
        if key not in self.known:
            self.known[key] = _squares(_between(self.points, start, end), arc)
        return self.known[key]

    @property
    def total(self) -> float:
        ends = (*self.joints[1:], self.joints[0])
        return sum(map(self.cost, self.joints, ends, self.arcs))

    def run(self, number: int) -> Array:
        count = len(self.joints)
        start, end = self.joints[number % count], self.joints[(number + 1) % count]
        return _between(self.points, start, end)


def fit_path(points: Array, tolerance: float = TOLERANCE_MM) -> ClosedPath:
    """Lines and arcs through a closed run of points, as few as their noise allows; where 95 % of
    the points are not within the tolerance (mm), the points themselves."""
    even = evenly(points, _STEP_MM)
    circle = _circle(even)
    if circle is not None and _is_near(_off_circle(even, circle), tolerance):
        return _whole_circle(even, circle)
    scatter = _scatter(even)
    for share in (1.0, 0.5, 0.25):
        path = _path(_settled(_segmented(even, share * scatter, tolerance), share * scatter))
        if _is_near(off_path(even, path), tolerance):
            return path
    return tuple((float(x), float(y), 0.0) for x, y in even)


def _is_near(off: Array, tolerance: float) -> bool:
    return bool(np.percentile(np.abs(off), 95) <= tolerance and np.abs(off).max() <= _WILD_MM)


def _scatter(points: Array) -> float:
    """What the points scatter by across the run, mm; corners hardly count."""
    across = ((points - smoothed(points, 3.0)) * normals(points)).sum(axis=1)
    return float(np.clip(1.4826 * np.median(np.abs(across)), *_NOISE_MM))


def _between(points: Array, start: int, end: int) -> Array:
    if end <= start:
        end += len(points)
    return points[np.arange(start, end + 1) % len(points)]


# -- where one line or arc ends and the next begins ---------------------------


def _segmented(points: Array, scatter: float, tolerance: float) -> _Runs:
    points = np.roll(points, -_sharpest(points), axis=0)
    count = len(points)
    every = max(_SHORTEST, round(_JOINT_EVERY_MM / _STEP_MM), -(-count // 400))
    places = np.unique(np.append(np.arange(0, count - every, every), count))
    around = np.vstack((points, points[:1]))
    weight = min(1.0, _STEP_MM / _RELATED_MM)
    total = np.full(len(places), np.inf)
    total[0] = 0.0
    came = np.zeros(len(places), int)
    by_arc = np.zeros(len(places), bool)
    for number, place in enumerate(places[:-1]):
        line, arc = _costs(around[place:], places[number + 1 :] - place, tolerance)
        line = line * weight / (2 * scatter**2) + _FEE
        arc = arc * weight / (2 * scatter**2) + _FEE + _ARC_FEE
        after = total[number] + np.minimum(line, arc)
        rest = slice(number + 1, None)
        better = after < total[rest]
        came[rest] = np.where(better, number, came[rest])
        by_arc[rest] = np.where(better, arc < line, by_arc[rest])
        total[rest] = np.where(better, after, total[rest])
    joints, arcs, at = [], [], len(places) - 1
    while at > 0:
        arcs.append(bool(by_arc[at]))
        at = came[at]
        joints.append(int(places[at]))
    if len(joints) == 1:
        joints, arcs = [count // 2, 0], arcs * 2
    return _Runs(points, tuple(joints[::-1]), tuple(arcs[::-1]))


def _sharpest(points: Array) -> int:
    """Where the run bends most: a joint is surely there."""
    direction = smoothed(normals(points, 2), 1.5)
    turn = np.linalg.norm(np.roll(direction, -4, axis=0) - np.roll(direction, 4, axis=0), axis=1)
    return int(np.argmax(turn))


def _costs(points: Array, ends: Array, tolerance: float) -> tuple[Array, Array]:
    """The squared distances, mm², of the points from the first to each end from the best line and
    from the best circle through them."""
    x, y = (points - points[0]).T
    z = x * x + y * y
    sums = np.cumsum(
        [np.ones_like(x), x, y, x * x, x * y, y * y, z * x, z * y, z * z], axis=1
    )[:, ends]  # fmt: skip
    n, sx, sy, sxx, sxy, syy, szx, szy, szz = sums
    xx, xy, yy = sxx - sx * sx / n, sxy - sx * sy / n, syy - sy * sy / n
    least = (xx + yy) / 2 - np.sqrt(((xx - yy) / 2) ** 2 + xy**2)
    line = np.maximum(least, 0.0)

    sz = sxx + syy
    zx, zy, zz = szx - sz * sx / n, szy - sz * sy / n, szz - sz * sz / n
    square = xx * yy - xy * xy
    safe = np.where(square > 1e-9 * (xx + yy) ** 2, square, np.inf)
    a, b = (zx * yy - zy * xy) / safe, (zy * xx - zx * xy) / safe
    rest = np.maximum(zz - a * zx - b * zy, 0.0)
    middle = (sz - a * sx - b * sy) / n
    radius2 = middle + (a * a + b * b) / 4
    usable = np.isfinite(safe) & (radius2 > 0.3) & (radius2 < _LARGEST_RADIUS_MM**2)
    arc = np.where(usable, rest / (4 * np.where(usable, radius2, 1.0)), np.inf)
    # nothing may leave the points by more than the tolerance on the whole
    limit = n * tolerance**2
    return np.where(line > limit, np.inf, line), np.where(arc > limit, np.inf, arc)


# -- the joints to a point, corners sharp ------------------------------------


def _settled(runs: _Runs, scatter: float) -> _Runs:
    for _ in range(3):
        before = len(runs.joints)
        runs = _fewer(_moved(_without_rounded_corners(runs)), scatter)
        if len(runs.joints) == before:
            break
    return _moved(runs)


def _moved(runs: _Runs) -> _Runs:
    joints = list(runs.joints)
    for reach in (8, 4, 2, 1, 1):
        for number in range(len(joints)):
            joints[number] = _better(runs, joints, number, reach)
    return runs.cut(joints, runs.arcs)


def _fewer(runs: _Runs, scatter: float) -> _Runs:
    """Neighbours that are one line or arc made one; a short piece that its neighbours can do
    without left out."""
    worth = 2 * scatter**2 * _FEE / min(1.0, _STEP_MM / _RELATED_MM)
    number = 0
    while number < len(runs.joints) and len(runs.joints) > 2:
        for other in (_as_one(runs, number), _given_away(runs, number)):
            if other is not None and other.total < runs.total + worth:
                runs, number = other, -1
                break
        number += 1
    return runs


def _as_one(runs: _Runs, number: int) -> _Runs | None:
    """A piece and the next as one: the kind that fits."""
    after = (number + 1) % len(runs.joints)
    kept = [at for at in range(len(runs.joints)) if at != after]
    joints = tuple(runs.joints[at] for at in kept)
    both = []
    for arc in {runs.arcs[number], runs.arcs[after]}:
        arcs = [runs.arcs[at] for at in kept]
        arcs[kept.index(number)] = arc
        both.append(runs.cut(joints, arcs))
    return min(both, key=lambda one: one.total)


def _given_away(runs: _Runs, number: int) -> _Runs | None:
    """A short piece left out, its points given to its neighbours."""
    size = len(runs.joints)
    if size < 4 or _length(runs, list(runs.joints), number) > _CORNER_MM:
        return None
    joints, arcs = list(runs.joints), list(runs.arcs)
    after = (number + 1) % size
    span = (joints[after] - joints[number]) % len(runs.points)
    joints[after] = (joints[number] + span // 2) % len(runs.points)
    del joints[number], arcs[number]
    shorter = runs.cut(joints, arcs)
    at = (after - 1 if number < after else after) % (size - 1)
    for reach in (2, 1):
        joints[at] = _better(shorter, joints, at, reach)
    return runs.cut(joints, arcs)


def _without_rounded_corners(runs: _Runs) -> _Runs:
    """A short piece between two lines that meet by it is no piece of its own."""
    joints, arcs = list(runs.joints), list(runs.arcs)
    for number in range(len(joints) - 1, -1, -1):
        size = len(joints)
        if size < 4 or _length(runs, joints, number) > _CORNER_MM:
            continue
        before, after = (number - 1) % size, (number + 1) % size
        if arcs[before] or arcs[after]:
            continue
        short = _between(runs.points, joints[number], joints[after])
        meet = _meeting(
            _middle_part(_between(runs.points, joints[before], joints[number])),
            _middle_part(_between(runs.points, joints[after], joints[(after + 1) % size])),
        )
        if meet is None or np.linalg.norm(meet - short[len(short) // 2]) > _ROUNDED_MM:
            continue
        nearest = int(np.argmin(np.linalg.norm(short - meet, axis=1)))
        joints[after] = (joints[number] + nearest) % len(runs.points)
        del joints[number], arcs[number]
    return runs.cut(joints, arcs)


def _length(runs: _Runs, joints: list[int], number: int) -> float:
    span = (joints[(number + 1) % len(joints)] - joints[number]) % len(runs.points)
    return span * _STEP_MM


def _better(runs: _Runs, joints: list[int], number: int, reach: int) -> int:
    """The place near a joint where both neighbours fit best."""
    count = len(runs.points)
    here = joints[number]
    before, after = joints[number - 1], joints[(number + 1) % len(joints)]
    room_before, room_after = (here - before) % count, (after - here) % count
    best, least = here, np.inf
    for move in (0, -reach, reach):
        if room_before + move < _SHORTEST or room_after - move < _SHORTEST:
            continue
        at = (here + move) % count
        total = runs.cost(before, at, runs.arcs[number - 1])
        total += runs.cost(at, after, runs.arcs[number])
        if total < least - 1e-12:
            best, least = at, total
    return best


def _squares(points: Array, arc: bool) -> float:
    """Squared distances, wild ones (a corner rounded by blur) hardly counting."""
    found = _circle(points) if arc else None
    off = _off_circle(points, found) if found is not None else _off_line(points)
    return float((off**2 / (1 + (off / _HARDLY_MM) ** 2)).sum())


def _off_line(points: Array) -> Array:
    moved = points - points.mean(axis=0)
    return np.asarray(moved @ np.linalg.svd(moved, full_matrices=False)[2][1])


CentreAndRadius = tuple[Array, float]


def _circle(points: Array) -> CentreAndRadius | None:
    middle = points.mean(axis=0)
    moved = points - middle
    system = np.column_stack((2 * moved, np.ones(len(moved))))
    x, y, rest = np.linalg.lstsq(system, (moved**2).sum(axis=1), rcond=None)[0]
    square = rest + x * x + y * y
    if square <= 0 or square > _LARGEST_RADIUS_MM**2:
        return None
    return middle + np.array((x, y)), float(np.sqrt(square))


def _off_circle(points: Array, circle: CentreAndRadius) -> Array:
    centre, radius = circle
    return np.asarray(np.linalg.norm(points - centre, axis=1) - radius)


# -- from runs to corners and bulges ------------------------------------------


def _whole_circle(points: Array, circle: CentreAndRadius) -> ClosedPath:
    (x, y), radius = circle
    after = np.roll(points, -1, axis=0)
    left = (points[:, 0] * after[:, 1] - points[:, 1] * after[:, 0]).sum() > 0
    bulge = 1.0 if left else -1.0
    return ((float(x - radius), float(y), bulge), (float(x + radius), float(y), bulge))


def _path(runs: _Runs) -> ClosedPath:
    count = len(runs.joints)
    corners = [_corner(runs, number) for number in range(count)]
    path = []
    for number, corner in enumerate(corners):
        bulge = 0.0
        if runs.arcs[number]:
            bulge = _bulge(corner, corners[(number + 1) % count], runs.run(number))
        path.append((float(corner[0]), float(corner[1]), bulge))
    return tuple(path)


def _corner(runs: _Runs, number: int) -> Array:
    """Where neighbours meet: two lines where they cross, others half way between where each would
    have the joint."""
    before, after = runs.run(number - 1), runs.run(number)
    here = runs.points[runs.joints[number]]
    of_arcs = runs.arcs[number - 1], runs.arcs[number]
    if not any(of_arcs):
        meet = _meeting(_middle_part(before), _middle_part(after))
        if meet is not None and np.linalg.norm(meet - here) <= 1.0:
            return meet
    return (_onto(before, of_arcs[0], here) + _onto(after, of_arcs[1], here)) / 2


def _middle_part(run: Array) -> Array:
    """A line without the points that blur has drawn round its corners."""
    few = round(0.5 / _STEP_MM)
    return run[few:-few] if len(run) > 4 * few + 2 else run


def _meeting(before: Array, after: Array) -> Array | None:
    """Where two lines meet, None where they are nearly one."""
    (p, u), (q, v) = ((run.mean(axis=0), _along(run)) for run in (before, after))
    cross = u[0] * v[1] - u[1] * v[0]
    if abs(cross) < 0.2:
        return None
    off = q - p
    return np.asarray(p + u * (off[0] * v[1] - off[1] * v[0]) / cross)


def _along(points: Array) -> Array:
    moved = points - points.mean(axis=0)
    return np.asarray(np.linalg.svd(moved, full_matrices=False)[2][0])


def _onto(run: Array, arc: bool, point: Array) -> Array:
    """The point moved onto the line or arc through the run."""
    found = _circle(run) if arc else None
    if found is not None:
        centre, radius = found
        out = point - centre
        return np.asarray(centre + out * radius / max(float(np.linalg.norm(out)), 1e-9))
    middle, along = run.mean(axis=0), _along(run)
    return np.asarray(middle + along * ((point - middle) @ along))


def _bulge(start: Array, end: Array, run: Array) -> float:
    """The bulge of the arc from start to end that is nearest to the run between them."""
    chord = end - start
    length = float(np.linalg.norm(chord))
    if length < 1e-6:
        return 0.0
    along = chord / length
    across = np.array((-along[1], along[0]))
    local = run - (start + end) / 2
    u, v = local @ along / (length / 2), local @ across / (length / 2)
    # the arc through the ends whose middle lies b half chords to the right:
    # u² + (v - k)² = 1 + k², k = (1 - b²) / (2 b); a point on it has 2 k = (u² + v² - 1) / v
    middle = v[len(v) // 2]
    bulge = float(-middle) if abs(middle) > 1e-9 else 1e-9
    for _ in range(12):
        radius, k = (1 + bulge**2) / (2 * abs(bulge)), (1 - bulge**2) / (2 * bulge)
        off = np.hypot(u, v - k) - radius
        small = 1e-5 * max(1.0, abs(bulge))
        other = bulge + small
        k2, radius2 = (1 - other**2) / (2 * other), (1 + other**2) / (2 * abs(other))
        slope = (np.hypot(u, v - k2) - radius2 - off) / small
        change = float(slope @ off / max(slope @ slope, 1e-12))
        bulge -= float(np.clip(change, -0.5, 0.5))
        if abs(change) < 1e-9:
            break
    return bulge
