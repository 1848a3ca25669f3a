"""A flatbed scanner: fasteners without a mat, its dots an inch checked against a mat in view, and
a printer that is off put right by the ruler page."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from tests.commands.conftest import Tagbench, folder, tagbench
from tests.measure.flatbed import printed, save, scanned
from tests.measure.meshes import ring_mesh, screw_mesh
from tests.measure.pieces import Screw
from tests.measure.scene import Array, mask_of
from tests.measure.shapes import base

__all__ = ["folder", "tagbench"]  # fixtures of the commands

A4 = (210.0, 297.0)
DPI = 300
STRETCH = 0.993
"""A printer that makes 99.3 mm of 100."""
GASKET = base().turned(12, (105.0, 150.0))
"""72 x 72 mm before it is turned; its stud holes have 8.4 mm."""


@pytest.mark.parametrize("dpi", [300, pytest.param(600, marks=pytest.mark.long)])
def test_fasteners_on_the_glass_are_measured_without_a_mat(
    dpi: int, tagbench: Tagbench, tmp_path: Path
) -> None:
    """By the dots an inch in the file; the count exact, lengths within 0.4 mm, diameters within
    0.15 mm, pitches by name."""
    meshes = [
        screw_mesh(Screw(5.9, 1.0, 25, "hex", 10, 4, 18), (25, 16), 15),
        screw_mesh(Screw(4.9, 0.8, 16, "pan", 9.5, 3.7), (60, 18), -40),
        ring_mesh((20, 42), 6.4, 12, 1.6),
        ring_mesh((48, 42), 5.1, 10, 5.2, 11, hexagon=True),
    ]
    path = save(scanned(meshes, (78, 58), dpi), tmp_path / "scan.png", dpi)
    said = tagbench("lay", str(path), "--json")
    assert said.code == 0, said.err
    assert said.json["source"] == "scan"
    assert said.json["unclear"] == []
    pieces = {piece["name"]: piece for piece in said.json["pieces"]}
    assert set(pieces) == {"M6x1x25 hex", "M5x0.8x16 pan", "washer 6.4x12", "nut M6x1"}
    for name, length, across, pitch in (
        ("M6x1x25 hex", 25, 5.9, 1),
        ("M5x0.8x16 pan", 16, 4.9, 0.8),
    ):
        assert pieces[name]["length_mm"] == pytest.approx(length, abs=0.4)
        assert pieces[name]["diameter_mm"] == pytest.approx(across, abs=0.15)
        assert pieces[name]["pitch_mm"] == pytest.approx(pitch, rel=0.02)
    assert pieces["washer 6.4x12"]["outside_mm"] == pytest.approx(12, abs=0.15)
    assert pieces["washer 6.4x12"]["inside_mm"] == pytest.approx(6.4, abs=0.15)
    assert pieces["nut M6x1"]["across_flats_mm"] == pytest.approx(10, abs=0.15)


def mat_scan(tagbench: Tagbench, tmp_path: Path, said_dpi: float | None, *, ruler: bool) -> Path:
    """The mat from a printer that is off, a gasket on it, scanned at 300 dots an inch."""
    if ruler:
        # the lines of the ruler page are meant 20 mm from each edge
        lengths = (STRETCH * 20, STRETCH * 170, STRETCH * 20, STRETCH * 257)
        words = [
            word
            for name, length in zip(("left", "across", "top", "down"), lengths, strict=True)
            for word in (f"--{name}", f"{length:.3f}mm")
        ]
        measured = tagbench("printer", "measured", "--stock", "a4-3x7-63.5x38.1", *words)
        assert measured.code == 0, measured.err
    assert tagbench("mat", "-o", str(tmp_path / "mat.pdf")).code == 0
    return save(on_the_glass((tmp_path / "mat.pdf").read_bytes()), tmp_path / "scan.png", said_dpi)


@cache
def on_the_glass(mat: bytes) -> Array:
    """A mat as it was printed, with the gasket on it; drawn once for all who print the same."""
    paper = printed(mat, DPI, A4, STRETCH)
    cover = mask_of([GASKET.outline, *GASKET.all_holes()], paper.shape[::-1], DPI / 25.4)
    light = paper * (1 - cover) + 0.2 * cover
    return np.asarray((np.clip(light, 0, 1) ** (1 / 2.2) * 255).astype(np.uint8))


def widest(corners: np.ndarray) -> float:
    """Width of an outline, mm."""
    return float(np.ptp(corners[:, 0]))


def test_a_mat_put_right_by_the_ruler_page_measures_true(
    tagbench: Tagbench, tmp_path: Path
) -> None:
    """The printer makes 99.3 mm of 100; the mat that is printed after its ruler page was measured
    agrees with the scanner, and the gasket is as wide as it was cut (0.15 mm)."""
    path = mat_scan(tagbench, tmp_path, DPI, ruler=True)
    said = tagbench("trace", str(path), "--json")
    assert (said.code, said.err) == (0, "")
    assert said.json["width_mm"] == pytest.approx(widest(GASKET.outline), abs=0.15)
    studs = [one["diameter_mm"] for one in said.json["holes"] if one["diameter_mm"] > 6]
    assert studs == pytest.approx([8.4] * 4, abs=0.15)


def test_a_mat_that_is_not_true_is_told(tagbench: Tagbench, tmp_path: Path) -> None:
    """Without the ruler page the mat says 297.9 dots an inch where the scanner's file says 300: a
    sentence tells both, and what to check."""
    path = mat_scan(tagbench, tmp_path, DPI, ruler=False)
    said = tagbench("trace", str(path), "--json")
    assert said.code == 0
    assert said.err.count("\n") == 1
    assert "300 dots per inch and the mat in it measures 297.9" in said.err
    assert "150 mm along its scale" in said.err


def test_wrong_dots_an_inch_are_told(tagbench: Tagbench, tmp_path: Path) -> None:
    """A file that says 400, or --dpi 400, where the mat says 300: told with both figures. Measured
    by the mat the gasket has its size; by --dpi nothing is measured."""
    path = mat_scan(tagbench, tmp_path, 400, ruler=True)
    said = tagbench("trace", str(path), "--json")
    assert said.code == 0
    assert "400 dots per inch and the mat in it measures 300.0" in said.err
    assert said.json["width_mm"] == pytest.approx(widest(GASKET.outline), abs=0.15)
    refused = tagbench("trace", str(path), "--dpi", "400")
    assert (refused.code, refused.err.count("\n")) == (2, 1)
    assert "measures 300.0" in refused.err
