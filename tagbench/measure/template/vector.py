"""A traced gasket as SVG and as DXF, in millimetres."""

from __future__ import annotations

import io
from html import escape

import numpy as np

from tagbench.measure.kept_outline import circle_of, size_of
from tagbench.measure.paths import ClosedPath, arc_of
from tagbench.records import Gasket

_MARGIN = 5.0


def svg_text(gasket: Gasket, title: str) -> str:
    """An SVG whose units are millimetres."""
    outline = gasket.outline
    assert outline is not None
    width, height = size_of(outline)
    wide, high = width + 2 * _MARGIN, height + 2 * _MARGIN
    shapes = [_svg_path(outline.outer, height)]
    shapes += [_svg_path(path, height) for path in outline.openings]
    circles = [
        f'<circle cx="{_MARGIN + hole.x_mm:.3f}" cy="{_MARGIN + height - hole.y_mm:.3f}" '
        f'r="{hole.diameter_mm / 2:.3f}"/>'
        for hole in outline.holes
    ]
    body = "\n".join([*(f'<path d="{shape}"/>' for shape in shapes), *circles])
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.3f}mm" height="{high:.3f}mm" '
        f'viewBox="0 0 {wide:.3f} {high:.3f}">\n<title>{escape(title)}</title>\n'
        f'<g fill="none" stroke="black" stroke-width="0.1">\n{body}\n</g>\n</svg>\n'
    )


def _svg_path(path: ClosedPath, height: float) -> str:
    def place(x: float, y: float) -> str:
        return f"{_MARGIN + x:.3f} {_MARGIN + height - y:.3f}"

    steps = [f"M {place(*path[0][:2])}"]
    for number, corner in enumerate(path):
        end = path[(number + 1) % len(path)]
        if abs(corner[2]) < 1e-9:
            steps.append(f"L {place(*end[:2])}")
            continue
        _, radius, _, sweep = arc_of(corner, end)
        large = int(abs(sweep) > np.pi)
        # y is turned over, so a turn to the left is one against the clock: sweep flag 0
        turn = 0 if sweep > 0 else 1
        steps.append(f"A {radius:.4f} {radius:.4f} 0 {large} {turn} {place(*end[:2])}")
    return " ".join([*steps, "Z"])


def dxf_text(gasket: Gasket) -> str:
    """A DXF in millimetres: closed polylines with arcs, holes as circles, a layer for each."""
    from ezdxf import units
    from ezdxf.filemanagement import new

    outline = gasket.outline
    assert outline is not None
    drawing = new("R2000")
    drawing.units = units.MM
    for name, colour in (("OUTLINE", 7), ("OPENINGS", 5), ("HOLES", 1)):
        drawing.layers.add(name, color=colour)
    space = drawing.modelspace()
    space.add_lwpolyline(outline.outer, format="xyb", close=True, dxfattribs={"layer": "OUTLINE"})
    for path in outline.openings:
        found = circle_of(path)
        if found:
            space.add_circle(found[:2], found[2] / 2, dxfattribs={"layer": "OPENINGS"})
        else:
            space.add_lwpolyline(path, format="xyb", close=True, dxfattribs={"layer": "OPENINGS"})
    for hole in outline.holes:
        middle = (hole.x_mm, hole.y_mm)
        space.add_circle(middle, hole.diameter_mm / 2, dxfattribs={"layer": "HOLES"})
    stream = io.StringIO()
    drawing.write(stream)
    return stream.getvalue()
