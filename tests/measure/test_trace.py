"""Gaskets traced from rendered pictures, against the shapes that were drawn."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import ezdxf.filemanagement
import numpy as np
import pytest
from PIL import Image

from tests.commands.conftest import Tagbench, folder, tagbench
from tests.measure.closeness import as_traced, distances
from tests.measure.conftest import SHAPE
from tests.measure.scene import Scene, Shot, render
from tests.measure.shapes import base, case_cover, flange

__all__ = ["folder", "tagbench"]  # fixtures of the commands


def near(found: Any, outline: float, centre: float, diameter: float) -> None:
    """The traced gasket is the drawn one, within so many mm."""
    drawn, holes = as_traced(SHAPE)
    assert np.percentile(distances(drawn, np.array(found["outline"])), 95) < outline
    assert len(found["holes"]) == len(holes)
    assert len(found["openings"]) == 1
    for x, y, size in holes:
        hole = min(found["holes"], key=lambda one: np.hypot(one["x_mm"] - x, one["y_mm"] - y))
        assert np.hypot(hole["x_mm"] - x, hole["y_mm"] - y) < centre
        assert abs(hole["diameter_mm"] - size) < diameter


def test_a_gasket_at_thirty_degrees_is_traced_within_the_bounds(
    tagbench: Tagbench, gasket_picture: Path
) -> None:
    """Outline 0.3 mm for 95 % of its length, centres 0.2 mm, diameters 0.3 mm, no hole missed."""
    said = tagbench("trace", str(gasket_picture), "--json")
    assert said.code == 0, said.err
    near(said.json, 0.3, 0.2, 0.3)
    assert said.json["residual_mm"] < 0.1
    assert {hole["punch_mm"] for hole in said.json["holes"]} == {5.5, 6.5}
    assert {line.partition("punch ")[2] for line in said.json["cut_list"][1:]} == {
        "5.5 mm", "6.5 mm",
    }  # fmt: skip


def test_a_scan_at_300_dpi_is_traced_twice_as_well(tagbench: Tagbench, scan: Path) -> None:
    """0.15 mm; it has no mat, so its dpi is given."""
    refused = tagbench("trace", str(scan))
    assert (refused.code, "--dpi 300" in refused.err) == (2, True)
    said = tagbench("trace", str(scan), "--dpi", "300", "--json")
    assert said.code == 0, said.err
    near(said.json, 0.15, 0.15, 0.15)
    assert said.json["source"] == "scan"


def test_what_was_traced_is_kept_with_the_part_and_written_again(
    tagbench: Tagbench, scan: Path, tmp_path: Path
) -> None:
    """DXF and SVG in mm, PDF pages at 1:1; mirrored and sized by hand."""
    code = tagbench("strip", "Case gasket", "--from", "Engine", "--json").json["code"]
    kept = tagbench(
        "trace", str(scan), "--dpi", "300", "--part", code, "--hole", "all=7", "--mirror", "--json"
    )
    assert kept.code == 0, kept.err
    for name in ("g.dxf", "g.svg", "g.pdf"):
        again = tagbench("trace", "--part", code, "-o", str(tmp_path / name), "--json")
        assert again.code == 0, again.err
        assert again.json["outline"] == kept.json["outline"]
    drawing = ezdxf.filemanagement.readfile(tmp_path / "g.dxf")
    circles = drawing.modelspace().query("CIRCLE")
    assert {round(circle.dxf.radius, 6) for circle in circles} == {3.5}
    assert len(circles) == 8
    assert drawing.units == 4  # millimetres, by the DXF reference of $INSUNITS
    wide = re.search(r'width="([0-9.]+)mm"', (tmp_path / "g.svg").read_text())
    assert wide is not None
    assert float(wide[1]) == pytest.approx(kept.json["width_mm"] + 10, abs=0.01)
    assert (tmp_path / "g.pdf").read_bytes().startswith(b"%PDF-")


def test_what_is_no_picture_ends_in_a_sentence(
    tagbench: Tagbench, tmp_path: Path, empty_picture: Path
) -> None:
    """Text, one dot, a tiny picture, one cut short, one of more dots than any camera has, one
    without a mat, an empty mat: one line, exit code 2."""
    text, dot = tmp_path / "words.jpg", tmp_path / "dot.png"
    Image.new("L", (1, 1)).save(dot)
    short, huge = tmp_path / "short.jpg", tmp_path / "huge.png"
    short.write_bytes(empty_picture.read_bytes()[:20_000])
    data = bytearray(dot.read_bytes())
    # the width and height of IHDR (PNG, third edition, 11.2.1)
    data[16:24] = (70_000).to_bytes(4, "big") * 2
    huge.write_bytes(data)
    text.write_text("no picture")
    tiny, plain = tmp_path / "tiny.png", tmp_path / "plain.png"
    Image.new("L", (20, 20), 200).save(tiny)
    Image.new("RGB", (900, 700), "white").save(plain)
    for path in (text, dot, tiny, short, huge, plain, tmp_path / "missing.png", empty_picture):
        for command in ("trace", "lay"):
            said = tagbench(command, str(path))
            assert said.code == 2, (path, command)
            assert said.err.count("\n") == 1


def test_no_hole_is_made_where_there_is_no_room(tagbench: Tagbench, scan: Path) -> None:
    """Over the edge, into an opening, into another hole; the edge over a hole. The sentence names
    the hole and the room, and just less than that goes."""
    for words, named in (
        (
            ("--hole", "1=40"),
            r"Hole 1 of 40 mm would run .*; there is room for less than \d",
        ),
        (("--hole", "all=M39"), r"Hole \d of 42 mm would run .* less than \d"),
        (("--offset", "-15mm"), r"over hole \d; it can be moved in by less than \d"),
    ):
        said = tagbench("trace", str(scan), "--dpi", "300", *words)
        assert (said.code, said.err.count("\n")) == (2, 1)
        assert re.search(named, said.err), said.err
    said = tagbench("trace", str(scan), "--dpi", "300", "--offset", "-15mm")
    room = float(said.err.rpartition("less than ")[2].removesuffix(" mm.\n"))
    inside = f"{0.1 - room:.1f}mm"
    assert tagbench("trace", str(scan), "--dpi", "300", "--offset", inside).code == 0


def test_a_hole_is_given_its_size_by_its_bolt(tagbench: Tagbench, scan: Path) -> None:
    """ISO 273, medium series: 6.6 mm for M6. What is neither says both ways."""
    words = ("trace", str(scan), "--dpi", "300", "--hole")
    said = tagbench(*words, "2=M6", "--json").json
    assert said["holes"][1]["diameter_mm"] == 6.6
    assert said["adjusted"] == ["hole 2 made 6.6 mm for M6x1"]
    refused = tagbench(*words, "1=M99")
    assert (refused.code, "6.6 mm, or its bolt, such as M6" in refused.err) == (2, True)


def test_a_scan_says_what_its_scale_is_from(tagbench: Tagbench, scan: Path, tmp_path: Path) -> None:
    """No mat is spoken of where none was there; a dpi that the file does not agree with is told."""
    out = tagbench("trace", str(scan), "--dpi", "300")
    assert "From scan.jpg, a flatbed scan." in out.out
    assert "mat" not in out.out
    assert out.err == ""
    path = tmp_path / "said.png"
    with Image.open(scan) as image:
        image.save(path, dpi=(300, 300))
    assert tagbench("trace", str(path), "--dpi", "300").err == ""
    told = tagbench("trace", str(path), "--dpi", "600").err
    assert "said.png says 300 dots per inch, and 600 were typed" in told
    assert "0.50 times as large" in told


def test_the_kept_template_is_told_with_the_part(tagbench: Tagbench, scan: Path) -> None:
    """By `show` and every page of a part."""
    code = tagbench("strip", "Case gasket", "--json").json["code"]
    assert "gasket " not in tagbench("show", code).out.replace("Case gasket", "")
    tagbench("trace", str(scan), "--dpi", "300", "--part", code)
    assert "template kept, traced from scan.jpg" in tagbench("show", code).out


@pytest.mark.long
@pytest.mark.parametrize("number", range(12))
def test_other_gaskets_other_light(number: int, tmp_path: Path) -> None:
    """Three shapes, six colours, up to 35 degrees, grey and colour, both papers."""
    import cv2

    from tagbench.measure.gasket_outline import find_outline
    from tagbench.measure.picture import open_picture
    from tagbench.measure.rectification import straighten

    rng = np.random.default_rng(50 + number)
    colours = ((0.12, 0.2, 0.3), (0.25,) * 3, (0.05,) * 3, (0.2, 0.35, 0.5), (0.2, 0.3, 0.18))
    shape = (case_cover, flange, base)[number % 3]()
    shape = shape.turned(rng.uniform(0, 360), (106 + rng.uniform(-4, 4), 145 + rng.uniform(-6, 6)))
    colour = colours[number % 5]
    shot = Shot(
        slant=rng.uniform(0, 35), azimuth=rng.uniform(0, 360), roll=rng.uniform(0, 360),
        blur=rng.uniform(0.7, 1.3), quality=int(rng.integers(72, 93)), seed=number,
        distortion=rng.uniform(-0.06, 0.03), grey=number % 4 == 3, stains=8,
    )  # fmt: skip
    paper = "letter" if number % 2 else "a4"
    picture = tmp_path / "g.jpg"
    scene = Scene(paper, [(shape.outline, (*colour,), shape.all_holes())])  # type: ignore[arg-type]
    cv2.imwrite(str(picture), render(scene, shot))
    found = find_outline(straighten(open_picture(picture)))
    drawn, holes = as_traced(shape)
    assert np.percentile(distances(drawn, found.outer), 95) < 0.3
    assert len(found.holes) == len(holes)
    for x, y, size in holes:
        hole = min(found.holes, key=lambda one: np.hypot(one.x - x, one.y - y))
        assert np.hypot(hole.x - x, hole.y - y) < 0.2
        assert abs(hole.diameter - size) < 0.3
