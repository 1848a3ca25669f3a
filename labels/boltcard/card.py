"""A bolt card: which screw belongs in which hole, on a card that the screws are pushed through.

Holes stand at clock positions on a circle, or at measured places; where millimetres are known
the card is drawn 1:1.
"""

import re
from dataclasses import dataclass
from itertools import combinations
from math import atan2, cos, dist, sin, tau

from labels.boltcard.tightening import Point, star_about, tightening_order
from labels.errors import CardError

_CLOCK = re.compile(
    r"(?P<half>half past\s+)?(?P<hour>\d{1,2})([:.](?P<minute>\d{2})|\s*(?P<and>½|1/2))?"
    r"\s*(o'?\s?clock|h)?",
    re.IGNORECASE,
)
_LETTER = re.compile(r"[A-Za-z]{1,2}")
_LENGTH = r"(-?\d+(?:[.,]\d+)?)\s*(?:mm)?"
_PLACE = re.compile(rf"\(?\s*{_LENGTH}(?:\s*[;/x×]|,\s|\s)\s*{_LENGTH}\s*\)?")


RING_MM = 5.0
"""Diameter of the ring that a screw is pushed through, where its own is not known."""


@dataclass(frozen=True, slots=True)
class CardHole:
    """One hole and its screw."""

    screw: str
    """What goes in ("M6x45", "long one")."""
    clock: float | None = None
    """Hours from 0 to 12, clockwise from the top; 6.5 is half past six."""
    at_mm: Point | None = None
    """Measured place: mm to the right and mm upwards from any corner or middle."""
    ring_mm: float | None = None
    """Diameter of the hole that its screw needs; None where it is not known."""


@dataclass(frozen=True, slots=True)
class BoltCard:
    """What is on the card."""

    code: str
    holes: tuple[CardHole, ...]
    title: str = ""
    payload: str = ""
    """What the symbol holds; the bare code when empty."""
    circle_mm: float | None = None
    """Diameter of the bolt circle; None draws a circle as large as there is room."""
    outline_mm: tuple[Point, ...] = ()
    """Corners of the cover, measured like the holes."""
    note: str = ""
    face: str = ""
    """The face it is seen from ("outside, screw heads towards you")."""
    mirrored: bool = False
    """Whether the places were measured on the other face, so that left and right change."""


@dataclass(frozen=True, slots=True)
class HolePattern:
    """Holes and outline in one measure: x to the right, y downwards."""

    points: tuple[Point, ...]
    outline: tuple[Point, ...]
    round: bool
    """Whether the holes stand on a circle round (0, 0)."""
    true_size: bool
    """Whether the measure is mm; else the bolt circle has radius 1."""
    rings: tuple[float, ...] = ()
    """Diameter of each ring in mm."""

    @property
    def order(self) -> list[int]:
        """Indexes of the holes in the order of tightening."""
        return star_about(self.points, (0, 0)) if self.round else tightening_order(self.points)


def parse_clock(text: str) -> float:
    """Hours for a clock position: `6`, `6:30`, `6 o'clock`, `half past 6`, `12`.

    Raises `CardError` for a text that is no clock position.
    """
    match = _CLOCK.fullmatch(text.strip())
    hour = int(match["hour"]) if match else -1
    minute = int(match["minute"] or 0) if match else 0
    if match is None or not 0 <= hour <= 12 or minute > 59:
        raise CardError(f"“{text}” is not a clock position; write 6 o'clock, 6:30 or half past 6.")
    if match["half"] or match["and"]:
        minute = 30
    return (hour + minute / 60) % 12


def parse_place(text: str) -> Point:
    """Millimetres right and up for a typed place: `12.5 40`, `12,5; 40`, `12.5 x 40 mm`.

    Raises `CardError` for a text that is no place.
    """
    match = _PLACE.fullmatch(text.strip())
    if not match:
        raise CardError(f"“{text}” is not a position; write mm right and mm up, like 12.5 40.")
    return float(match[1].replace(",", ".")), float(match[2].replace(",", "."))


def parse_hole(text: str) -> CardHole:
    """A hole as typed: `6 o'clock: M6x45`, `12.5 40: M6x45`, or `A: M6x45` for one that is placed
    by its distances.

    Raises `CardError` for a text without a position or without a screw.
    """
    position, colon, screw = re.sub(r"(\d):(\d\d)\b", r"\1.\2", text, count=1).partition(":")
    if not colon or not screw.strip():
        raise CardError(f"“{text}” is not a hole; write its position, a colon and its screw.")
    if _PLACE.fullmatch(position.strip()):
        return CardHole(screw.strip(), at_mm=parse_place(position))
    if _LETTER.fullmatch(position.strip()):
        return CardHole(screw.strip())  # its place follows from the distances
    return CardHole(screw.strip(), clock=parse_clock(position))


def spell_hole(hole: CardHole) -> str:
    """The hole as it is typed; `parse_hole` reads it back."""
    return f"{spell_place(hole)}: {hole.screw}"


def spell_place(hole: CardHole) -> str:
    """Where the hole is: `6 o'clock`, `6:30`, or `12.5 40` for millimetres right and up."""
    if hole.at_mm is not None:
        return f"{hole.at_mm[0]:g} {hole.at_mm[1]:g}"
    hour, minute = divmod(round((hole.clock or 0.0) * 60) % 720, 60)
    return f"{hour or 12}:{minute:02}" if minute else f"{hour or 12} o'clock"


def holes_in_one_measure(card: BoltCard) -> HolePattern:
    """The card's holes in one measure. Raises `CardError` when they cannot be drawn together."""
    if not card.holes:
        raise CardError("A bolt card needs at least one hole.")
    if any((hole.clock is None) == (hole.at_mm is None) for hole in card.holes):
        raise CardError("Every hole needs either a clock position or a measured place.")
    measured = [hole.at_mm for hole in card.holes if hole.at_mm is not None]
    if measured and len(measured) != len(card.holes):
        raise CardError("The holes need clock positions or measured places, not some of each.")
    if card.circle_mm is not None and card.circle_mm <= 0:
        raise CardError("The diameter of the bolt circle must be above zero.")
    points = tuple((x, -y) for x, y in measured) or _round_the_clock(card)
    _check_apart(points)
    outline = tuple((x, -y) for x, y in card.outline_mm) if measured else ()
    if card.mirrored:
        points = tuple((-x, y) for x, y in points)
        outline = tuple((-x, y) for x, y in outline)
    true_size = bool(measured) or card.circle_mm is not None
    rings = tuple(hole.ring_mm or RING_MM for hole in card.holes)
    return HolePattern(points, outline, not measured, true_size, rings)


def check_distances(shape: HolePattern) -> list[tuple[int, int, float]]:
    """The two distances between holes to check on paper with a rule: the longest, and the longest
    of those that lead another way; indexes and mm. Fewer where there are fewer holes."""
    pairs = sorted(
        ((dist(shape.points[a], shape.points[b]), a, b)
         for a, b in combinations(range(len(shape.points)), 2)),
        reverse=True,
    )  # fmt: skip
    if not shape.true_size or not pairs:
        return []
    long, first, last = pairs[0]
    way = _way(shape.points[first], shape.points[last])
    across = [
        pair
        for pair in pairs[1:]
        if abs(sin(way - _way(shape.points[pair[1]], shape.points[pair[2]]))) > 0.5
    ]
    second = [*across, *pairs[1:]][:1]
    return [(first, last, long), *((a, b, length) for length, a, b in second)]


def _way(one: Point, other: Point) -> float:
    return atan2(other[1] - one[1], other[0] - one[0])


def _round_the_clock(card: BoltCard) -> tuple[Point, ...]:
    radius = (card.circle_mm or 2.0) / 2
    turns = [tau * (hole.clock or 0.0) / 12 for hole in card.holes]
    return tuple((radius * sin(turn), -radius * cos(turn)) for turn in turns)


def _check_apart(points: tuple[Point, ...]) -> None:
    rounded = [(round(x, 3), round(y, 3)) for x, y in points]
    for number, point in enumerate(rounded, 1):
        first = rounded.index(point) + 1
        if first < number:
            raise CardError(f"Hole {number} is at the same place as hole {first}.")
