"""A gasket drawn in a terminal: two by four dots to a character."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from labels.output.preview import braille
from tagbench.measure.kept_outline import points_of, size_of
from tagbench.measure.solver import Array
from tagbench.records import GasketOutline


@dataclass(frozen=True, slots=True)
class Preview:
    """Lines of characters, and where the numbers of the holes stand: row, column, number."""

    lines: tuple[str, ...]
    numbers: tuple[tuple[int, int, int], ...]


def preview(outline: GasketOutline, columns: int, rows: int) -> Preview:
    """The outline as large as there is room; characters are taken as twice as high as wide."""
    wide, high = size_of(outline)
    across, down = columns * 2, rows * 4
    scale = min((across - 1) / max(wide, 0.1), (down - 1) / max(high, 0.1))
    grid = np.zeros((down, across), np.uint8)
    paths = [points_of(path, 0.5 / scale) for path in (outline.outer, *outline.openings)]
    paths += [
        _circle(hole.x_mm, hole.y_mm, hole.diameter_mm, 0.5 / scale) for hole in outline.holes
    ]
    for points in paths:
        places = np.round(np.column_stack((points[:, 0], high - points[:, 1])) * scale).astype(int)
        places = np.clip(places, 0, (across - 1, down - 1))
        grid[places[:, 1], places[:, 0]] = 1
    numbers = []
    for number, hole in enumerate(outline.holes, 1):
        row = min(rows - 1, int((high - hole.y_mm) * scale) // 4)
        column = min(columns - len(f"{number}"), int(hole.x_mm * scale) // 2)
        numbers.append((row, column, number))
    return Preview(tuple(braille([row.tobytes() for row in grid])), tuple(numbers))


def _circle(x: float, y: float, diameter: float, step: float) -> Array:
    count = max(8, int(np.pi * diameter / step))
    at = np.linspace(0, 2 * np.pi, count, endpoint=False)
    return np.column_stack((x + diameter / 2 * np.cos(at), y + diameter / 2 * np.sin(at)))
