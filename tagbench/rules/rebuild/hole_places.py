"""Where the bolts of a part sit, for the order in which they are tightened."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from labels.boltcard.tightening import Point
from tagbench.errors import BadInput
from tagbench.records import Fastener, Gasket, Part, replace
from tagbench.rules.bolt_card import card_holes


@dataclass(frozen=True, slots=True)
class HolePlaces:
    """The bolts of a part by their places."""

    points: tuple[Point, ...]
    """x right and y downwards, in the order of their numbers; mm, or a circle of radius 1."""
    words: str
    """How they are numbered."""


def gaskets_of(part: Part, parts: Iterable[Part]) -> tuple[Gasket, ...]:
    """The gaskets of a cover: its own, and those that came off right behind or before it."""
    near = [
        other.make
        for other in parts
        if other.make and (part.code in other.behind or other.code in part.behind)
    ]
    return (part.make, *near) if part.make else tuple(near)


def hole_places(
    part: Part, fasteners: Sequence[Fastener], gaskets: Sequence[Gasket] = ()
) -> HolePlaces | None:
    """The places of all bolts of these lines together; None where nothing says them.

    Their own places go first (clock positions or millimetres), then the holes of a traced gasket
    when it has as many of one size as there are bolts.
    """
    written = _written(part, fasteners)
    if written is not None:
        return written
    count = sum(line.quantity for line in fasteners)
    return next((found for gasket in gaskets if (found := _traced(gasket, count))), None)


def _written(part: Part, fasteners: Sequence[Fastener]) -> HolePlaces | None:
    if not all(line.place for line in fasteners):
        return None
    try:
        holes = card_holes(replace(part, fasteners=tuple(fasteners)))
    except BadInput:
        return None
    measured = [(hole.at_mm[0], -hole.at_mm[1]) for hole in holes if hole.at_mm is not None]
    if len(measured) == len(holes):
        return HolePlaces(tuple(measured), "Numbered in the order of their written places.")
    clocks = [hole.clock for hole in holes if hole.clock is not None]
    if len(clocks) < len(holes):
        return None  # some by the clock, some in millimetres: no one picture
    turned = [radians(30 * clock) for clock in clocks]
    points = tuple((sin(angle), -cos(angle)) for angle in turned)
    said = ", ".join(f"{number} at {_hour(clock)}" for number, clock in enumerate(clocks, 1))
    return HolePlaces(points, f"Numbered by the clock: {said}.")


def _hour(clock: float) -> str:
    return f"{clock % 12 or 12:g}"


def _traced(gasket: Gasket, count: int) -> HolePlaces | None:
    outline = gasket.outline
    if outline is None:
        return None
    sizes = [hole.diameter_mm for hole in outline.holes]
    alike = [
        [hole for hole in outline.holes if abs(hole.diameter_mm - size) <= 0.1 * size]
        for size in sizes
    ]
    fitting = next((holes for holes in alike if len(holes) == count), None)
    if fitting is None:
        return None
    points = tuple((hole.x_mm, -hole.y_mm) for hole in fitting)
    said = ", ".join(
        f"{number} at {hole.x_mm:.0f} right {hole.y_mm:.0f} up"
        for number, hole in enumerate(fitting, 1)
    )
    return HolePlaces(points, f"Holes of the gasket, mm from the lower left: {said}.")
