"""What was traced, as it is kept with a part: lines and arcs, and what a person changed of them."""

from __future__ import annotations

import re
from contextlib import suppress

import numpy as np

from tagbench.errors import BadInput
from tagbench.measure.edges import evenly, normals, signed_area
from tagbench.measure.gasket_outline import Outline
from tagbench.measure.path_fit import fit_path
from tagbench.measure.paths import ClosedPath, flattened
from tagbench.measure.rectification import RectifiedSheet
from tagbench.measure.room import refuse_edge_over_openings, refuse_large_holes
from tagbench.measure.solver import Array
from tagbench.records import Gasket, GasketHole, GasketOutline, TracedHole, replace
from tagbench.rules.buying.gaskets import LARGEST_PUNCH_MM
from tagbench.trade.quantities.typed import parse_length
from tagbench.trade.threads.clearance import clearance_hole
from tagbench.trade.threads.designation import parse_thread

MOST_OFFSET_MM = 20.0
_SIZED = re.compile(r"\s*(?P<which>all|[0-9]{1,3})\s*=\s*(?P<size>.+)", re.IGNORECASE)


def kept(outline: Outline, sheet: RectifiedSheet, picture: str) -> GasketOutline:
    """An outline as a record, with lines and arcs fitted."""
    openings = []
    for opening in outline.openings:
        if opening.circle is not None:
            circle = opening.circle
            openings.append(round_path(circle.x, circle.y, circle.radius))
        else:
            openings.append(rounded_path(fit_path(opening.points)))
    holes = tuple(
        TracedHole(
            x_mm=round(hole.x, 3), y_mm=round(hole.y, 3), diameter_mm=round(hole.diameter, 3)
        )
        for hole in outline.holes
    )
    return settled(
        GasketOutline(
            outer=rounded_path(fit_path(outline.outer)),
            openings=tuple(openings),
            holes=holes,
            residual_mm=round(sheet.residual_mm, 4),
            source="mat" if sheet.source == "mat" else "scan",
            picture=picture,
        )
    )


def rounded_path(path: ClosedPath) -> ClosedPath:
    """To a micrometre, and the bulges to what moves an arc by less."""
    return tuple((round(x, 3), round(y, 3), round(bulge, 5)) for x, y, bulge in path)


def round_path(x: float, y: float, radius: float) -> ClosedPath:
    """A circle as two half turns."""
    return ((round(x - radius, 3), round(y, 3), 1.0), (round(x + radius, 3), round(y, 3), 1.0))


def circle_of(path: ClosedPath) -> tuple[float, float, float] | None:
    """Middle and diameter of a path that is a circle, else None."""
    if len(path) != 2 or any(abs(abs(corner[2]) - 1) > 1e-6 for corner in path):
        return None
    (x1, y1, _), (x2, y2, _) = path
    return (x1 + x2) / 2, (y1 + y2) / 2, float(np.hypot(x2 - x1, y2 - y1))


def settled(outline: GasketOutline) -> GasketOutline:
    """0, 0 at the lower left of the outer edge, and the area reckoned."""
    points = flattened(outline.outer, 0.05)
    left, low = (float(value) for value in points.min(axis=0))

    def moved(path: ClosedPath) -> ClosedPath:
        return rounded_path(tuple((x - left, y - low, bulge) for x, y, bulge in path))

    return replace(
        outline,
        outer=moved(outline.outer),
        openings=tuple(moved(path) for path in outline.openings),
        holes=tuple(
            replace(hole, x_mm=round(hole.x_mm - left, 3), y_mm=round(hole.y_mm - low, 3))
            for hole in outline.holes
        ),
        area_mm2=round(abs(signed_area(points)), 2),
    )


def size_of(outline: GasketOutline) -> tuple[float, float]:
    """Width and height, mm."""
    wide, high = np.ptp(flattened(outline.outer, 0.05), axis=0)
    return float(wide), float(high)


def offset(outline: GasketOutline, by_mm: float) -> GasketOutline:
    """The outer edge moved out by so many mm, or in where below zero; holes and openings stay.

    BadInput where the edge would run over one of them, or nothing would be left.
    """
    if not 0 < abs(by_mm) <= MOST_OFFSET_MM:
        raise BadInput(f"Move the edge by up to {MOST_OFFSET_MM:g} mm, such as --offset -0.5.")
    points = evenly(flattened(outline.outer, 0.1), 0.2)
    if signed_area(points) < 0:
        points = points[::-1]
    moved = points - normals(points, 1) * by_mm
    near = np.array([np.linalg.norm(points - point, axis=1).min() for point in moved])
    moved = moved[near > abs(by_mm) - 0.02]
    if len(moved) < 12 or signed_area(moved) <= 0:
        raise BadInput(f"Nothing is left of the gasket when its edge is moved by {by_mm:g} mm.")
    if by_mm < 0:
        refuse_edge_over_openings(outline, by_mm)
    changed = replace(
        outline,
        outer=rounded_path(fit_path(moved, 0.05)),
        adjusted=(*outline.adjusted, f"edge moved by {by_mm:+g} mm"),
    )
    return settled(changed)


def signed_length(text: str) -> float:
    """A length in mm that may be below zero."""
    plain = text.strip().replace("−", "-")
    below = plain.startswith("-")
    length = parse_length(plain.lstrip("+-"), "mm").number("mm")
    return -length if below else length


def mirrored(outline: GasketOutline) -> GasketOutline:
    """Turned over left to right: the other face up."""
    width, _ = size_of(outline)

    def turned(path: ClosedPath) -> ClosedPath:
        return tuple((width - x, y, -bulge) for x, y, bulge in path)

    changed = replace(
        outline,
        outer=turned(outline.outer),
        openings=tuple(turned(path) for path in outline.openings),
        holes=tuple(replace(hole, x_mm=width - hole.x_mm) for hole in outline.holes),
        adjusted=(*outline.adjusted, "turned over left to right"),
    )
    return settled(changed)


def sized(outline: GasketOutline, text: str) -> GasketOutline:
    """Holes given a typed size: `2=6.6` (the second), `all=6.6 mm`, or `all=M6` for that bolt.

    BadInput for another number, and for a hole that would run over the edge or into another one.
    """
    match = _SIZED.fullmatch(text)
    if match is None:
        raise BadInput(f"“{text}” is not a hole size; write --hole 2=6.6 or --hole all=M6.")
    size, bolt = _typed_size(match["size"])
    if not 0.5 <= size <= 100:
        raise BadInput(f"A hole of {size:g} mm cannot be; give its diameter, such as 6.6 mm.")
    which = match["which"].lower()
    numbers = range(len(outline.holes)) if which == "all" else [_numbered(outline, int(which))]
    holes = [
        replace(hole, diameter_mm=size) if number in numbers else hole
        for number, hole in enumerate(outline.holes)
    ]
    refuse_large_holes(outline, tuple(holes), numbers)
    words = "all holes" if which == "all" else f"hole {which}"
    return replace(
        outline, holes=tuple(holes), adjusted=(*outline.adjusted, f"{words} made {size:g} mm{bolt}")
    )


def _typed_size(text: str) -> tuple[float, str]:
    """The diameter typed, mm, or the clearance hole of a bolt (medium fit), and ` for M6` then."""
    with suppress(BadInput):
        return parse_length(text, "mm").number("mm"), ""
    try:
        thread = parse_thread(text)
        return clearance_hole(thread).number("mm"), f" for {thread.designation}"
    except BadInput as error:
        raise BadInput(
            f"“{text.strip()}” is not a hole size; write its diameter, such as 6.6 mm, or its "
            "bolt, such as M6."
        ) from error


def without_hole(outline: GasketOutline, number: int) -> GasketOutline:
    """A hole left out; holes are counted from 1 as they are listed."""
    at = _numbered(outline, number)
    return replace(
        outline,
        holes=outline.holes[:at] + outline.holes[at + 1 :],
        adjusted=(*outline.adjusted, f"hole {number} left out"),
    )


def _numbered(outline: GasketOutline, number: int) -> int:
    if not 1 <= number <= len(outline.holes):
        many = f"holes 1 to {len(outline.holes)}" if outline.holes else "no holes"
        raise BadInput(f"There is no hole {number}; the gasket has {many}.")
    return number - 1


def as_gasket(outline: GasketOutline, material: str, thickness_mm: float) -> Gasket:
    """The gasket to make, its holes by size, for the cut list and the sheet."""
    width, height = size_of(outline)
    sizes = [hole.diameter_mm for hole in outline.holes]
    rounds = [circle_of(path) for path in outline.openings]
    sizes += [found[2] for found in rounds if found and found[2] <= LARGEST_PUNCH_MM]
    return Gasket(
        material=material,
        thickness_mm=thickness_mm,
        width_mm=round(width, 1),
        height_mm=round(height, 1),
        holes=_by_size(sizes),
        outline=outline,
    )


def _by_size(sizes: list[float]) -> tuple[GasketHole, ...]:
    """Holes that differ by less than a punch's step are one size."""
    groups: list[list[float]] = []
    for size in sorted(sizes):
        if groups and size - groups[-1][0] < 0.4:
            groups[-1].append(size)
        else:
            groups.append([size])
    return tuple(
        GasketHole(quantity=len(group), diameter_mm=round(sum(group) / len(group), 1))
        for group in groups
    )


def points_of(path: ClosedPath, step: float = 0.5) -> Array:
    """A path as points along it, none farther apart than `step` mm."""
    flat = flattened(path, step)
    after = np.roll(flat, -1, axis=0)
    points = []
    for start, end in zip(flat, after, strict=True):
        pieces = max(1, int(np.ceil(float(np.linalg.norm(end - start)) / step)))
        points.append(start + (end - start) * (np.arange(pieces)[:, None] / pieces))
    return np.concatenate(points)
