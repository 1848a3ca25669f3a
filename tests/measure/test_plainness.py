"""Edges that may be shine's or shadow's are not believed: on light laid out by hand."""

from __future__ import annotations

from collections.abc import Sequence

import cv2
import numpy as np
import pytest

from tagbench.measure.edges import Light
from tagbench.measure.lay.plainness import rim_doubted, side_doubted, tip_sight
from tagbench.measure.lay.rings import Ring
from tagbench.measure.lay.solid import Solid
from tagbench.measure.rectification import RectifiedSheet
from tagbench.measure.solver import Array

PER_MM, WIDE_MM, HIGH_MM = 12, 44, 20
PAPER = 0.8
STUD = Solid("stud", 22, 10, 0.0, 30, 3, 0.0)
SHANK = np.array(((7.0, 7), (37, 7), (37, 13), (7, 13)))
TURNS = np.linspace(0, 2 * np.pi, 120, endpoint=False)
DISC = np.column_stack((np.cos(TURNS), np.sin(TURNS))) * 6 + (22, 10)


def a_sheet() -> RectifiedSheet:
    """Scanned: nothing but its scale counts here."""
    blank = np.full((HIGH_MM * PER_MM, WIDE_MM * PER_MM), 255, np.uint8)
    return RectifiedSheet(blank, PER_MM, 0.0, 0.0, blank, None, 0.0, 0, "scan", PER_MM)


def the_light(*laid: tuple[Array, float]) -> Light:
    """Paper with even faces on it, each of its own light, blurred as by a lens."""
    light = np.full((HIGH_MM * PER_MM, WIDE_MM * PER_MM), PAPER, np.float32)
    for corners, shade in laid:
        cv2.fillPoly(light, [np.round(corners * PER_MM * 16).astype(np.int32)], shade, shift=4)
    return np.asarray(cv2.GaussianBlur(light, (0, 0), 1.0))


def a_ring(seen_all_round: float, *, nut: bool = False) -> Ring:
    """12 mm wide."""
    return Ring(12.0, 6.4, nut, 1.3, 0.06, seen_all_round, DISC)


@pytest.mark.parametrize(
    ("shade", "seen", "doubted"),
    [(0.1, 0.7, False), (0.45, 0.95, False), (0.45, 0.8, True), (0.75, 0.98, True), (1.0, 1, True)],
)
def test_a_washer_about_as_light_as_paper_is_doubted(
    shade: float, seen: float, doubted: bool
) -> None:
    """What is dark is believed, what is grey only where its edges agree, what is bright never."""
    assert rim_doubted(the_light((DISC, shade)), a_sheet(), a_ring(seen)) == doubted


def test_a_nut_on_the_glass_is_believed() -> None:
    """A scan shows nothing of its height, that a camera takes for width."""
    assert not rim_doubted(the_light((DISC, 0.6)), a_sheet(), a_ring(1, nut=True))


def sides(*laid: tuple[Array, float], read: bool = True) -> bool:
    return side_doubted(the_light(*laid), a_sheet(), SHANK, STUD, 1.0, read=read)


def test_a_shank_beside_another_edge_is_doubted() -> None:
    """A dark stripe of shadow along one side ends in an edge of its own."""
    shadow = np.array(((7.0, 13), (37, 13), (37, 13.7), (7, 13.7)))
    assert not sides((SHANK, 0.2))
    assert sides((SHANK, 0.2), (shadow, 0.5))


def test_a_bright_shank_is_believed_for_its_thread_alone() -> None:
    """Lighter than paper it may be its own shine."""
    assert not sides((SHANK, 1.1))
    assert sides((SHANK, 1.1), read=False)


def fading(steps: Sequence[float]) -> list[tuple[Array, float]]:
    """A dark shank whose tip passes into paper by so many shades."""
    whole: list[tuple[Array, float]] = [(SHANK, 0.2)]
    for number, shade in enumerate(steps):
        start = 33 + 5 * number / len(steps)
        part = np.array(((start, 7.0), (37.5, 7.0), (37.5, 13), (start, 13)))
        whole.append((part, shade))
    return whole


def test_a_tip_without_an_edge_is_lost() -> None:
    """A stud that shines as bright as paper towards its end; a plain one has both its ends."""
    plain = tip_sight(the_light((SHANK, 0.2)), a_sheet(), SHANK, STUD, None)
    assert plain == (False, False)
    light = the_light(*fading(np.linspace(0.2, PAPER, 60).tolist()))
    assert tip_sight(light, a_sheet(), SHANK, STUD, None) == (True, True)
