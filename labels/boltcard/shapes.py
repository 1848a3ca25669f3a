"""Room on a bolt card: what is taken, and where a hole's name may go."""

from dataclasses import dataclass
from math import cos, hypot, sin

from labels.boltcard.tightening import Point


@dataclass(frozen=True, slots=True)
class RoundedRectangle:
    """A rectangle with round corners: a line of words, a ring or a stroke, all in one."""

    left: float
    top: float
    right: float
    bottom: float
    radius: float = 0.0

    def meets(self, other: "RoundedRectangle") -> bool:
        """Whether the two overlap; corners count as round."""
        a, b = self._core(), other._core()
        across = max(b[0] - a[2], a[0] - b[2], 0.0)
        down = max(b[1] - a[3], a[1] - b[3], 0.0)
        return hypot(across, down) < self.radius + other.radius

    def _core(self) -> tuple[float, float, float, float]:
        r = self.radius
        return self.left + r, self.top + r, self.right - r, self.bottom - r


def round_shape(x: float, y: float, radius: float) -> RoundedRectangle:
    return RoundedRectangle(x - radius, y - radius, x + radius, y + radius, radius)


def box_shape(left: float, top: float, wide: float, high: float, air: float) -> RoundedRectangle:
    """A rectangle with air all round it, which is its round edge."""
    return RoundedRectangle(left - air, top - air, left + wide + air, top + high + air, air)


def letters(number: int) -> str:
    """A, B … Z, AA, AB …: letters for the holes, so that numbers are only for the order."""
    name = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def beside(place: Point, outward: float, wide: float, high: float, away: float) -> list[Point]:
    """Upper left corners for words round a hole, those on the outer side first."""
    x, y = place
    beside = [
        (x + side, y - high / 2 + shift * high)
        for side in (away, -away - wide)
        for shift in (0, -0.6, 0.6, -1.1, 1.1)
    ]
    above_and_below = [
        (x - wide / 2 + shift * wide / 2, level)
        for level in (y - away - 1.25 * high, y + away)
        for shift in (0, -0.5, 0.5, -1, 1)
    ]
    return sorted(
        [*beside, *above_and_below],
        key=lambda at: -_leaning(at[0] + wide / 2 - x, at[1] + high / 2 - y, outward),
    )


def _leaning(x: float, y: float, outward: float) -> float:
    """1 for a direction straight outwards, -1 for one straight to the middle."""
    return round((x * cos(outward) + y * sin(outward)) / (hypot(x, y) or 1.0), 3)
