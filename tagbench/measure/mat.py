"""The mat: the page that pictures are measured on, and where its points lie.

Fourteen QR symbols stand at the corners and edges, each says which point of which mat it is. The
middle, 150 x 200 mm, is plain; a scale and two lines let a steel rule check the printer.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import groupby
from typing import Literal

from labels.face.drawing import Drawing
from labels.face.fonts import Style
from labels.face.text import text_width
from labels.stock.geometry import Box
from labels.stock.sheet import Page, Placed, Stroke
from labels.symbols.symbol import Symbol, make_symbol

Paper = Literal["a4", "letter"]
PAPERS: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height, mm: ISO 216 and ANSI/ASME Y14.1."""

PLAIN_WIDTH, PLAIN_HEIGHT = 150.0, 200.0
"""The plain middle, mm."""
MODULES = 21
"""Modules along a symbol of version 1 (ISO/IEC 18004)."""
_DOT_MM = 25.4 / 300
"""All of a symbol lies on whole dots of 300 and 600 dpi, so that no printer has to round."""
MODULE_MM = 12 * _DOT_MM
SYMBOL_MM = MODULES * MODULE_MM
EDGE_MM = 53 * _DOT_MM
"""How far the symbols stay from the paper's edge, 4.5 mm: what most printers cannot reach (common
practice, no source)."""
SCALE_MM = 150.0
"""Length of the scale across the page."""
LINES_APART_MM = 208.0
"""From the line under the scale to the line at the foot."""

DOTS_PER_MM = 300 / 25.4
_NAMES: dict[Paper, str] = {"a4": "A4", "letter": "LTR"}
_MODULE_DOTS = 24


@dataclass(frozen=True, slots=True)
class MatPoint:
    """One symbol of the mat: its payload and its upper left corner, mm from the page's."""

    payload: str
    x: float
    y: float

    @property
    def symbol(self) -> Symbol:
        return make_symbol(self.payload, "H")


@cache
def mat_points(paper: Paper) -> tuple[MatPoint, ...]:
    """The symbols of a mat, clockwise from the upper left corner."""
    width, height = PAPERS[paper]
    right, low = width - 2 * EDGE_MM - SYMBOL_MM, height - 2 * EDGE_MM - SYMBOL_MM
    places = [(right * at / 3, 0.0) for at in range(4)]
    places += [(right, low * at / 4) for at in range(1, 5)]
    places += [(right * at / 3, low) for at in (2, 1, 0)]
    places += [(0.0, low * at / 4) for at in (3, 2, 1)]
    return tuple(
        MatPoint(f"MAT-{_NAMES[paper]}-{number:02}", EDGE_MM + _whole(x), EDGE_MM + _whole(y))
        for number, (x, y) in enumerate(places, 1)
    )


def _whole(millimetres: float) -> float:
    return round(millimetres / _DOT_MM) * _DOT_MM


def plain_middle(paper: Paper) -> Box:
    """The part of the page where pieces are laid, mm."""
    width, height = PAPERS[paper]
    return Box((width - PLAIN_WIDTH) / 2, (height - PLAIN_HEIGHT) / 2, PLAIN_WIDTH, PLAIN_HEIGHT)


def mat_page(paper: Paper) -> Page:
    """The page, ready to be written at its true size."""
    width, height = PAPERS[paper]
    words = _words(paper)
    whole = Box(0, 0, words.width / DOTS_PER_MM, words.height / DOTS_PER_MM)
    placed = [Placed(words, whole)]
    placed += [
        Placed(_symbol_drawing(point.symbol), Box(point.x, point.y, SYMBOL_MM, SYMBOL_MM))
        for point in mat_points(paper)
    ]
    return Page(width, height, tuple(placed), tuple(_scale(paper)))


def _symbol_drawing(symbol: Symbol) -> Drawing:
    """The dark runs of each row as bars: programs that draw a PDF may move a picture to whole dots
    of their own, an area they do not."""
    drawing = Drawing(MODULES * _MODULE_DOTS, MODULES * _MODULE_DOTS)
    for row, modules in enumerate(symbol.rows):
        for dark, run in groupby(range(MODULES), key=lambda at: modules[at]):
            places = list(run)
            if dark:
                wide = len(places) * _MODULE_DOTS
                drawing.bar(places[0] * _MODULE_DOTS, row * _MODULE_DOTS, wide, _MODULE_DOTS)
    return drawing


def _scale(paper: Paper) -> list[Stroke]:
    width, height = PAPERS[paper]
    left, top = (width - SCALE_MM) / 2, (height - LINES_APART_MM) / 2
    low = top + LINES_APART_MM
    strokes = [Stroke(left, at, left + SCALE_MM, at, 0.15) for at in (top, low)]
    for at in range(int(SCALE_MM) + 1):
        length = 2.4 if at % 10 == 0 else 1.7 if at % 5 == 0 else 1.0
        strokes.append(Stroke(left + at, top, left + at, top - length, 0.12))
    return strokes


def _words(paper: Paper) -> Drawing:
    width, height = PAPERS[paper]
    sheet = Drawing(round(width * DOTS_PER_MM), round(height * DOTS_PER_MM))
    left, top = (width - SCALE_MM) / 2, (height - LINES_APART_MM) / 2
    small = Style(round(2.0 * DOTS_PER_MM))
    for at in range(0, int(SCALE_MM) + 1, 10):
        place = round((left + at) * DOTS_PER_MM) - text_width(f"{at}", small) // 2
        sheet.text(place, round((top - 2.9) * DOTS_PER_MM), f"{at}", small)
    check = (
        f"Print at 100 %. A steel rule must find {SCALE_MM:g} mm along the scale and "
        f"{LINES_APART_MM:g} mm from its line to this one."
    )
    y = top + LINES_APART_MM + 4.2
    sheet.text(round(left * DOTS_PER_MM), round(y * DOTS_PER_MM), check,
               Style(round(2.5 * DOTS_PER_MM)))  # fmt: skip
    title = Style(round(3.2 * DOTS_PER_MM), bold=True)
    x = EDGE_MM + SYMBOL_MM + 6
    sheet.text(round(x * DOTS_PER_MM), round(12 * DOTS_PER_MM), "Measuring mat", title)
    for row, text in enumerate(
        ("Lay it flat. Pieces in the", "plain middle, apart.", "Mat " + _NAMES[paper])
    ):
        style = Style(round(2.2 * DOTS_PER_MM))
        sheet.text(round(x * DOTS_PER_MM), round((16 + 3.2 * row) * DOTS_PER_MM), text, style)
    return sheet
