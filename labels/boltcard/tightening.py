"""In which order to tighten: plain geometry, common practice, no source.

The maker's manual goes before anything this module says.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import atan2, gcd, hypot, tau

Point = tuple[float, float]
"""x to the right and y downwards, in any unit."""


def star_order(count: int) -> list[int]:
    """The order for `count` fasteners on a circle, as places counted from 0 round the circle.

    Each is followed by the one opposite, then by the pair that stands square to them, so that
    the load comes down evenly: 1 3 2 4, 1 5 3 7 2 6 4 8. An odd number goes round in steps of
    nearly half the circle: 1 3 5 2 4.
    """
    if count < 0:
        raise ValueError("A circle cannot have fewer than no fasteners.")
    if count % 4 == 0:
        quarter = count // 4
        turns = (0, 2 * quarter, quarter, 3 * quarter)
        return [start + turn for start in _spread(quarter) for turn in turns]
    if count % 2 == 0:
        half = count // 2
        return [start + turn for start in _spread(half) for turn in (0, half)]
    return _spread(count)


def _spread(count: int) -> list[int]:
    """0 to count - 1 so that neighbours in the list are far apart, taking equal steps."""
    if count < 3:
        return list(range(count))
    step = count // 2
    if gcd(step, count) == 1:
        return [at * step % count for at in range(count)]
    return [at for start in range(step) for at in range(start, count, step)]


def spiral_order(points: Sequence[Point]) -> list[int]:
    """The order for fasteners in rows, from the middle outwards, going to and fro across it.

    Points at the same distance from the middle form a ring; a ring is begun where the last one
    ended farthest from, and each next is the one farthest from the one before.
    """
    left = list(range(len(points)))
    if not left:
        return []
    middle = _middle(points)
    far = [hypot(x - middle[0], y - middle[1]) for x, y in points]
    order: list[int] = []
    while left:
        nearest = min(far[at] for at in left)
        ring = [at for at in left if far[at] <= nearest * 1.02 + 1e-9]
        pick = max(ring, key=lambda at: _after(points, order, at))
        order.append(pick)
        left.remove(pick)
    return order


def _after(points: Sequence[Point], order: list[int], at: int) -> tuple[float, float, float]:
    """Farthest from the one before; to begin with, the topmost and leftmost."""
    x, y = points[at]
    last = points[order[-1]] if order else (x, y)
    return round(hypot(x - last[0], y - last[1]), 6), -y, -x


def _middle(points: Sequence[Point]) -> Point:
    """The middle of the rectangle round all points."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def circle_through(points: Sequence[Point]) -> Point | None:
    """The middle of the circle that the points lie on, within 3 %, and all the way round; else
    None.

    The points need not be evenly spaced: the middle is that of the circle fitted by least
    squares (Kåsa, IEEE Trans. Instrum. Meas. 25 (1976) 8-14).
    """
    if len(points) < 3:
        return None
    middle = _fitted(points)
    if middle is None:
        return None
    radii = [hypot(x - middle[0], y - middle[1]) for x, y in points]
    mean = sum(radii) / len(radii)
    if max(abs(radius - mean) for radius in radii) > 0.03 * mean:
        return None
    return middle if _all_round(points, middle) else None


def _fitted(points: Sequence[Point]) -> Point | None:
    """The middle of the fitted circle; None for points in a line."""
    x0 = sum(x for x, _ in points) / len(points)
    y0 = sum(y for _, y in points) / len(points)
    moved = [(x - x0, y - y0) for x, y in points]
    xx = sum(x * x for x, _ in moved)
    yy = sum(y * y for _, y in moved)
    xy = sum(x * y for x, y in moved)
    size = xx * yy - xy * xy
    if size <= 1e-12 * (xx + yy) ** 2:
        return None
    right_x = sum(x * (x * x + y * y) for x, y in moved) / 2
    right_y = sum(y * (x * x + y * y) for x, y in moved) / 2
    return (
        x0 + (right_x * yy - right_y * xy) / size,
        y0 + (right_y * xx - right_x * xy) / size,
    )


def _all_round(points: Sequence[Point], middle: Point) -> bool:
    """Whether no gap between neighbours is much wider than half a turn."""
    turns = sorted(_turn(point, middle) for point in points)
    gaps = [after - before for before, after in pairwise(turns)]
    return max([*gaps, turns[0] + tau - turns[-1]]) <= 0.55 * tau


def _turn(point: Point, middle: Point) -> float:
    """The angle of a point, clockwise from the top, as a person counts."""
    return round(atan2(point[0] - middle[0], middle[1] - point[1]), 6) % tau


def star_about(points: Sequence[Point], middle: Point) -> list[int]:
    """The star order for points on a circle round `middle`, as indexes into `points`."""
    round_it = sorted(range(len(points)), key=lambda at: _turn(points[at], middle))
    return [round_it[place] for place in star_order(len(points))]


def tightening_order(points: Sequence[Point]) -> list[int]:
    """The order for fasteners at these points: a star on a circle, else inside out.

    Gives indexes into `points`. Four at the corners of a rectangle are a circle too.
    """
    middle = circle_through(points)
    return spiral_order(points) if middle is None else star_about(points, middle)
