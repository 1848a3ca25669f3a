"""A run of measured points as lines and arcs: what a cutter takes and a pencil can draw.

A path is a closed run of corners (x, y, bulge): the bulge is the tangent of a quarter of the angle
that the arc to the next corner turns through, above zero to the left, 0 for a straight line (as
DXF has it).
"""

from __future__ import annotations

import numpy as np

from tagbench.measure.edges import evenly, normals, smoothed
from tagbench.measure.solver import Array

Corner = tuple[float, float, float]
Path = tuple[Corner, ...]

TOLERANCE_MM = 0.1
"""How far a line or an arc may be from the measured points."""
_WILD_SHARE = 0.04
"""So many of the points may be farther off, up to twice: grain and frayed fibre."""
_LARGEST_RADIUS_MM = 400.0
_SHORTEST = 4


def fit_path(points: Array, tolerance: float = TOLERANCE_MM) -> Path:
    """Lines and arcs through a closed run of points, as few as keep within the tolerance; where
    few do not, more and shorter ones, down to the points themselves."""
    even = evenly(points, 0.25)
    for share in (1.0, 0.5, 0.25):
        path = _fitted(even, tolerance * share)
        if np.percentile(_off_path(even, path), 95) <= tolerance:
            return path
    return tuple((float(x), float(y), 0.0) for x, y in even)


def _off_path(points: Array, path: Path) -> Array:
    """How far points are from a path."""
    flat = flattened(path)
    along = np.roll(flat, -1, axis=0) - flat
    square = np.maximum((along**2).sum(axis=1), 1e-12)
    share = np.clip(((points[:, None] - flat) * along).sum(axis=2) / square, 0, 1)
    return np.asarray(
        np.linalg.norm(points[:, None] - flat - share[..., None] * along, axis=2).min(axis=1)
    )


def _fitted(even: Array, tolerance: float) -> Path:
    count = len(even)
    if _fits(even, True, tolerance):
        return _whole_circle(even)
    even = np.roll(even, -_sharpest(even), axis=0)
    around = np.vstack((even, even[:1]))
    joints, kinds = [0], []
    at = 0
    while at < count:
        end, bulge = _farthest(around, at, count, tolerance)
        joints.append(end)
        kinds.append(bulge)
        at = end
    if len(kinds) == 1:
        joints, kinds = [0, count // 2, count], [*kinds, *kinds]
    return _joined(*_settled(even, joints, kinds))


def _whole_circle(points: Array) -> Path:
    found = _circle(points)
    assert found is not None
    (x, y), radius = found
    bulge = 1.0 if _turns_left(points) else -1.0
    return ((float(x - radius), float(y), bulge), (float(x + radius), float(y), bulge))


def _turns_left(points: Array) -> bool:
    after = np.roll(points, -1, axis=0)
    return bool((points[:, 0] * after[:, 1] - points[:, 1] * after[:, 0]).sum() > 0)


def _settled(
    even: Array, joints: list[int], kinds: list[bool]
) -> tuple[Array, list[int], list[bool]]:
    """The joints moved along the run to where both neighbours fit best: the first line or arc had
    taken all that the tolerance gave it. Also what is then one is made one."""
    count = len(even)
    places = joints[:-1]
    if len(places) > 1 and _same(even, places[-1], places[1] + count, kinds[-1], kinds[0]):
        places, kinds = places[1:], kinds[1:]
    for reach in (16, 8, 4, 2, 1):
        for number in range(len(places)):
            places[number] = _better(even, places, kinds, number, reach)
    first = places[0]
    around = np.roll(even, -first, axis=0)
    moved = [(place - first) % count for place in places]
    return np.vstack((around, around[:1])), [*moved, count], kinds


def _same(even: Array, start: int, end: int, one: bool, other: bool) -> bool:
    return one == other and _fits(_run(even, start, end), one, TOLERANCE_MM)


def _run(even: Array, start: int, end: int) -> Array:
    return even[np.arange(start, end + 1) % len(even)]


def _better(even: Array, places: list[int], kinds: list[bool], number: int, reach: int) -> int:
    count = len(even)
    here = places[number]
    before, after = places[number - 1], places[(number + 1) % len(places)]
    while before >= here:
        before -= count
    while after <= here:
        after += count
    best, least = here, np.inf
    for at in (here - reach, here, here + reach):
        if at - before < _SHORTEST or after - at < _SHORTEST:
            continue
        total = _squares(_run(even, before, at), kinds[number - 1]) + _squares(
            _run(even, at, after), kinds[number]
        )
        if total < least - 1e-12:
            best, least = at, total
    return best


def _squares(points: Array, arc: bool) -> float:
    off = _off_arc(points) if arc else None
    if off is None:
        off = _off_line(points)
    return float(off @ off)


def _sharpest(points: Array) -> int:
    """Where the run bends most: a joint is surely there."""
    direction = smoothed(normals(points, 2), 1.5)
    turn = np.linalg.norm(np.roll(direction, -4, axis=0) - np.roll(direction, 4, axis=0), axis=1)
    return int(np.argmax(turn))


def _farthest(points: Array, start: int, count: int, tolerance: float) -> tuple[int, bool]:
    """How far one line or arc goes from here, and whether it is an arc."""
    best, is_arc = min(count, start + _SHORTEST), False
    for arc in (False, True):
        low, step = start + _SHORTEST, 16
        while low + step <= count and _fits(points[start : low + step + 1], arc, tolerance):
            low += step
            step *= 2
        high = min(count, low + step)
        while high - low > 1:
            middle = (low + high) // 2
            if _fits(points[start : middle + 1], arc, tolerance):
                low = middle
            else:
                high = middle
        if high <= count and _fits(points[start : high + 1], arc, tolerance):
            low = high
        # an arc must go clearly farther than a line to be one
        if low <= count and low - start > (best - start) * (1.15 if arc else 1.0):
            best, is_arc = low, arc
    if count - best < _SHORTEST:
        best = count
    return best, is_arc


def _fits(points: Array, arc: bool, tolerance: float) -> bool:
    off = _off_arc(points) if arc else _off_line(points)
    if off is None:
        return False
    off = np.abs(off)
    return bool(off.max() <= 2 * tolerance and np.mean(off > tolerance) <= _WILD_SHARE)


def _off_line(points: Array) -> Array:
    moved = points - points.mean(axis=0)
    return np.asarray(moved @ np.linalg.svd(moved, full_matrices=False)[2][1])


def _circle(points: Array) -> tuple[Array, float] | None:
    middle = points.mean(axis=0)
    moved = points - middle
    system = np.column_stack((2 * moved, np.ones(len(moved))))
    x, y, rest = np.linalg.lstsq(system, (moved**2).sum(axis=1), rcond=None)[0]
    square = rest + x * x + y * y
    if square <= 0 or square > _LARGEST_RADIUS_MM**2:
        return None
    return middle + np.array((x, y)), float(np.sqrt(square))


def _off_arc(points: Array) -> Array | None:
    found = _circle(points)
    if found is None:
        return None
    centre, radius = found
    return np.asarray(np.linalg.norm(points - centre, axis=1) - radius)


def _joined(points: Array, joints: list[int], kinds: list[bool]) -> Path:
    """Corners where neighbours meet: half way between where each would have them."""
    count = len(kinds)
    corners = []
    for number in range(count):
        before = points[joints[number - 1] : joints[number] + 1]
        if number == 0:
            before = points[joints[-2] : joints[-1] + 1]
        after = points[joints[number] : joints[number + 1] + 1]
        here = points[joints[number]]
        meet = None
        if not kinds[number - 1] and not kinds[number]:
            meet = _meeting(before, after)
        if meet is None or np.linalg.norm(meet - here) > 1.0:
            meet = (_onto(before, kinds[number - 1], here) + _onto(after, kinds[number], here)) / 2
        corners.append(meet)
    path = []
    for number, corner in enumerate(corners):
        run = points[joints[number] : joints[number + 1] + 1]
        bulge = _bulge(corner, corners[(number + 1) % count], run) if kinds[number] else 0.0
        path.append((float(corner[0]), float(corner[1]), bulge))
    return tuple(path)


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
    """The bulge of the arc from start to end through the run's measured middle."""
    chord = end - start
    length = float(np.linalg.norm(chord))
    found = _circle(run)
    if found is None or length < 1e-6:
        return 0.0
    centre, radius = found
    middle = run[len(run) // 2]
    side = float(np.sign(chord[0] * (middle - start)[1] - chord[1] * (middle - start)[0]))
    half = min(1.0, length / (2 * radius))
    quarter = np.arcsin(half) / 2
    wide = (centre - start) @ np.array((-chord[1], chord[0])) / length
    # past a half turn the middle of the circle lies on the run's own side of the chord
    if np.sign(wide) == side:
        quarter = np.pi / 2 - quarter
    return float(-side * np.tan(quarter))


def flattened(path: Path, step: float = 0.3) -> Array:
    """A path as points, none farther apart than `step` mm along an arc."""
    points: list[tuple[float, float]] = []
    for number, (x, y, bulge) in enumerate(path):
        after = path[(number + 1) % len(path)]
        points.append((x, y))
        if abs(bulge) < 1e-9:
            continue
        (cx, cy), radius, first, sweep = arc_of((x, y, bulge), after)
        pieces = max(2, int(np.ceil(abs(sweep) * radius / step)))
        for at in range(1, pieces):
            angle = first + sweep * at / pieces
            points.append((cx + radius * float(np.cos(angle)), cy + radius * float(np.sin(angle))))
    return np.array(points)


def arc_of(start: Corner, end: Corner) -> tuple[tuple[float, float], float, float, float]:
    """Centre, radius, angle at the start and angle turned through (radians, signed) of an arc."""
    x, y, bulge = start
    sweep = 4 * np.arctan(bulge)
    chord = np.array((end[0] - x, end[1] - y))
    length = float(np.linalg.norm(chord))
    radius = length / (2 * abs(np.sin(sweep / 2)))
    middle = np.array((x, y)) + chord / 2
    apart = length / (2 * np.tan(sweep / 2))
    centre = middle + np.array((-chord[1], chord[0])) / max(length, 1e-12) * apart
    first = float(np.arctan2(y - centre[1], x - centre[0]))
    return (float(centre[0]), float(centre[1])), radius, first, float(sweep)
