"""The figure of a bolt card in a terminal: the circle or outline, and each hole by its number."""

from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise
from math import cos, sin, tau

from labels.boltcard.card import HolePattern
from labels.boltcard.tightening import Point
from labels.output.preview import braille

_ACROSS, _DOWN = 2, 4
"""Dots of one character; a character is twice as high as wide, so the dots are square."""
_EDGE = 3
"""Characters kept free at the sides for the numbers, and one line above and below."""
_STEPS = 240
"""Pieces of a drawn circle."""


def card_preview(shape: HolePattern, width: int, height: int) -> list[str]:
    """The figure as `height` lines of at most `width` characters.

    The numbers are the order of tightening, as in the discs on the card. An arrow at the left
    edge says where up is.
    """
    room = (width - 2 * _EDGE) * _ACROSS, (height - 2) * _DOWN
    place = _placing(shape, room)
    dots = [bytearray(width * _ACROSS) for _ in range(height * _DOWN)]
    for x, y in map(place, _line(shape)):
        dots[y][x] = True
    rows = [list(line) for line in braille(dots)]
    for number, at in enumerate(shape.order, 1):
        x, y = place(shape.points[at])
        _write(rows, f"{number}", x // _ACROSS, y // _DOWN)
    for y, mark in enumerate("▲│"):
        _write(rows, mark, 0, y)
    return ["".join(row).rstrip() for row in rows]


def _placing(shape: HolePattern, room: Point) -> Callable[[Point], tuple[int, int]]:
    """A function from the figure's measure to dots: as large as there is room, in the middle."""
    points = [*shape.points, *shape.outline]
    if shape.round:
        radius = max((x * x + y * y) ** 0.5 for x, y in points)
        points += [(-radius, -radius), (radius, radius)]
    left, top = min(x for x, _ in points), min(y for _, y in points)
    wide, high = max(x for x, _ in points) - left, max(y for _, y in points) - top
    scale = min(room[0] / (wide or 1), room[1] / (high or 1))
    along = _EDGE * _ACROSS + (room[0] - wide * scale) / 2
    down = _DOWN + (room[1] - high * scale) / 2

    def place(point: Point) -> tuple[int, int]:
        return round(along + (point[0] - left) * scale), round(down + (point[1] - top) * scale)

    return place


def _line(shape: HolePattern) -> Iterator[Point]:
    """Points along the bolt circle or the outline, close beside each other."""
    if shape.round:
        x, y = shape.points[0]
        radius = (x * x + y * y) ** 0.5
        turns = (tau * step / _STEPS for step in range(_STEPS))
        yield from ((radius * sin(turn), -radius * cos(turn)) for turn in turns)
    elif shape.outline:
        yield from _edges([*shape.outline, shape.outline[0]])


def _edges(corners: Iterable[Point]) -> Iterator[Point]:
    for (x1, y1), (x2, y2) in pairwise(corners):
        for step in range(_STEPS):
            share = step / _STEPS
            yield x1 + (x2 - x1) * share, y1 + (y2 - y1) * share


def _write(rows: list[list[str]], text: str, x: int, y: int) -> None:
    """Writes over what is there, with a blank on both sides, so that the number stands free."""
    start = x - (len(text) - 1) // 2
    for at, character in enumerate(f" {text} ", start - 1):
        if 0 <= y < len(rows) and 0 <= at < len(rows[y]):
            rows[y][at] = character
