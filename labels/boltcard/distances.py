"""Holes measured from one another: where they lie, from their distances alone.

Two points fix the third only up to a mirror image, so from the fourth on every hole needs three
distances. All of them are met as well as they can be, by least squares (Levenberg, Quart. Appl.
Math. 2 (1944) 164-168; Marquardt, J. SIAM 11 (1963) 431-441); how well is told, since a typing slip
shows as a distance that does not agree with the others.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, pi, sin, sqrt

from labels.boltcard.shapes import letters
from labels.boltcard.tightening import Point
from labels.errors import CardError

_DISTANCE = re.compile(
    r"\s*([A-Za-z]{1,2})\s*[-–—> ]\s*([A-Za-z]{1,2})\s*[:= ]\s*(\d+(?:[.,]\d+)?)\s*(?:mm)?\s*"
)
LEAST_EACH = 3
"""Distances that every hole needs where there are more than three holes."""
DOUBTFUL_MM, DOUBTFUL_SHARE = 1.0, 0.02
"""A distance that is off by more than this, and more than this share of it, is told by name."""
_STARTS = 24
_ROUNDS = 120

Distances = Mapping[tuple[int, int], float]


@dataclass(frozen=True, slots=True)
class Solved:
    """Where the holes lie."""

    points: tuple[Point, ...]
    """mm to the right and upwards, A to B level, letters clockwise."""
    residual_mm: float
    """Root mean square of what the distances are off by."""
    worst: tuple[int, int]
    """The two holes whose distance agrees least with the others."""
    worst_mm: float
    """By how much: measured less drawn."""

    @property
    def words(self) -> str:
        """`The distances agree within 0.2 mm; worst A-C, 0.3 mm too long.`"""
        pair = "-".join(letters(at) for at in self.worst)
        way = "too long" if self.worst_mm > 0 else "too short"
        if abs(self.worst_mm) < 0.05:
            return "The distances agree within 0.1 mm."
        return (
            f"The distances agree within {self.residual_mm:.1f} mm; worst {pair}, "
            f"{abs(self.worst_mm):.1f} mm {way}."
        )


def parse_distances(text: str, count: int) -> dict[tuple[int, int], float]:
    """Distances between holes by their letters: `A-B 80; A-C 100; B-C 60` (mm, centre to centre).

    Raises `CardError` for what is no distance, or names a hole that there is not.
    """
    places = {letters(at): at for at in range(count)}
    found: dict[tuple[int, int], float] = {}
    for typed in re.split(r"[;\n]", text):
        if not typed.strip():
            continue
        match = _DISTANCE.fullmatch(typed)
        if not match:
            raise CardError(
                f"“{typed.strip()}” is not a distance; write two holes and mm: A-B 80.5."
            )
        one, other = match[1].upper(), match[2].upper()
        for name in (one, other):
            if name not in places:
                raise CardError(f"There is no hole {name}; there are A to {letters(count - 1)}.")
        if one == other:
            raise CardError(f"“{typed.strip()}” names one hole twice; name two.")
        millimetres = float(match[3].replace(",", "."))
        if millimetres <= 0:
            raise CardError(f"The distance {one}-{other} must be above zero.")
        pair = (min(places[one], places[other]), max(places[one], places[other]))
        if pair in found and found[pair] != millimetres:
            raise CardError(f"The distance {one}-{other} is given twice, and not alike.")
        found[pair] = millimetres
    return found


def solve_holes(count: int, distances: Distances) -> Solved:
    """The places of `count` holes. Raises `CardError` where the distances leave one loose, or
    cannot all be true."""
    _check_enough(count, distances)
    best: tuple[float, list[float]] | None = None
    for start in range(_STARTS):
        found = _settled(_beginning(count, distances, start), distances)
        if best is None or found[0] < best[0] - 1e-9:
            best = found
        if best[0] <= 1e-6 * len(distances):
            break
    assert best is not None
    points = _turned([(best[1][2 * at], best[1][2 * at + 1]) for at in range(count)])
    off = {
        pair: long - hypot(points[pair[0]][0] - points[pair[1]][0],
                           points[pair[0]][1] - points[pair[1]][1])
        for pair, long in distances.items()
    }  # fmt: skip
    worst = max(off, key=lambda pair: abs(off[pair]))
    residual = sqrt(sum(one * one for one in off.values()) / len(off))
    if abs(off[worst]) > max(DOUBTFUL_MM, DOUBTFUL_SHARE * distances[worst]):
        pair = "-".join(letters(at) for at in worst)
        raise CardError(
            f"The distances cannot all be true: {pair} was measured as {distances[worst]:g} mm, "
            f"and the others put it at {distances[worst] - off[worst]:.1f} mm; measure it again."
        )
    return Solved(tuple(points), residual, worst, off[worst])


def _check_enough(count: int, distances: Distances) -> None:
    if count < 3:
        raise CardError("Distances place three holes or more; give two by mm right and up.")
    each = [sum(at in pair for pair in distances) for at in range(count)]
    least = 2 if count == 3 else LEAST_EACH
    loose = next((at for at in range(count) if each[at] < least), None)
    if loose is not None:
        have = f"{each[loose]} distance{'s' * (each[loose] != 1)}"
        raise CardError(
            f"Hole {letters(loose)} has {have} and needs {least}; measure it from "
            f"{least - each[loose]} more hole{'s' * (least - each[loose] != 1)}."
        )
    if len(distances) < 2 * count - 3:
        raise CardError(
            f"{count} holes need {2 * count - 3} distances, and there are {len(distances)}."
        )


def _beginning(count: int, distances: Distances, start: int) -> list[float]:
    """A first guess: holes round a circle as wide as the distances, another one each time."""
    radius = max(distances.values()) / 2
    places = []
    for at in range(count):
        # Equal steps round the circle for the first try, then steps that never repeat.
        step = at / count if start == 0 else (at * (0.618 + 0.137 * start)) % 1.0
        reach = radius * (1.0 if start == 0 else 0.35 + (0.75 * at * 0.414 * (start + 1)) % 0.9)
        places += [reach * sin(2 * pi * step), reach * cos(2 * pi * step)]
    return places


def _settled(places: list[float], distances: Distances) -> tuple[float, list[float]]:
    """The nearest places at which the squares of what is off add up to the least."""
    damping = 1e-2
    cost = _cost(places, distances)
    for _ in range(_ROUNDS):
        matrix, right = _normal_equations(places, distances)
        for at, row in enumerate(matrix):
            row[at] += damping * (row[at] + 1e-9) + 1e-12
        step = _linear(matrix, right)
        moved = [value + change for value, change in zip(places, step, strict=True)]
        after = _cost(moved, distances)
        if after < cost:
            gain = cost - after
            places, cost, damping = moved, after, max(damping / 5, 1e-12)
            if gain <= 1e-14 * (1 + cost):
                break
        else:
            damping *= 6
            if damping > 1e12:
                break
    return cost, places


def _cost(places: Sequence[float], distances: Distances) -> float:
    total = 0.0
    for (one, other), long in distances.items():
        across = places[2 * one] - places[2 * other]
        down = places[2 * one + 1] - places[2 * other + 1]
        total += (hypot(across, down) - long) ** 2
    return total


def _normal_equations(
    places: Sequence[float], distances: Distances
) -> tuple[list[list[float]], list[float]]:
    size = len(places)
    matrix = [[0.0] * size for _ in range(size)]
    right = [0.0] * size
    for (one, other), long in distances.items():
        across = places[2 * one] - places[2 * other]
        down = places[2 * one + 1] - places[2 * other + 1]
        apart = hypot(across, down) or 1e-9
        slopes = (
            (2 * one, across / apart), (2 * one + 1, down / apart),
            (2 * other, -across / apart), (2 * other + 1, -down / apart),
        )  # fmt: skip
        off = long - apart
        for row, slope in slopes:
            right[row] += slope * off
            for column, other_slope in slopes:
                matrix[row][column] += slope * other_slope
    return matrix, right


def _linear(matrix: list[list[float]], right: list[float]) -> list[float]:
    """Solves a set of linear equations by elimination, the largest pivot first."""
    size = len(right)
    rows = [[*row, value] for row, value in zip(matrix, right, strict=True)]
    for column in range(size):
        pivot = max(range(column, size), key=lambda row: abs(rows[row][column]))
        rows[column], rows[pivot] = rows[pivot], rows[column]
        head = rows[column]
        if not head[column]:
            continue
        for row in rows[column + 1 :]:
            factor = row[column] / head[column]
            if factor:
                for at in range(column, size + 1):
                    row[at] -= factor * head[at]
    found = [0.0] * size
    for at in reversed(range(size)):
        rest = sum(rows[at][k] * found[k] for k in range(at + 1, size))
        found[at] = (rows[at][size] - rest) / rows[at][at] if rows[at][at] else 0.0
    return found


def _turned(points: list[Point]) -> list[Point]:
    """The same places with A to B level, A at the left, and the letters clockwise."""
    turn = atan2(points[1][1] - points[0][1], points[1][0] - points[0][0])
    level = [
        (
            (x - points[0][0]) * cos(turn) + (y - points[0][1]) * sin(turn),
            -(x - points[0][0]) * sin(turn) + (y - points[0][1]) * cos(turn),
        )
        for x, y in points
    ]
    around = sum(
        x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(level, [*level[1:], level[0]], strict=True)
    )
    side = -1.0 if around > 0 else 1.0  # counter-clockwise, y upwards: mirrored
    return [(x, side * y) for x, y in level]
