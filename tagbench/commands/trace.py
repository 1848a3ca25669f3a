"""`tagbench trace`: a gasket from a picture of it, to cut by hand or by a cutter."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from tagbench.commands.base import Workplace, book_command, print_answer
from tagbench.commands.figures import FigureCommand
from tagbench.errors import BadInput
from tagbench.measure.extra import HONEST
from tagbench.records import Gasket, Part
from tagbench.rules.buying.gaskets import MATERIALS
from tagbench.rules.describe.phrases import named
from tagbench.trade.quantities.typed import parse_length

if TYPE_CHECKING:
    from tagbench.records import GasketOutline

ENDINGS = (".pdf", ".svg", ".dxf")


@click.command(cls=FigureCommand)
@click.argument("picture", required=False, type=click.Path(path_type=Path, dir_okay=False))
@click.option("--dpi", type=float, help="Dots per inch of a flatbed scan; else by the mat or file.")
@click.option("--part", "code", default="", help="Part to keep it with, or to print it from again.")
@click.option("-o", "target", type=click.Path(path_type=Path), help="File: .pdf, .svg or .dxf.")
@click.option("--material", default="", help=f"What it is cut from; else {MATERIALS[0]}.")
@click.option("--thickness", default="", help="As the old one where it was clamped; else 0.5 mm.")
@click.option("--offset", default="", help="Move the outer edge out, or in: “-0.5 mm”.")
@click.option("--mirror", is_flag=True, help="Turn it over left to right: the other face up.")
@click.option("--hole", "sizes", multiple=True, help="Give holes a size: “2=6.6”, “all=M6” in mm.")
@click.option("--drop", "dropped", type=int, multiple=True, help="Leave out a hole, by its number.")
@click.option("--close", default="", help="Close a tear up to this width, such as “2 mm”.")
@click.option(
    "--threshold",
    type=click.FloatRange(0.1, 0.9),
    default=0.5,
    help="From 0 (paper) to 1 (gasket): what counts as gasket; 0.5 is right for most.",
)
@click.option("--paper", type=click.Choice(("a4", "letter")), default="a4", help="Paper of a PDF.")
@book_command
def trace(
    workplace: Workplace,
    picture: Path | None,
    dpi: float | None,
    code: str,
    target: Path | None,
    material: str,
    thickness: str,
    offset: str,
    mirror: bool,
    sizes: tuple[str, ...],
    dropped: tuple[int, ...],
    close: str,
    threshold: float,
    paper: str,
    as_json: bool,
) -> None:
    """Trace a gasket from a picture: outer edge, bolt holes, openings; at 1:1 as PDF, SVG, DXF.

    PICTURE is a photograph on the mat (tagbench mat) or a flatbed scan: the old gasket, a pencil
    tracing, or the cover face down. Which face is up? --mirror turns it over. With --part it is
    kept with the part and can be printed again without the picture. It was tried on rendered
    pictures only: check one length with the caliper before you cut.
    """
    from tagbench.measure.extra import need_extra

    need_extra()
    from tagbench.book.operations.printing import check_target
    from tagbench.commands.chosen import part_meant

    if target is not None:
        check_target(target, ENDINGS)
    part = part_meant(workplace.book.records, code) if code else None
    outline = _traced(picture, dpi, threshold, close) if picture else _kept_with(part)
    outline = _changed(outline, offset, mirror, sizes, dropped)
    gasket = _gasket(outline, part, material, thickness)
    if part is not None and (picture is not None or gasket != part.make):
        from tagbench.book.operations.making import to_make

        part = to_make(workplace.book, part.code, gasket)
    if target is not None:
        from tagbench.measure.template.written import write_template

        title = named(part) if part else "Gasket"
        write_template(
            workplace.book, gasket, title, target, "letter" if paper == "letter" else "a4"
        )
    print_answer(as_json, traced_json(gasket, part, target), _lines(gasket, part, target))


def _kept_with(part: Part | None) -> GasketOutline:
    if part is None:
        raise BadInput("Give the picture to trace, or --part CODE to print a kept one again.")
    if part.make is None or part.make.outline is None:
        raise BadInput(f"No outline is kept with {part.code}; give the picture to trace.")
    return part.make.outline


def _traced(picture: Path, dpi: float | None, threshold: float, close: str) -> GasketOutline:
    from tagbench.commands.progress import told_steps
    from tagbench.measure.gasket_outline import find_outline
    from tagbench.measure.kept_outline import kept
    from tagbench.measure.picture import open_picture
    from tagbench.measure.rectification import straighten

    tear = parse_length(close, "mm").number("mm") if close else 0.0
    if not 0 <= tear <= 10:
        raise BadInput("A tear up to 10 mm wide is closed; lay the pieces closer together.")
    with told_steps() as told:
        told("opening the picture")
        opened = open_picture(picture)
        sheet = straighten(opened, dpi, told)
        found = find_outline(sheet, threshold, tear, told)
        told("fitting lines and arcs")
        outline = kept(found, sheet, picture.name)
    for note in found.notes:
        click.echo(note, err=True)
    return outline


def _changed(
    outline: GasketOutline,
    offset: str,
    mirror: bool,
    sizes: tuple[str, ...],
    dropped: tuple[int, ...],
) -> GasketOutline:
    from tagbench.measure import kept_outline

    for size in sizes:
        outline = kept_outline.sized(outline, size)
    for number in sorted(set(dropped), reverse=True):
        outline = kept_outline.without_hole(outline, number)
    if offset:
        outline = kept_outline.offset(outline, kept_outline.signed_length(offset))
    return kept_outline.mirrored(outline) if mirror else outline


def _gasket(outline: GasketOutline, part: Part | None, material: str, thickness: str) -> Gasket:
    from tagbench.measure.kept_outline import as_gasket

    before = part.make if part else None
    stuff = " ".join(material.split()) or (before.material if before else MATERIALS[0])
    if thickness:
        thick = parse_length(thickness, "mm").number("mm")
        if not 0 < thick <= 10:
            raise BadInput("A gasket is up to 10 mm thick, such as --thickness “0.5 mm”.")
    else:
        thick = before.thickness_mm if before else 0.5
    return as_gasket(outline, stuff, thick)


def traced_json(gasket: Gasket, part: Part | None, target: Path | None) -> dict[str, Any]:
    """The shape that `trace --json` prints."""
    from tagbench.measure.edges import signed_area
    from tagbench.measure.kept_outline import circle_of, points_of, size_of
    from tagbench.records import to_json
    from tagbench.rules.buying.gaskets import cut_list
    from tagbench.trade.threads.clearance import nearest_punch_mm

    outline = gasket.outline
    assert outline is not None
    width, height = size_of(outline)
    openings = []
    for path in outline.openings:
        points = points_of(path)
        found = circle_of(path)
        openings.append(
            {
                "area_mm2": round(abs(signed_area(points_of(path, 0.05))), 2),
                "x_mm": round(float(points[:, 0].mean()), 3),
                "y_mm": round(float(points[:, 1].mean()), 3),
                "diameter_mm": round(found[2], 3) if found else None,
                "outline": [[round(float(x), 3), round(float(y), 3)] for x, y in points],
            }
        )
    return {
        "width_mm": round(width, 3),
        "height_mm": round(height, 3),
        "area_mm2": outline.area_mm2,
        "holes": [
            {
                "x_mm": hole.x_mm,
                "y_mm": hole.y_mm,
                "diameter_mm": hole.diameter_mm,
                "punch_mm": nearest_punch_mm(hole.diameter_mm),
            }
            for hole in outline.holes
        ],
        "openings": openings,
        "outline": [[round(float(x), 3), round(float(y), 3)] for x, y in points_of(outline.outer)],
        "residual_mm": outline.residual_mm,
        "source": outline.source,
        "picture": outline.picture,
        "adjusted": list(outline.adjusted),
        "path": [list(corner) for corner in outline.outer],
        "material": gasket.material,
        "thickness_mm": gasket.thickness_mm,
        "cut_list": cut_list(gasket),
        "part": part.code if part else None,
        "file": str(target) if target else None,
        "gasket_holes": [to_json(hole) for hole in gasket.holes],
        "checked_on": "rendered pictures only",
        "check": HONEST,
    }


def _lines(gasket: Gasket, part: Part | None, target: Path | None) -> list[str]:
    from tagbench.measure.kept_outline import circle_of, size_of
    from tagbench.measure.template.written import where_from
    from tagbench.rules.buying.gaskets import cut_list
    from tagbench.trade.threads.clearance import nearest_punch_mm

    outline = gasket.outline
    assert outline is not None
    width, height = size_of(outline)
    lines = [
        f"{width:.1f} x {height:.1f} mm, {outline.area_mm2 / 100:.1f} cm² within the outer edge"
    ]
    for number, hole in enumerate(outline.holes, 1):
        lines.append(
            f"hole {number}: {hole.diameter_mm:.2f} mm at {hole.x_mm:.1f}, {hole.y_mm:.1f} "
            f"(punch {nearest_punch_mm(hole.diameter_mm):g} mm)"
        )
    for number, path in enumerate(outline.openings, 1):
        found = circle_of(path)
        shape = f"round, {found[2]:.2f} mm" if found else f"{len(path)} lines and arcs"
        lines.append(f"opening {number}: {shape}")
    lines += cut_list(gasket)
    lines.append(where_from(gasket))
    lines.append(HONEST)
    if part is not None:
        lines.append(f"Kept with {part.code}; print it again: trace --part {part.code} -o FILE.pdf")
    if target is not None:
        lines.append(f"{target}: at 1:1; measure the scale on paper before you cut.")
    return lines
