"""A sheet of drawing paper, a pen and a wash: what the pictures of the demo are drawn with."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import cos, hypot, radians, sin

from PIL import Image, ImageDraw

from labels.face.fonts import Style, font_for

WIDTH, HEIGHT = 1200, 900
"""Size of a picture, dots."""

_FINE = 3
"""Drawn this many times larger and scaled down, for smooth edges."""

Point = tuple[float, float]
Colour = tuple[int, int, int]

INK: Colour = (38, 34, 30)
RED: Colour = (164, 38, 24)
BLUE: Colour = (24, 72, 112)
PAPER: Colour = (246, 240, 224)
STEEL: Colour = (176, 182, 184)
ALLOY: Colour = (206, 207, 202)
IRON: Colour = (120, 124, 128)
DARK: Colour = (74, 74, 76)
BRASS: Colour = (206, 172, 92)


def around(centre: Point, radius: float, clock: float) -> Point:
    """The point at `radius` in the direction of a clock position (12 is up)."""
    angle = radians(clock * 30 - 90)
    return centre[0] + radius * cos(angle), centre[1] + radius * sin(angle)


def mixed(one: Colour, other: Colour, share: float) -> Colour:
    """`one` with a share of `other`, 0 to 1."""
    red, green, blue = (round(a + (b - a) * share) for a, b in zip(one, other, strict=True))
    return red, green, blue


class Paper:
    """One picture under way. Lengths are dots of the finished picture, y downwards."""

    def __init__(self, title: str, subtitle: str) -> None:
        self._image = Image.new("RGB", (WIDTH * _FINE, HEIGHT * _FINE), PAPER)
        self._draw = ImageDraw.Draw(self._image)
        self.polygon([(18, 18), (1182, 18), (1182, 882), (18, 882)], None, INK, 2)
        self.words((46, 70), title, 40, bold=True)
        self.words((46, 108), subtitle, 22, colour=mixed(INK, PAPER, 0.25))
        self.words((1160, 862), "Tarnbrook Packman, invented for the demo", 17, anchor="rs")

    def finished(self) -> Image.Image:
        """The picture in its final size."""
        return self._image.resize((WIDTH, HEIGHT), Image.Resampling.LANCZOS)

    def disc(self, centre: Point, radius: float, fill: Colour | None, line: float = 3) -> None:
        """A filled circle with an ink line around it."""
        self._draw.ellipse(
            _fine([*_box(centre, radius)]),
            fill=fill,
            outline=INK if line else None,
            width=round(line * _FINE),
        )

    def dome(self, centre: Point, radius: float, fill: Colour, line: float = 3) -> None:
        """A circle washed from light (upper left) to dark, so that it looks round."""
        self.disc(centre, radius, mixed(fill, INK, 0.18), line)
        steps = max(8, round(radius / 4))
        for step in range(steps):
            share = step / steps
            shift = radius * 0.16 * share
            middle = centre[0] - shift, centre[1] - shift
            tone = mixed(mixed(fill, INK, 0.18), mixed(fill, (255, 255, 255), 0.35), share)
            self._draw.ellipse(
                _fine([*_box(middle, (radius - line) * (1 - 0.9 * share))]), fill=tone
            )

    def ring(self, centre: Point, radius: float, colour: Colour = INK, line: float = 2) -> None:
        """A circle without filling."""
        self._draw.ellipse(
            _fine([*_box(centre, radius)]), outline=colour, width=round(line * _FINE)
        )

    def polygon(
        self, points: Sequence[Point], fill: Colour | None, colour: Colour = INK, line: float = 3
    ) -> None:
        """A filled shape with straight edges and an ink line around it."""
        flat = [value for point in points for value in point]
        if fill is not None:
            self._draw.polygon(_fine(flat), fill=fill)
        if line:
            closed = [*points, points[0], points[1]]
            self.line(closed, colour, line)

    def line(self, points: Sequence[Point], colour: Colour = INK, line: float = 3) -> None:
        """A line through the points, round at bends and ends."""
        flat = [value for point in points for value in point]
        self._draw.line(_fine(flat), fill=colour, width=round(line * _FINE), joint="curve")
        for end in (points[0], points[-1]):
            self._draw.ellipse(_fine([*_box(end, line / 2)]), fill=colour)

    def dashed(
        self, points: Sequence[Point], colour: Colour = INK, line: float = 3, dash: float = 14
    ) -> None:
        """A dashed line through the points: something that is off, or out of sight."""
        for start, end in pairwise(points):
            length = hypot(end[0] - start[0], end[1] - start[1])
            count = max(1, round(length / dash / 1.6))
            for number in range(count):
                share, stop = number / count, (number + 0.62) / count
                self.line([_between(start, end, share), _between(start, end, stop)], colour, line)

    def bar(self, start: Point, end: Point, width: float, fill: Colour, line: float = 3) -> None:
        """A bar with round ends from one point to another."""
        self.joined([(start, end, width)], fill, line)

    def joined(
        self, bars: Iterable[tuple[Point, Point, float]], fill: Colour, line: float = 3
    ) -> None:
        """Bars with round ends (discs when both ends are one point) joined into one outline."""
        bars = list(bars)
        for start, end, width in bars:
            self._round_bar(start, end, width + 2 * line, INK)
        for start, end, width in bars:
            self._round_bar(start, end, width, fill)

    def _round_bar(self, start: Point, end: Point, width: float, colour: Colour) -> None:
        if start != end:
            self._draw.line(_fine([*start, *end]), fill=colour, width=round(width * _FINE))
        for point in (start, end):
            self._draw.ellipse(_fine([*_box(point, width / 2)]), fill=colour)

    def arc(
        self, centre: Point, radius: float, clocks: Point, colour: Colour = INK, line: float = 3
    ) -> None:
        """Part of a circle, clockwise from one clock position to another."""
        start, end = (clock * 30 - 90 for clock in clocks)
        self._draw.arc(
            _fine([*_box(centre, radius)]), start, end, fill=colour, width=round(line * _FINE)
        )

    def hexagon(self, centre: Point, across: float, fill: Colour, turn: float = 0) -> None:
        """A hexagon head by its width across flats."""
        radius = across / 2 / cos(radians(30))
        self.polygon([around(centre, radius, step * 2 + turn) for step in range(6)], fill)

    def arrow(
        self, start: Point, end: Point, colour: Colour = INK, line: float = 3, size: float = 16
    ) -> None:
        """A line with a filled head at its end."""
        length = hypot(end[0] - start[0], end[1] - start[1])
        back = _between(end, start, size / length)
        side = (end[1] - start[1]) / length * size / 3, (start[0] - end[0]) / length * size / 3
        self.line([start, back], colour, line)
        wings = [(back[0] + side[0], back[1] + side[1]), (back[0] - side[0], back[1] - side[1])]
        self.polygon([end, *wings], colour, colour, 1)

    def words(
        self,
        at: Point,
        text: str,
        size: int = 22,
        *,
        bold: bool = False,
        colour: Colour = INK,
        anchor: str = "ls",
    ) -> None:
        """One line of lettering; `at` is the left end of its baseline unless `anchor` differs."""
        font = font_for(0, Style(size * _FINE, bold, 88))
        self._draw.text((at[0] * _FINE, at[1] * _FINE), text, font=font, fill=colour, anchor=anchor)

    def label(
        self, at: Point, lines: Sequence[str], to: Sequence[Point], *, colour: Colour = INK
    ) -> None:
        """Words with a leader to each point; the first line is bold, `at` its left end."""
        for number, text in enumerate(lines):
            self.words((at[0], at[1] + 27 * number), text, 23, bold=number == 0, colour=colour)
        box = self._label_box(at, lines)
        for point in to:
            self.line([_leader_start(box, point), point], colour, 1.6)
            self._draw.ellipse(_fine([*_box(point, 4)]), fill=colour)

    def _label_box(self, at: Point, lines: Sequence[str]) -> tuple[float, float, float, float]:
        width = font_for(0, Style(23 * _FINE, True, 88)).getlength(lines[0]) / _FINE
        return at[0], at[1] - 20, at[0] + width, at[1] + 27 * (len(lines) - 1) + 2


def bend(start: Point, over: Point, end: Point) -> list[Point]:
    """A smooth bend from start to end, drawn towards the point it leans over."""
    shares = [step / 24 for step in range(25)]
    return [_between(_between(start, over, s), _between(over, end, s), s) for s in shares]


def _leader_start(box: tuple[float, float, float, float], to: Point) -> Point:
    """Where a leader leaves its words: beside the first line, else above or below them all."""
    left, top, right, bottom = box
    if to[0] < left:
        return left - 10, top + 12
    if to[0] > right:
        return right + 10, top + 12
    return min(max(to[0], left + 20), right - 20), top - 8 if to[1] < top else bottom + 10


def _between(start: Point, end: Point, share: float) -> Point:
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def _box(centre: Point, radius: float) -> tuple[float, float, float, float]:
    return centre[0] - radius, centre[1] - radius, centre[0] + radius, centre[1] + radius


def _fine(values: Iterable[float]) -> list[float]:
    return [value * _FINE for value in values]
