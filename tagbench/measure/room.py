"""Room in a traced gasket: no hole over its edge or into another opening, whatever is typed."""

from __future__ import annotations

from collections.abc import Collection, Iterator

import numpy as np

from tagbench.errors import BadInput
from tagbench.measure.paths import ClosedPath, flattened, off_path
from tagbench.records import GasketOutline, TracedHole


def refuse_large_holes(
    outline: GasketOutline, holes: tuple[TracedHole, ...], changed: Collection[int]
) -> None:
    """BadInput for the first of the `changed` holes (by their places) that the gasket has no room
    for, naming what is in its way and the largest diameter that ends there."""
    for at in changed:
        room, what = min(_rooms(outline, holes, at))
        if holes[at].diameter_mm / 2 >= room:
            raise BadInput(
                f"Hole {at + 1} of {holes[at].diameter_mm:g} mm would run {what}; there is room "
                f"for less than {2 * room:.1f} mm at its place."
            )


def _rooms(
    outline: GasketOutline, holes: tuple[TracedHole, ...], at: int
) -> Iterator[tuple[float, str]]:
    """How far it is from the middle of a hole, mm, to all that it must not reach."""
    hole = holes[at]
    middle = np.array([[hole.x_mm, hole.y_mm]])
    yield float(off_path(middle, outline.outer)[0]), "over the outer edge"
    for number, path in enumerate(outline.openings, 1):
        yield float(off_path(middle, path)[0]), f"into opening {number}"
    for other, one in enumerate(holes):
        if other != at:
            apart = float(np.hypot(one.x_mm - hole.x_mm, one.y_mm - hole.y_mm))
            yield apart - one.diameter_mm / 2, f"into hole {other + 1}"


def refuse_edge_over_openings(outline: GasketOutline, by_mm: float) -> None:
    """BadInput where the outer edge, moved in by so many mm (below zero), runs over a hole or an
    opening; it names the nearest one, and how far the edge may go."""
    room, what = min(_lands(outline), default=(np.inf, ""))
    if -by_mm >= room:
        raise BadInput(
            f"The edge moved by {by_mm:g} mm would run over {what}; it can be moved in by less "
            f"than {room:.1f} mm."
        )


def _lands(outline: GasketOutline) -> Iterator[tuple[float, str]]:
    """The width of gasket between the outer edge and each hole and opening, mm."""
    for number, hole in enumerate(outline.holes, 1):
        off = float(off_path(np.array([[hole.x_mm, hole.y_mm]]), outline.outer)[0])
        yield off - hole.diameter_mm / 2, f"hole {number}"
    for number, path in enumerate(outline.openings, 1):
        yield _nearest(path, outline.outer), f"opening {number}"


def _nearest(path: ClosedPath, other: ClosedPath) -> float:
    """The least distance of two paths that do not cross, mm: it is at a corner of one of them, or
    on an arc."""
    both = ((path, other), (other, path))
    return min(float(off_path(flattened(one, 0.2), two).min()) for one, two in both)
