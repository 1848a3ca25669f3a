"""The ruler page: printed once, it shows how a printer is off and where it cannot print."""

from collections.abc import Iterator

from labels.face.drawing import Drawing
from labels.face.fonts import Style
from labels.face.text import text_width
from labels.output.correction import ruler_inset
from labels.stock.geometry import Box, Stock
from labels.stock.sheet import Page, Placed, Stroke

_EDGE_MM = 10
"""How far from the edges the steps go that show where printing begins."""
_TICKS = ((10, 4.0, 0.2), (5, 2.8, 0.15), (1, 1.6, 0.1))
"""Every so many mm, a tick so long and so thick, in mm."""
_LINE_MM = 0.15


def ruler_page(stock: Stock) -> Page:
    """A page of the stock's size with lines 20 mm from each edge, scales in mm along them, and
    steps at the edges.

    Measure from the paper's edge to the left line and from the left line to the right one; the
    same from the top. `correction_from_ruler` turns the four lengths into a correction.
    """
    width, height = stock.page_width, stock.page_height
    strokes = (*_lines(width, height), *_edge_steps(width, height))
    words = _words(stock)
    box = Box(0, 0, words.width / stock.dots_per_mm, words.height / stock.dots_per_mm)
    return Page(width, height, (Placed(words, box),), strokes)


def _lines(width: float, height: float) -> Iterator[Stroke]:
    """The four measuring lines, with a scale along the left and the top one."""
    near = ruler_inset(width, height)
    right, low = width - near, height - near
    yield Stroke(near, near, right, near, _LINE_MM)
    yield Stroke(near, low, right, low, _LINE_MM)
    yield Stroke(near, near, near, low, _LINE_MM)
    yield Stroke(right, near, right, low, _LINE_MM)
    for at in range(int(width - 2 * near) + 1):
        length, thick = _tick(at)
        yield Stroke(near + at, near, near + at, near + length, thick)
    for at in range(int(height - 2 * near) + 1):
        length, thick = _tick(at)
        yield Stroke(near, near + at, near + length, near + at, thick)


def _tick(at: int) -> tuple[float, float]:
    return next((length, thick) for every, length, thick in _TICKS if at % every == 0)


def _edge_steps(width: float, height: float) -> Iterator[Stroke]:
    """In the middle of each edge, a stair of lines at 1, 2 … 10 mm: the first one that is whole
    shows how near to the edge the printer reaches."""
    most, step = _steps(width, height)
    for at in range(1, most + 1):
        across = width / 2 + (at - most / 2) * step
        down = height / 2 + (at - most / 2) * step
        yield Stroke(across - step, at, across, at, _LINE_MM)
        yield Stroke(across - step, height - at, across, height - at, _LINE_MM)
        yield Stroke(at, down - step, at, down, _LINE_MM)
        yield Stroke(width - at, down - step, width - at, down, _LINE_MM)


def _steps(width: float, height: float) -> tuple[int, float]:
    """How many steps there is room for, and how long each is in mm."""
    most = min(_EDGE_MM, int(ruler_inset(width, height)) - 1)
    return most, min(4.0, width / 4 / most, height / 4 / most) if most > 0 else 0.0


def _number_steps(sheet: Drawing, stock: Stock) -> None:
    """Numbers at the outer ends of the stairs on the top and left edge: 1, 5 and 10 mm."""
    most, step = _steps(stock.page_width, stock.page_height)
    dots, style = stock.dots_per_mm, Style(round(2.0 * stock.dots_per_mm))
    for at in (1, 5, 10):
        if at <= most and step >= 3:
            across = stock.page_width / 2 + (at - most / 2) * step + 0.6
            down = stock.page_height / 2 + (at - most / 2) * step + 2.2
            sheet.text(round(across * dots), round((at + 0.7) * dots), f"{at}", style)
            sheet.text(round((at - 0.5) * dots), round(down * dots), f"{at}", style)


def _words(stock: Stock) -> Drawing:
    """Numbers on the scales and what to measure."""
    dots = stock.dots_per_mm
    sheet = Drawing(*stock.page_dots)
    small = Style(round(2.4 * dots))
    near = ruler_inset(stock.page_width, stock.page_height)
    for at in range(10, int(stock.page_width - 2 * near) - 2, 10):
        place = round((near + at) * dots) - text_width(f"{at}", small) // 2
        sheet.text(place, round((near + 6.6) * dots), f"{at}", small)
    for at in range(10, int(stock.page_height - 2 * near) - 2, 10):
        sheet.text(round((near + 5) * dots), round((near + at + 0.9) * dots), f"{at}", small)
    _number_steps(sheet, stock)
    left = near + 14
    across, down = stock.page_width - 2 * near, stock.page_height - 2 * near
    lines = (
        (f"Ruler page, {stock.page_width:g} × {stock.page_height:g} mm", 5.0, True),
        ("Print at 100 %, then measure with a steel rule:", 3.6, False),
        (f"left: from the paper's left edge to the left line, meant to be {near:g} mm", 3.6, False),
        (f"across: from the left line to the right line, meant to be {across:g} mm", 3.6, False),
        (f"top: from the paper's top edge to the top line, meant to be {near:g} mm", 3.6, False),
        (f"down: from the top line to the bottom line, meant to be {down:g} mm", 3.6, False),
        ("The steps at the edges are 1, 2, 3 … mm from the edge;", 3.6, False),
        ("the first whole one shows how near to the edge this printer reaches.", 3.6, False),
    )
    y = near + 20
    for text, size, bold in lines:
        style = Style(round(size * dots), bold)
        if left * dots + text_width(text, style) < (stock.page_width - near) * dots:
            sheet.text(round(left * dots), round(y * dots), text, style)
        y += size * 1.5
    return sheet
