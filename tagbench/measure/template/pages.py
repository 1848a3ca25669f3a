"""A traced gasket on paper at 1:1, over as many pages as it takes, with marks to match them by."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from labels.face.drawing import Drawing
from labels.face.fonts import Style
from labels.face.text import text_width
from labels.stock.geometry import Box
from labels.stock.sheet import Page, Placed, Stroke
from tagbench.measure.kept_outline import points_of, size_of
from tagbench.measure.mat import PAPERS, Paper
from tagbench.measure.solver import Array
from tagbench.records import Gasket
from tagbench.rules.buying.gaskets import cut_list

DOTS_PER_MM = 300 / 25.4
EDGE_MM = 10.0
OVERLAP_MM = 10.0
"""How much of its neighbour each page shows."""
_FOOT_MM = 34.0
"""Room at the foot of each page for scale, figures and what to do."""
_LINE_MM = 0.25
_SCALE_MM = 100


def template_pages(gasket: Gasket, title: str, told: tuple[str, ...], paper: Paper) -> list[Page]:
    """The pages of a gasket, row by row from the upper left."""
    outline = gasket.outline
    assert outline is not None
    page_wide, page_high = PAPERS[paper]
    room = np.array((page_wide - 2 * EDGE_MM, page_high - 2 * EDGE_MM - _FOOT_MM))
    size = np.array(size_of(outline))
    step = room - OVERLAP_MM
    needed = np.where(size <= room, 1, np.ceil((size - OVERLAP_MM) / step))
    counts = [int(count) for count in needed]
    runs = [_run(points_of(path, 0.4), size) for path in (outline.outer, *outline.openings)]
    runs += [_run(_circle(hole.x_mm, hole.y_mm, hole.diameter_mm), size) for hole in outline.holes]
    crosses = [_cross(hole.x_mm, size[1] - hole.y_mm) for hole in outline.holes]
    pages = []
    for row in range(counts[1]):
        for column in range(counts[0]):
            corner = np.array((column, row)) * step
            if counts == [1, 1]:
                corner = (size - room) / 2
            lines = list(
                _clipped([*runs, *(line for cross in crosses for line in cross)], corner, room)
            )
            lines += _marks(row, column, counts, room)
            lines += _scale(room)
            name = f"{chr(65 + row % 26)}{column + 1}" if counts != [1, 1] else ""
            words = _words(gasket, title, told, name, counts, paper)
            whole = Box(0, 0, words.width / DOTS_PER_MM, words.height / DOTS_PER_MM)
            pages.append(Page(page_wide, page_high, (Placed(words, whole),), tuple(lines)))
    return pages


def _circle(x: float, y: float, diameter: float) -> Array:
    at = np.linspace(0, 2 * np.pi, max(24, int(diameter * 8)), endpoint=False)
    return np.column_stack((x + diameter / 2 * np.cos(at), y + diameter / 2 * np.sin(at)))


def _run(points: Array, size: Array) -> Array:
    """A closed run from the upper left, y downwards, as pages have it."""
    turned = np.column_stack((points[:, 0], size[1] - points[:, 1]))
    return np.vstack((turned, turned[:1]))


def _cross(x: float, y: float) -> tuple[Array, Array]:
    """A hole's middle, for the point of the punch."""
    arm = 1.2
    return np.array(((x - arm, y), (x + arm, y))), np.array(((x, y - arm), (x, y + arm)))


def _clipped(runs: list[Array], corner: Array, room: Array) -> Iterator[Stroke]:
    """The parts of runs that lie on the page at `corner`, as strokes of that page."""
    for run in runs:
        start, end = run[:-1] - corner, run[1:] - corner
        along = end - start
        low, high = np.zeros(len(start)), np.ones(len(start))
        with np.errstate(divide="ignore", invalid="ignore"):
            for way in (0, 1):
                one, other = (
                    -start[:, way] / along[:, way],
                    (room[way] - start[:, way]) / along[:, way],
                )
                enter, leave = np.minimum(one, other), np.maximum(one, other)
                still = np.abs(along[:, way]) < 1e-12
                out = still & ((start[:, way] < 0) | (start[:, way] > room[way]))
                low = np.where(out, 2.0, np.where(still, low, np.maximum(low, enter)))
                high = np.where(still, high, np.minimum(high, leave))
        for at in np.flatnonzero(low < high):
            x1, y1 = start[at] + along[at] * low[at] + EDGE_MM
            x2, y2 = start[at] + along[at] * high[at] + EDGE_MM
            yield Stroke(float(x1), float(y1), float(x2), float(y2), _LINE_MM)


def _marks(row: int, column: int, counts: list[int], room: Array) -> list[Stroke]:
    """Crosses in the overlaps: a page is laid on its neighbour so that they fall together."""
    wide, high = (float(value) for value in room)
    half = OVERLAP_MM / 2
    places = []
    if counts[0] > 1:
        across = ([half] if column else []) + ([wide - half] if column + 1 < counts[0] else [])
        places += [(x, y) for x in across for y in (high * 0.2, high * 0.8)]
    if counts[1] > 1:
        down = ([half] if row else []) + ([high - half] if row + 1 < counts[1] else [])
        places += [(x, y) for y in down for x in (wide * 0.2, wide * 0.8)]
    marks = []
    for x, y in places:
        x, y = x + EDGE_MM, y + EDGE_MM
        marks += [Stroke(x - 3, y, x + 3, y, 0.15), Stroke(x, y - 3, x, y + 3, 0.15)]
    return marks


def _scale(room: Array) -> list[Stroke]:
    top = EDGE_MM + float(room[1]) + 9
    left = EDGE_MM
    ticks = [
        Stroke(left + at, top - (2.5 if at % 50 == 0 else 1.5), left + at, top, 0.2)
        for at in range(0, _SCALE_MM + 1, 10)
    ]
    return [Stroke(left, top, left + _SCALE_MM, top, 0.2), *ticks]


def _words(
    gasket: Gasket, title: str, told: tuple[str, ...], name: str, counts: list[int], paper: Paper
) -> Drawing:
    page_wide, page_high = PAPERS[paper]
    sheet = Drawing(round(page_wide * DOTS_PER_MM), round(page_high * DOTS_PER_MM))
    top = page_high - EDGE_MM - _FOOT_MM
    dots = DOTS_PER_MM
    small, bold = Style(round(2.9 * dots)), Style(round(3.8 * dots), bold=True)
    of = f"page {name} of {counts[0] * counts[1]}; lay cross on cross" if name else ""
    sheet.text(
        round(EDGE_MM * dots), round((top + 5) * dots), "   ".join(filter(None, (title, of))), bold
    )
    scale = f"{_SCALE_MM} mm: measure it before you cut"
    sheet.text(round((EDGE_MM + _SCALE_MM + 3) * dots), round((top + 9) * dots), scale, small)
    y = top + 14.0
    most = round((page_wide - 2 * EDGE_MM) * dots)
    for text in _wrapped([*cut_list(gasket), *told], small, most):
        if y > page_high - EDGE_MM + 2:
            break
        sheet.text(round(EDGE_MM * dots), round(y * dots), text, small)
        y += 3.7
    return sheet


def _wrapped(lines: list[str], style: Style, most: int) -> Iterator[str]:
    for line in lines:
        row = ""
        for word in line.split():
            longer = f"{row} {word}".strip()
            if row and text_width(longer, style) > most:
                yield row
                row = word
            else:
                row = longer
        yield row
