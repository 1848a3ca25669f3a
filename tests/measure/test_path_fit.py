"""Lines and arcs through measured points: the shapes are known, the points scatter."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from tagbench.measure.edges import Edge, evenly, refine
from tagbench.measure.kept_outline import points_of
from tagbench.measure.path_fit import fit_path
from tagbench.measure.paths import ClosedPath, arc_of, flattened, off_path
from tagbench.measure.rectification import RectifiedSheet
from tests.measure.scene import Array


def _scattered(path: ClosedPath, scatter: float, seed: int = 1) -> Array:
    """Points along a path that scatter together over half a millimetre, as edges do."""
    points = evenly(flattened(path, 0.05), 0.2)
    noise = np.random.default_rng(seed).normal(0, 1, (len(points) + 40, 2))
    together = np.column_stack([np.convolve(row, np.ones(5) / 5, "same") for row in noise.T])
    return np.asarray(points + together[20:-20] * scatter * np.sqrt(5))


def _plate(wide: float, high: float, radius: float) -> ClosedPath:
    """An oblong with rounded corners, walked round to the left."""
    bend = float(np.tan(np.pi / 8))
    return (
        (radius, 0.0, 0.0), (wide - radius, 0.0, bend),
        (wide, radius, 0.0), (wide, high - radius, bend),
        (wide - radius, high, 0.0), (radius, high, bend),
        (0.0, high - radius, 0.0), (0.0, radius, bend),
    )  # fmt: skip


SQUARE: ClosedPath = ((0.0, 0.0, 0.0), (40.0, 0.0, 0.0), (40.0, 30.0, 0.0), (0.0, 30.0, 0.0))
STADIUM: ClosedPath = ((0.0, 0.0, 0.0), (50.0, 0.0, 1.0), (50.0, 24.0, 0.0), (0.0, 24.0, 1.0))
EAR: ClosedPath = ((0.0, 0.0, 0.0), (22.0, 0.0, 1.6), (36.0, 0.0, 0.0), (60.0, 0.0, 0.0),
             (60.0, 35.0, 0.0), (0.0, 35.0, 0.0))  # fmt: skip


@pytest.mark.sampled(5)
@pytest.mark.parametrize(
    ("path", "most"),
    [(SQUARE, 4), (STADIUM, 4), (_plate(80, 60, 9), 8), (EAR, 6)],
    ids=["square", "stadium", "plate", "ear"],
)
@pytest.mark.parametrize("scatter", [0.0, 0.03])
@pytest.mark.parametrize("backwards", [False, True])
def test_a_known_shape_has_as_few_pieces_and_lies_where_it_is(
    path: ClosedPath, most: int, scatter: float, backwards: bool
) -> None:
    points = _scattered(path, scatter)
    found = fit_path(points[::-1] if backwards else points)
    assert len(found) <= most + (1 if scatter else 0)
    off = off_path(points_of(path, 0.2), found)
    assert np.percentile(off, 95) < 0.03 + scatter
    assert off.max() < 0.15


def test_the_arc_of_an_ear_has_its_radius_and_middle() -> None:
    found = fit_path(_scattered(EAR, 0.02))
    arcs = [
        arc_of(corner, found[(number + 1) % len(found)])
        for number, corner in enumerate(found)
        if abs(corner[2]) > 0.5
    ]
    (true_middle, true_radius, _, _) = arc_of(EAR[1], EAR[2])
    assert len(arcs) == 1
    assert arcs[0][1] == pytest.approx(true_radius, abs=0.05)
    assert arcs[0][0] == pytest.approx(true_middle, abs=0.05)


@pytest.mark.parametrize("radius", [3.3, 21.0, 80.0])
def test_a_whole_circle_is_two_half_turns(radius: float) -> None:
    turn = np.linspace(0, 2 * np.pi, 400, endpoint=False)
    round_ = np.column_stack((np.cos(turn), np.sin(turn))) * radius + 100
    found = fit_path(round_)
    assert [corner[2] for corner in found] == [1.0, 1.0]
    assert found[1][0] - found[0][0] == pytest.approx(2 * radius, abs=0.01)


def test_a_frayed_edge_keeps_its_points() -> None:
    """Where no line and no arc is near, nothing is made up."""
    turn = np.linspace(0, 2 * np.pi, 900, endpoint=False)
    frayed = 30 + 0.9 * np.sin(37 * turn) + 0.7 * np.sin(53 * turn + 1)
    points = np.column_stack((np.cos(turn), np.sin(turn))) * frayed[:, None]
    off = off_path(evenly(points, 0.25), fit_path(points))
    assert np.percentile(off, 95) < 0.1


@pytest.mark.parametrize("per_mm", [8.0, 11.8])
def test_a_narrow_shadow_beside_a_thing_does_not_move_its_edge(per_mm: float) -> None:
    """A disc of 20 mm, half a millimetre thick: its soft shadow falls 0.4 mm to one side."""
    fine = 4
    size = round(40 * per_mm * fine)
    y, x = (np.mgrid[0:size, 0:size] + 0.5) / (per_mm * fine) - 20
    disc = np.clip((10 - np.hypot(x, y)) * per_mm * fine + 0.5, 0, 1)
    beside = np.clip((10 - np.hypot(x - 0.35, y - 0.25)) * per_mm * fine + 0.5, 0, 1)
    beside = cv2.GaussianBlur(beside, (0, 0), 0.25 * per_mm * fine)
    light = (1 - disc) * 0.8 * (1 - 0.35 * beside) + disc * 0.12
    light = cv2.GaussianBlur(light, (0, 0), 0.8 * fine)
    small = cv2.resize(light, None, fx=1 / fine, fy=1 / fine, interpolation=cv2.INTER_AREA)
    pixels = np.round(255 * small ** (1 / 1.6)).astype(np.uint8)
    first = -20 + 0.5 / per_mm
    sheet = RectifiedSheet(
        pixels, per_mm, first, first, np.full_like(pixels, 255), None, 0.0, 12, "mat", per_mm
    )
    turn = np.linspace(0, 2 * np.pi, 300, endpoint=False)
    rough = np.column_stack((np.cos(turn), np.sin(turn))) * 10.2
    edge: Edge = refine(small.astype(np.float32), sheet, rough, body_inside=True)
    off = np.hypot(*edge.points.T) - 10
    assert abs(off.mean()) < 0.04
    assert np.abs(edge.points.mean(axis=0)).max() < 0.06
