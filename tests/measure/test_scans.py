"""What people lay on a scanner's glass: gaskets whole and torn, on coloured paper, pencil lines,
rubbings, a cover face down. Each is traced within its bounds, or a sentence says what to do."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest

from tagbench.errors import BadInput
from tagbench.measure.gasket_outline import Outline, find_outline
from tagbench.measure.picture import open_picture
from tagbench.measure.rectification import straighten
from tests.measure.closeness import as_traced, distances
from tests.measure.scene import Array, mask_of
from tests.measure.shapes import base

PER_MM = 300 / 25.4
SIZE = round(92 * PER_MM), round(88 * PER_MM)
SHAPE = base().turned(8, (46.0, 44.0))
WITHIN_MM = 0.15


def cover() -> Array:
    """1 where the gasket is."""
    return mask_of([SHAPE.outline, *SHAPE.all_holes()], SIZE, PER_MM)


def grain() -> Array:
    """Of paper and graphite, unevenly dark; the same each time."""
    noise = np.random.default_rng(5).normal(0, 1, SIZE[::-1]).astype(np.float32)
    return np.asarray(cv2.GaussianBlur(noise, (0, 0), 1.2)) / 0.24


def scanned(folder: Path, light: Array) -> Path:
    """A scan of linear light, with the blur and noise of a flatbed."""
    light = cv2.GaussianBlur(np.clip(light, 0, 1).astype(np.float32), (0, 0), 0.8)
    light = light + np.random.default_rng(6).normal(0, 0.006, light.shape)
    path = folder / "scan.png"
    cv2.imwrite(str(path), (np.clip(light, 0, 1) ** (1 / 2.2) * 255).astype(np.uint8))
    return path


def traced(path: Path, close_mm: float = 0.0) -> Outline:
    """The outline at 300 dpi."""
    return find_outline(straighten(open_picture(path), 300), 0.5, close_mm)


def near(found: Outline, *, openings: int = len(SHAPE.openings)) -> None:
    """No hole missed or invented, all within the bounds of a flatbed scan."""
    drawn, holes = as_traced(SHAPE)
    assert np.percentile(distances(drawn, found.outer), 95) < WITHIN_MM
    assert (len(found.holes), len(found.openings)) == (len(holes), openings)
    for x, y, size in holes:
        hole = min(found.holes, key=lambda one: np.hypot(one.x - x, one.y - y))
        assert np.hypot(hole.x - x, hole.y - y) < WITHIN_MM
        assert abs(hole.diameter - size) < WITHIN_MM


@pytest.mark.parametrize(
    ("paper", "gasket"),
    [((0.25, 0.5, 0.3), (0.1, 0.16, 0.22)), ((0.5, 0.45, 0.25), (0.2, 0.3, 0.6))],
)
def test_coloured_paper_serves_also_where_it_is_no_lighter(
    paper: tuple[float, ...], gasket: tuple[float, ...], tmp_path: Path
) -> None:
    """Brown on green; orange on blue of about the same light (blue, green, red)."""
    on = cover()[..., None]
    near(traced(scanned(tmp_path, on * np.array(gasket) + (1 - on) * np.array(paper))))


def test_a_cover_face_down_under_an_open_lid_is_brighter_than_the_dark(tmp_path: Path) -> None:
    """Metal with a grain before a dark room."""
    near(traced(scanned(tmp_path, 0.03 + 0.5 * cover() * (1 + 0.02 * grain()))))


def test_a_pencil_line_is_followed_in_the_middle_of_its_stroke(tmp_path: Path) -> None:
    """Half a millimetre wide, unevenly dark."""
    line = np.zeros(SIZE[::-1], np.float32)
    for outline in (SHAPE.outline, *SHAPE.all_holes()):
        places = np.round((outline * PER_MM - 0.5) * 16).astype(np.int32)
        cv2.polylines(line, [places], True, 1.0, 6, cv2.LINE_AA, 4)
    dark = np.clip(0.5 + 0.06 * grain(), 0.3, 0.7)
    found = traced(scanned(tmp_path, 0.85 - line * dark))
    near(found)
    assert any("middle of the stroke" in note for note in found.notes)


def test_a_pencil_line_with_gaps_is_refused(tmp_path: Path) -> None:
    """It goes round nothing; the sentence says how it is closed."""
    line = np.zeros(SIZE[::-1], np.float32)
    places = np.round((SHAPE.outline * PER_MM - 0.5) * 16).astype(np.int32)
    cv2.polylines(line, [places], True, 1.0, 6, cv2.LINE_AA, 4)
    line[: SIZE[1] // 4] = 0
    with pytest.raises(BadInput, match=r"has gaps.*--close"):
        traced(scanned(tmp_path, 0.85 - 0.5 * line))


def test_a_rubbing_of_the_edges_is_followed(tmp_path: Path) -> None:
    """Graphite a millimetre wide along every edge; where two run together no hole is lost."""
    inside = (cover() > 0.5).astype(np.uint8)
    off = cv2.distanceTransform(inside, cv2.DIST_L2, 5) - cv2.distanceTransform(
        1 - inside, cv2.DIST_L2, 5
    )
    band = np.exp(-((off / PER_MM / 0.35) ** 2)) * np.clip(0.8 + 0.06 * grain(), 0, 1)
    near(traced(scanned(tmp_path, 0.85 - 0.5 * band)))


def test_a_torn_gasket_is_pointed_out_and_closed(tmp_path: Path) -> None:
    """A tear of a millimetre from the bore to the outside."""
    torn = cover()
    middle = np.array((46.0, 44.0)) * PER_MM
    ends = [tuple(map(int, end)) for end in (middle, middle + np.array((16, 40)) * PER_MM)]
    cv2.line(torn, ends[0], ends[1], 0.0, 12)
    path = scanned(tmp_path, 0.85 - 0.65 * torn)
    told = traced(path)
    assert any("--close" in note for note in told.notes)
    near(traced(path, 2.0))


def test_a_face_in_its_own_shadow_is_traced_or_refused(tmp_path: Path) -> None:
    """The lid closed as far as it goes: no wrong outline where the lid's white is in shadow."""
    on = cover()
    rim = cv2.GaussianBlur(on, (0, 0), 25)
    lid = 0.8 * (1 - 0.75 * np.clip(1.6 * rim, 0, 1))
    path = scanned(tmp_path, on * 0.6 * (1 + 0.02 * grain()) + (1 - on) * lid)
    try:
        found = traced(path)
    except BadInput:
        return
    near(found)
