"""A gasket found on the sheet: outer edge, bolt holes and openings, in mm as it lies."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tagbench.errors import BadInput
from tagbench.measure.circles import Circle, fit_circle
from tagbench.measure.edges import Light, edge_light, evenly, normals, refine, signed_area
from tagbench.measure.outlines import Body, bodies, largest_body, mask_of
from tagbench.measure.paper import Parted, part_from_paper
from tagbench.measure.rectification import RectifiedSheet, StepReport
from tagbench.measure.solver import Array
from tagbench.rules.describe.phrases import plural

LARGEST_BOLT_HOLE_MM = 18.0
"""A round gap up to this is a bolt hole (M16 has 17.5 mm by ISO 273), a larger one an opening."""
_SMALLEST_GASKET_MM2 = 40.0
_TEAR_MM = 2.0
"""A tear is looked for up to this width."""
_ROUND_MM, _ROUND_SHARE = 0.10, 0.02
"""How far from a circle a round hole may be: torn paper and grain, and a share of the radius."""


@dataclass(frozen=True, slots=True)
class BoltHole:
    """A bolt hole."""

    x: float
    y: float
    diameter: float


@dataclass(frozen=True, slots=True)
class Opening:
    """A gap that is no bolt hole; `circle` where it is round."""

    points: Array
    circle: Circle | None = None


@dataclass(frozen=True, slots=True)
class Outline:
    """A gasket, mm, x to the right and y up, 0, 0 at the lower left of its outer edge."""

    outer: Array
    holes: tuple[BoltHole, ...]
    openings: tuple[Opening, ...]
    notes: tuple[str, ...] = ()

    @property
    def width(self) -> float:
        return float(np.ptp(self.outer[:, 0]))

    @property
    def height(self) -> float:
        return float(np.ptp(self.outer[:, 1]))

    @property
    def area(self) -> float:
        """Within the outer edge, mm²; holes not taken off."""
        return abs(signed_area(self.outer))


def find_outline(
    sheet: RectifiedSheet,
    threshold: float = 0.5,
    close_mm: float = 0.0,
    told: StepReport = lambda _: None,
) -> Outline:
    """The gasket on a sheet. `threshold` is how much (0 paper, 1 gasket) counts as gasket,
    `close_mm` how wide a tear is closed. BadInput where none is seen or it is cut off."""
    told("telling paper and gasket apart")
    parted = part_from_paper(sheet)
    mask, _ = mask_of(parted, threshold, close_mm)
    found = bodies(sheet, mask, _SMALLEST_GASKET_MM2 / 10)
    body = largest_body([one for one in found if one.filled >= _SMALLEST_GASKET_MM2])
    if body.open_line and not body.drawn:
        raise BadInput(
            "The drawn line has gaps: draw it through, or have them closed (--close "
            "“2 mm” in the terminal, Tear on the bench's screen)."
        )
    light = edge_light(sheet, parted.body)
    told("following the edges")
    said = [sheet.note] if sheet.note else []
    if body.drawn:
        outer, gaps, notes = _drawn(light, sheet, body, found)
        return _turned_up(outer, gaps, said + notes)
    gaps = [refine(light, sheet, gap, body_inside=False).points for gap in body.gaps]
    notes = _left_out([one for one in found if one is not body], body)
    if not close_mm:
        notes += _tears(sheet, parted, threshold, body)
    outer = refine(light, sheet, body.outer, body_inside=True).points
    return _turned_up(outer, gaps, said + notes)


def _left_out(others: list[Body], body: Body) -> list[str]:
    large = [one for one in others if one.filled > 0.1 * body.filled]
    if not large:
        return []
    were = "was" if len(large) == 1 else "were"
    left = f"{plural(len(large), 'more piece')} on the paper {were} left out"
    return [
        f"{left}: a torn gasket is laid so that its pieces touch, or the tear is closed (--close "
        "in the terminal, Tear on the bench's screen)."
    ]


def _tears(sheet: RectifiedSheet, parted: Parted, threshold: float, body: Body) -> list[str]:
    """A note where closing narrow gaps makes openings that were none."""
    mask, _ = mask_of(parted, threshold, _TEAR_MM)
    closed = bodies(sheet, mask, _SMALLEST_GASKET_MM2 / 10)
    if not closed or len(closed[0].gaps) <= len(body.gaps):
        return []
    return [
        f"There seems to be a tear: closed (--close “{_TEAR_MM:g} mm” in the terminal, Tear "
        f"on the bench's screen) it has {len(closed[0].gaps)} holes and openings, and not "
        f"{len(body.gaps)}."
    ]


def _drawn(
    light: Light, sheet: RectifiedSheet, body: Body, found: list[Body]
) -> tuple[Array, list[Array], list[str]]:
    """Lines that were drawn: the middle of the stroke counts."""
    outer = _middle_line(light, sheet, body)
    stroke = 2 * body.area / sum(_around(line) for line in (body.outer, *body.gaps))
    # a hole whose line runs into the outer one
    largest = max(body.gaps, key=lambda gap: abs(signed_area(gap)))
    joined = [gap for gap in body.gaps if gap is not largest]
    inside = [_widened(light, sheet, gap, stroke / 2) for gap in joined]
    inside += [
        _middle_line(light, sheet, one)
        for one in found
        if one is not body and one.gaps and _within(one.outer.mean(axis=0), outer)
    ]
    return outer, inside, ["A drawn line was followed: the middle of the stroke counts."]


def _middle_line(light: Light, sheet: RectifiedSheet, ring: Body) -> Array:
    largest = max(ring.gaps, key=lambda gap: abs(signed_area(gap)))
    outer = refine(light, sheet, ring.outer, body_inside=True, reach=0.8).points
    inner = refine(light, sheet, largest, body_inside=False, reach=0.8).points
    if signed_area(outer) < 0:
        outer = outer[::-1]
    apart = np.linalg.norm(outer[:, None] - inner[None], axis=2).min(axis=1)
    return evenly(outer + normals(outer) * (apart / 2)[:, None])


def _around(points: Array) -> float:
    return float(np.linalg.norm(points - np.roll(points, 1, axis=0), axis=1).sum())


def _widened(light: Light, sheet: RectifiedSheet, gap: Array, by: float) -> Array:
    """The middle of the stroke round a gap, where only its inner edge is seen all round."""
    points = refine(light, sheet, gap, body_inside=False, reach=0.8).points
    if signed_area(points) < 0:
        points = points[::-1]
    return evenly(points - normals(points) * by)


def _within(point: Array, outline: Array) -> bool:
    after = np.roll(outline, -1, axis=0)
    crossing = (outline[:, 1] > point[1]) != (after[:, 1] > point[1])
    with np.errstate(divide="ignore", invalid="ignore"):
        x = outline[:, 0] + (point[1] - outline[:, 1]) / (after[:, 1] - outline[:, 1]) * (
            after[:, 0] - outline[:, 0]
        )
    return bool((crossing & (point[0] < x)).sum() % 2)


def _turned_up(outer: Array, gaps: list[Array], notes: list[str]) -> Outline:
    """From the sheet, where y runs down, to the gasket's own corner, where it runs up."""
    corner = np.array((outer[:, 0].min(), outer[:, 1].max()))
    flip = np.array((1.0, -1.0))
    holes, openings = [], []
    for gap in gaps:
        points = (gap - corner) * flip
        circle = fit_circle(points)
        is_round = circle.worst < 2 * (_ROUND_MM + _ROUND_SHARE * circle.radius) and (
            circle.spread < _ROUND_MM + _ROUND_SHARE * circle.radius
        )
        if is_round and 2 * circle.radius <= LARGEST_BOLT_HOLE_MM:
            holes.append(BoltHole(circle.x, circle.y, 2 * circle.radius))
        else:
            openings.append(Opening(points, circle if is_round else None))
    holes.sort(key=lambda hole: (-round(hole.y / 3), hole.x))
    openings.sort(key=lambda opening: -abs(signed_area(opening.points)))
    return Outline((outer - corner) * flip, tuple(holes), tuple(openings), tuple(notes))
