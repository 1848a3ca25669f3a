"""Strips of a sheet one under the other, on as many pages as they take."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from PIL import Image

from labels.face.drawing import Drawing
from labels.face.fonts import ASCENT, DESCENT, Style, printable
from labels.face.text import text_width, wrap
from labels.stock.geometry import Box
from labels.stock.sheet import Page, Placed
from labels.symbols.payload import payload
from labels.symbols.symbol import QUIET_MODULES, make_symbol

DOTS_PER_INCH = 600
DOTS_PER_MM = DOTS_PER_INCH / 25.4
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4), "a6": (105.0, 148.0)}
"""Width and height of the paper in mm (ISO 216; ANSI A)."""
MODULE_MM = 0.6
"""Width of a module on paper; ISO/IEC 18004 asks for 0.33 mm, 0.5 mm is read easily."""
LEADING = ASCENT + DESCENT


def mm(millimetres: float) -> int:
    """A length in whole dots."""
    return round(millimetres * DOTS_PER_MM)


def points(size: float) -> int:
    """A size of letters in whole dots."""
    return round(size / 72 * DOTS_PER_INCH)


@dataclass(frozen=True, slots=True)
class Strip:
    """Something as wide as the page's text and so many dots high; `draw` gets its upper left."""

    height: int
    draw: Callable[[Drawing, int, int], None]


@dataclass(frozen=True, slots=True)
class StripGroup:
    """Strips that belong together; `head` stands again on top where they run on to a new page."""

    strips: Sequence[Strip]
    together: bool = True
    head: Strip | None = None
    opens: bool = False
    """Whether it is a heading, which stays with the group after it."""
    new_page: bool = False


@dataclass
class PageMaker:
    """Fills pages from the top down."""

    paper: str
    margin_mm: tuple[float, float] = (12.0, 13.0)
    """Blank at the sides, and at the top and bottom."""
    foot_mm: float = 7.0
    drawings: list[Drawing] = field(default_factory=list)
    _y: int = 0

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the paper in mm."""
        return PAPERS[self.paper]

    @property
    def left(self) -> int:
        return mm(self.margin_mm[0])

    @property
    def width(self) -> int:
        """Room across in dots."""
        return mm(self.size[0] - 2 * self.margin_mm[0])

    @property
    def top(self) -> int:
        return mm(self.margin_mm[1])

    @property
    def bottom(self) -> int:
        return mm(self.size[1] - self.margin_mm[1] - self.foot_mm)

    @property
    def room(self) -> int:
        """Room down a whole page in dots."""
        return self.bottom - self.top

    @property
    def left_over(self) -> int:
        """Room that is left on the page."""
        return self.bottom - self._y if self.drawings else self.room

    @property
    def drawing(self) -> Drawing:
        """The page under way."""
        if not self.drawings:
            self.new_page()
        return self.drawings[-1]

    def new_page(self) -> None:
        """Begins a page."""
        self.drawings.append(Drawing(mm(self.size[0]), mm(self.size[1])))
        self._y = self.top

    def add_all(self, groups: Iterable[StripGroup]) -> None:
        """Sets groups in order; a heading goes to the page of what follows it."""
        opening: list[Strip] = []
        for group in groups:
            if group.new_page:
                if self.drawings and self._y > self.top:
                    self.new_page()
                continue
            if group.opens:
                opening += group.strips
                continue
            self.add(
                StripGroup([*opening, *group.strips], group.together, group.head), len(opening)
            )
            opening = []
        self.add(StripGroup(opening))

    def add(self, group: StripGroup, opening: int = 0) -> None:
        """Sets one group; the first `opening` strips stay with the one after them."""
        height = sum(strip.height for strip in group.strips)
        if group.together and self.left_over < height <= self.room:
            self.new_page()
        first = sum(strip.height for strip in group.strips[: opening + 2])
        if self.left_over < first <= self.room:
            self.new_page()
        for at, strip in enumerate(group.strips):
            if self.left_over < strip.height and self.drawings and self._y > self.top:
                self.new_page()
                if group.head and at > opening:
                    self._put(group.head)
            self._put(strip)

    def _put(self, strip: Strip) -> None:
        drawing = self.drawing
        strip.draw(drawing, self.left, self._y)
        self._y += strip.height

    def skip(self, height: int) -> None:
        """Leaves so much room, or all that is left."""
        self._y = min(self.bottom, self._y + height)

    def pages(self) -> list[Page]:
        """The pages, ready to be written."""
        width, height = self.size
        box = Box(0, 0, mm(width) / DOTS_PER_MM, mm(height) / DOTS_PER_MM)
        return [Page(width, height, (Placed(drawing, box),)) for drawing in self.drawings]


def blank(height: int) -> Strip:
    """Nothing, so high."""
    return Strip(height, lambda _drawing, _x, _y: None)


def wrapped_lines(text: str, room: int, style: Style) -> list[str]:
    """A text in lines that fit a room; its own line breaks are kept, long words wrap."""
    lines: list[str] = []
    for typed in text.splitlines() or [""]:
        rest = printable(typed)[0]
        while True:
            line, rest = wrap(rest, room, style)
            lines.append(line)
            if not rest:
                break
    return lines


def line_height(style: Style) -> int:
    return round(LEADING * style.size)


def put_line(drawing: Drawing, x: int, y: int, text: str, style: Style) -> None:
    """A line of printable text whose upper edge is at `y`."""
    drawing.text(x, y + round(ASCENT * style.size), text, style)


def text_strips(text: str, room: int, style: Style, indent: int = 0) -> list[Strip]:
    """A text as a strip a line."""

    def strip(line: str) -> Strip:
        return Strip(line_height(style), lambda to, x, y: put_line(to, x + indent, y, line, style))

    return [strip(line) for line in wrapped_lines(text, room - indent, style)]


def put_box(drawing: Drawing, x: int, y: int, side: int) -> None:
    """An empty square to tick."""
    put_frame(drawing, x, y, side, side, mm(0.35))


def put_frame(drawing: Drawing, x: int, y: int, wide: int, high: int, thick: int) -> None:
    """The outline of a rectangle."""
    drawing.bar(x, y, wide, thick)
    drawing.bar(x, y + high - thick, wide, thick)
    drawing.bar(x, y, thick, high)
    drawing.bar(x + wide - thick, y, thick, high)


def rule(width: int, thick_mm: float = 0.15, above_mm: float = 1.5, below_mm: float = 1.5) -> Strip:
    """A line across with air above and below."""
    thick = max(1, mm(thick_mm))
    return Strip(
        mm(above_mm) + thick + mm(below_mm),
        lambda to, x, y: to.bar(x, y + mm(above_mm), width, thick),
    )


@lru_cache(maxsize=256)
def symbol_dots(code: str, address: str) -> Image.Image:
    """The symbol of a code, a dot a module, 1 is dark."""
    rows = make_symbol(payload(code, address or None)).rows
    modules = Image.frombytes("L", (len(rows), len(rows)), b"".join(rows))
    return modules.point([0] + [255] * 255, "1")


def symbol_side(code: str, address: str, module_mm: float = MODULE_MM) -> int:
    """How many dots the symbol takes with its quiet zone."""
    return (symbol_dots(code, address).width + 2 * QUIET_MODULES) * mm(module_mm)


def put_symbol(
    drawing: Drawing, x: int, y: int, code: str, address: str, module_mm: float = MODULE_MM
) -> None:
    """The symbol with its quiet zone, whose upper left is at (x, y)."""
    quiet = QUIET_MODULES * mm(module_mm)
    drawing.dots(symbol_dots(code, address), x + quiet, y + quiet, mm(module_mm))


def put_right(drawing: Drawing, right: int, y: int, text: str, style: Style) -> None:
    """A line that ends at `right`."""
    shown = printable(text)[0]
    put_line(drawing, right - text_width(shown, style), y, shown, style)
