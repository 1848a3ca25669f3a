"""The figure on a bolt card: rings to push screws through, each named, and the order in discs."""

from collections.abc import Iterable, Iterator
from itertools import pairwise
from math import atan2, cos, hypot, pi, sin, tau

from PIL import Image, ImageDraw

from labels.boltcard.card import RING_MM, HolePattern
from labels.boltcard.shapes import RoundedRectangle, beside, box_shape, letters, round_shape
from labels.boltcard.tightening import Point
from labels.errors import CardError
from labels.face.drawing import BLACK, WHITE, Drawing
from labels.face.fonts import CAPITAL, Style
from labels.face.text import text_width
from labels.stock.geometry import Stock
from labels.stock.sizing import Area

DISC_MM = 4.2
"""Diameter of the black disc with the place in the tightening order."""
NAME_SIZES_MM = (3.4, 3.0, 2.6, 2.3, 2.0)
"""Ems that are tried for the screws' names."""
_AIR_MM = 0.5
_AROUND_MM = 0.5
"""Room round the outermost rings."""
_NAME_ROOM_MM = 15.0
"""Room kept beside a circle that is drawn as large as it goes."""
_TURNS = (0, pi / 4, -pi / 4, pi / 2, -pi / 2, 3 * pi / 4, -3 * pi / 4, pi)


class FigureSketch:
    """Draws a figure into a room of a drawing; what is taken is not drawn over."""

    def __init__(self, drawing: Drawing, room: Area, stock: Stock) -> None:
        self._drawing = drawing
        self._room = RoundedRectangle(room.left, room.top, room.right, room.bottom)
        self._stock = stock
        self._ink = Image.new("1", (drawing.width, drawing.height))
        self._pen = ImageDraw.Draw(self._ink)
        self._taken: list[RoundedRectangle] = []
        self._words: list[tuple[int, int, str, Style, int]] = []
        self._ring_of: dict[Point, float] = {}
        """Place of a hole → radius of its ring in dots."""

    def draw(self, shape: HolePattern, names: list[str], others: Iterable[Stock]) -> list[str]:
        """Draw everything; gives the screws, with their letters, that found no room beside their
        hole, for the list of words."""
        places, outline, middle = self._placed(shape, others)
        rings = shape.rings or (RING_MM,) * len(places)
        self._ring_of = {
            place: self._mm(ring / 2) for place, ring in zip(places, rings, strict=True)
        }
        self._draw_outline(shape, places, outline, middle)
        for place in places:
            self._ring(place)
        self._arrow(middle)
        for turn, at in enumerate(shape.order, 1):
            self._disc(places[at], middle, str(turn))
        left_over = self._names(places, middle, names)
        if shape.true_size:
            self._scale_bar(middle)
        self._drawing.dots(self._ink, 0, 0)
        for x, baseline, text, style, ink in self._words:
            self._drawing.text(x, baseline, text, style, ink)
        return left_over

    def _mm(self, millimetres: float) -> float:
        return millimetres * self._stock.dots_per_mm

    def _placed(
        self, shape: HolePattern, others: Iterable[Stock]
    ) -> tuple[list[Point], list[Point], Point]:
        """Holes, outline and middle in dots; 1:1 where the measure is mm."""
        room = self._room
        edge = self._mm(max(shape.rings, default=RING_MM) + 2 * _AROUND_MM)
        wide, high = room.right - room.left, room.bottom - room.top
        every = [*shape.points, *shape.outline]
        if shape.round:
            reach = max(hypot(x, y) for x, y in every)
            every = [(-reach, -reach), (reach, reach)]
        left, right = min(x for x, _ in every), max(x for x, _ in every)
        top, bottom = min(y for _, y in every), max(y for _, y in every)
        scale = self._stock.dots_per_mm
        if not shape.true_size:
            # Rings above and below, names beside.
            scale = min(high / 2 - edge / 2 - self._mm(4), wide / 2 - self._mm(_NAME_ROOM_MM))
        if (right - left) * scale + edge > wide or (bottom - top) * scale + edge > high:
            raise self._too_large(right - left, bottom - top, edge, others)
        x0 = (room.left + room.right) / 2 - scale * (left + right) / 2
        y0 = (room.top + room.bottom) / 2 - scale * (top + bottom) / 2

        def dots(points: Iterable[Point]) -> list[Point]:
            return [(x0 + scale * x, y0 + scale * y) for x, y in points]

        middle = ((room.left + room.right) / 2, (room.top + room.bottom) / 2)
        return dots(shape.points), dots(shape.outline), middle

    def _too_large(
        self, width: float, height: float, edge_dots: float, others: Iterable[Stock]
    ) -> CardError:
        room, dots = self._room, self._stock.dots_per_mm
        across, down = (room.right - room.left) / dots, (room.bottom - room.top) / dots
        edge = edge_dots / dots
        taken = self._stock.label_width - across, self._stock.label_height - down
        able = [
            other
            for other in others
            if other.label_width - taken[0] >= width + edge
            and other.label_height - taken[1] >= height + edge
        ]
        nearest = min(able, key=lambda other: other.label_width * other.label_height, default=None)
        advice = f"use {nearest.name}" if nearest else "use larger stock"
        return CardError(
            f"At 1:1 the holes need {width + edge:.0f} × {height + edge:.0f} mm with their rings, "
            f"and {self._stock.name} leaves {across:.0f} × {down:.0f} mm; {advice}."
        )

    def _draw_outline(
        self, shape: HolePattern, places: list[Point], outline: list[Point], middle: Point
    ) -> None:
        thick = max(1, round(self._mm(0.25)))
        if shape.round:
            radius = hypot(places[0][0] - middle[0], places[0][1] - middle[1])
            self._circle(middle, radius, thick)
            steps = max(12, int(tau * radius / self._mm(1)))
            for at in range(steps):
                x, y = radius * cos(tau * at / steps), radius * sin(tau * at / steps)
                self._taken.append(round_shape(middle[0] + x, middle[1] + y, self._mm(0.4)))
        elif len(outline) > 1:
            corners = [*outline, outline[0]]
            self._pen.line(corners, fill=1, width=thick, joint="curve")
            for start, end in pairwise(corners):
                self._take_line(start, end)

    def _circle(self, centre: Point, radius: float, thick: int) -> None:
        x, y = centre
        self._pen.ellipse((x - radius, y - radius, x + radius, y + radius), outline=1, width=thick)

    def _take_line(self, start: Point, end: Point) -> None:
        """Keep words off a stroke: small spots along it, so that slanting ones work too."""
        steps = max(1, int(hypot(end[0] - start[0], end[1] - start[1]) / self._mm(1)))
        for at in range(steps + 1):
            x = start[0] + (end[0] - start[0]) * at / steps
            y = start[1] + (end[1] - start[1]) * at / steps
            self._taken.append(round_shape(x, y, self._mm(0.6)))

    def _ring(self, place: Point) -> None:
        """A ring with a small cross; whatever line runs through it is interrupted."""
        x, y = place
        radius, arm = self._ring_of[place], self._mm(0.8)
        thick = max(1, round(self._mm(0.35)))
        box = (x - radius, y - radius, x + radius, y + radius)
        self._pen.ellipse(box, fill=0, outline=1, width=thick)
        thin = max(1, round(self._mm(0.15)))
        self._pen.line((x - arm, y, x + arm, y), fill=1, width=thin)
        self._pen.line((x, y - arm, x, y + arm), fill=1, width=thin)
        self._taken.append(round_shape(x, y, radius))

    def _arrow(self, middle: Point) -> None:
        """Which way is up: in the middle, or wherever there is room."""
        wide, high = self._mm(9), self._mm(14)
        for x, y in self._spots(middle, wide, high):
            rect = box_shape(x - wide / 2, y - high / 2, wide, high, self._mm(_AIR_MM / 2))
            if self._free(rect):
                break
        else:
            return
        self._taken.append(rect)
        tip, shaft = rect.top, self._mm(0.9)
        self._pen.polygon(
            [
                (x, tip),
                (x + self._mm(2.6), tip + self._mm(4)),
                (x - self._mm(2.6), tip + self._mm(4)),
            ],
            fill=1,
        )
        self._pen.rectangle(
            (x - shaft, tip + self._mm(4), x + shaft, rect.bottom - self._mm(4.2)), fill=1
        )
        style = Style(round(self._mm(4)), bold=True)
        start = round(x - text_width("UP", style) / 2)
        self._words.append((start, round(rect.bottom - self._mm(0.6)), "UP", style, BLACK))

    def _scale_bar(self, middle: Point) -> None:
        """A bar of known length, wherever there is room: the longest that finds some."""
        style = Style(round(self._mm(2.6)))
        for long in (50, 20, 10):
            wide = self._mm(long) + text_width(f"{long} mm", style) + self._mm(2)
            high = self._mm(3.2)
            for x, y in self._spots(middle, wide, high):
                left, low = x - wide / 2, y + high / 2
                rect = box_shape(left, low - high, wide, high, self._mm(_AIR_MM / 2))
                if self._free(rect):
                    self._taken.append(rect)
                    self._put_bar(left, low, long, style)
                    return

    def _put_bar(self, left: float, low: float, long: int, style: Style) -> None:
        thin = max(1, round(self._mm(0.2)))
        end = left + self._mm(long)
        self._pen.line((left, low, end, low), fill=1, width=thin)
        for at in range(0, long + 1, 5):
            x = left + self._mm(at)
            tick = self._mm(2.4 if at % 10 == 0 else 1.4)
            self._pen.line((x, low - tick, x, low), fill=1, width=thin)
        place = round(end + self._mm(1)), round(low)
        self._words.append((*place, f"{long} mm", style, BLACK))

    def _spots(self, middle: Point, wide: float, high: float) -> Iterator[Point]:
        """The middle, then a grid of places, the nearest to the middle first."""
        room = self._room
        steps = [
            (room.left + wide / 2 + (room.right - room.left - wide) * across / 12,
             room.top + high / 2 + (room.bottom - room.top - high) * down / 12)
            for across in range(13)
            for down in range(13)
        ]  # fmt: skip
        yield middle
        yield from sorted(steps, key=lambda at: hypot(at[0] - middle[0], at[1] - middle[1]))

    def _disc(self, place: Point, middle: Point, number: str) -> None:
        """The place in the order, white on black, on the side of the hole towards the middle."""
        radius = self._mm(DISC_MM / 2)
        away = self._ring_of[place] + radius + self._mm(_AIR_MM)
        inward = atan2(middle[1] - place[1], middle[0] - place[0])
        for turn in _TURNS:
            x, y = place[0] + away * cos(inward + turn), place[1] + away * sin(inward + turn)
            rect = round_shape(x, y, radius)
            if self._free(rect):
                break
        self._taken.append(rect)
        self._pen.ellipse((rect.left, rect.top, rect.right, rect.bottom), fill=1)
        style = Style(round(self._mm(3.2)), bold=True, width=100 if len(number) < 2 else 80)
        start = round(x - text_width(number, style) / 2)
        baseline = round(y + CAPITAL * style.size / 2)
        self._words.append((start, baseline, number, style, WHITE))

    def _names(self, places: list[Point], middle: Point, names: list[str]) -> list[str]:
        """Name every hole in letters of one size, the largest at which all find room; where none
        is small enough, a hole gets its letter alone, and its screw is given back."""
        named = [f"{letters(at)}  {name}".strip() for at, name in enumerate(names)]
        taken, words = len(self._taken), len(self._words)
        for size in NAME_SIZES_MM:
            style = Style(round(self._mm(size)), bold=True, width=88)
            pairs = zip(places, named, strict=True)
            if all(self._write(place, middle, text, style) for place, text in pairs):
                return []
            del self._taken[taken:], self._words[words:]
        left_over = []
        for place, text in zip(places, named, strict=True):
            letter = text.split(" ", 1)[0]
            if not self._write(place, middle, text, style):
                self._write(place, middle, letter, style)
                left_over.append(text)
        return left_over

    def _write(self, place: Point, middle: Point, text: str, style: Style) -> bool:
        outward = atan2(place[1] - middle[1], place[0] - middle[0])
        wide, high = text_width(text, style), CAPITAL * style.size
        away = self._ring_of[place] + self._mm(_AIR_MM)
        for x, y in beside(place, outward, wide, high, away):
            rect = box_shape(x, y, wide, 1.25 * high, self._mm(_AIR_MM / 2))
            if self._free(rect):
                self._taken.append(rect)
                self._words.append((round(x), round(y + high), text, style, BLACK))
                return True
        return False

    def _free(self, rect: RoundedRectangle) -> bool:
        room = self._room
        inside = (
            rect.left >= room.left
            and rect.top >= room.top
            and rect.right <= room.right
            and rect.bottom <= room.bottom
        )
        return inside and not any(rect.meets(other) for other in self._taken)
