"""Labels on pages: where each goes, which label of a half-used sheet comes next, cut marks."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import count
from typing import NamedTuple

from labels.errors import StockError
from labels.face.drawing import Drawing
from labels.stock.geometry import Box, Stock

CUT_MARK_MM = 1.2
"""Length of a cut mark's arm; it stays within the blank edge of a label."""


class Stroke(NamedTuple):
    """A straight line on the page, in mm from the left and top edge."""

    x1: float
    y1: float
    x2: float
    y2: float
    thick: float = 0.1


@dataclass(frozen=True, slots=True)
class Placed:
    """A drawing and where it goes on the page, in mm."""

    drawing: Drawing
    box: Box


@dataclass(frozen=True, slots=True)
class Page:
    """One page, ready to be written."""

    width: float
    height: float
    placed: tuple[Placed, ...]
    strokes: tuple[Stroke, ...] = ()


def check_first(stock: Stock, first: int) -> None:
    """Refuse a first label that is not on the sheet."""
    if not 1 <= first <= stock.labels_per_page:
        raise StockError(
            f"There is no label {first} on a sheet of {stock.name}; "
            f"choose one from 1 to {stock.labels_per_page}."
        )


def next_label(stock: Stock, first: int, count: int) -> int:
    """The first free label after `count` labels from `first`; 1 is a fresh sheet."""
    return (first - 1 + count) % stock.labels_per_page + 1


def page_count(stock: Stock, first: int, count: int) -> int:
    """How many pages `count` labels from label `first` take."""
    return -(-(first - 1 + count) // stock.labels_per_page) if count else 0


def lay_out(
    drawings: Iterable[Drawing], stock: Stock, first: int = 1, *, cut_marks: bool = False
) -> Iterator[Page]:
    """The pages, one at a time, so that a long run needs no more memory than a short one.

    The first page starts at label `first`, counted from 1 along the rows.
    Raises `StockError` for a first label that is not on the sheet.
    """
    check_first(stock, first)
    return _pages(drawings, stock, first, cut_marks=cut_marks)


def _pages(
    drawings: Iterable[Drawing], stock: Stock, first: int, *, cut_marks: bool
) -> Iterator[Page]:
    placed: list[Placed] = []
    for number, drawing in zip(count(first), drawings, strict=False):
        placed.append(Placed(drawing, drawing_box(stock, number, drawing)))
        if number % stock.labels_per_page == 0:
            yield _page(stock, placed, cut_marks=cut_marks)
            placed = []
    if placed:
        yield _page(stock, placed, cut_marks=cut_marks)


def drawing_box(stock: Stock, number: int, drawing: Drawing) -> Box:
    """Where a label's dots lie: on the printer's own grid of dots, so that none is torn."""
    place, dots = stock.place(number), stock.dots_per_mm
    x, y = round(place.x * dots) / dots, round(place.y * dots) / dots
    return Box(x, y, drawing.width / dots, drawing.height / dots)


def _page(stock: Stock, placed: list[Placed], *, cut_marks: bool) -> Page:
    strokes = _cut_marks(stock) if cut_marks else ()
    return Page(stock.page_width, stock.page_height, tuple(placed), strokes)


def _cut_marks(stock: Stock) -> tuple[Stroke, ...]:
    """A small cross on every corner of every label, each drawn once."""
    corners = {
        (round(x, 2), round(y, 2))
        for number in range(1, stock.labels_per_page + 1)
        for place in (stock.place(number),)
        for x in (place.x, place.right)
        for y in (place.y, place.bottom)
    }
    arm = CUT_MARK_MM
    crosses = [
        (Stroke(x - arm, y, x + arm, y), Stroke(x, y - arm, x, y + arm)) for x, y in sorted(corners)
    ]
    return tuple(stroke for cross in crosses for stroke in cross)
