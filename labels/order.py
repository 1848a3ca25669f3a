"""In which order to tighten: plain geometry, common practice, no source.

The maker's manual goes before anything this module says.
"""

from collections.abc import Sequence
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


def on_a_circle(points: Sequence[Point]) -> bool:
    """Whether three points or more lie on one circle round their middle, within 3 %, and go all
    the way round it."""
    if len(points) < 3:
        return False
    x0 = sum(x for x, _ in points) / len(points)
    y0 = sum(y for _, y in points) / len(points)
    radii = [hypot(x - x0, y - y0) for x, y in points]
    mean = sum(radii) / len(radii)
    return mean > 0 and max(abs(radius - mean) for radius in radii) <= 0.03 * mean


def tightening_order(points: Sequence[Point]) -> list[int]:
    """The order for fasteners at these points: a star on a circle, else inside out.

    Gives indexes into `points`. Four at the corners of a rectangle are a circle too.
    """
    if not on_a_circle(points):
        return spiral_order(points)
    x0 = sum(x for x, _ in points) / len(points)
    y0 = sum(y for _, y in points) / len(points)
    # Clockwise from the top, as a person counts.
    round_it = sorted(
        range(len(points)),
        key=lambda at: round(atan2(points[at][0] - x0, y0 - points[at][1]), 6) % tau,
    )
    return [round_it[place] for place in star_order(len(points))]
