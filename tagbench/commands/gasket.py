"""`tagbench gasket`: punches and sheet for a gasket cut by hand."""

from __future__ import annotations

from typing import get_args

import click

from tagbench.commands.base import Workplace, json_option, pass_workplace, print_json
from tagbench.commands.figures import FigureCommand, print_lines
from tagbench.errors import BadInput
from tagbench.records import Gasket
from tagbench.reports.gasket_text import gasket_lines
from tagbench.trade.clearance import Fit
from tagbench.trade.gasket import gasket_plan
from tagbench.trade.gasket_text import parse_holes, parse_outline
from tagbench.trade.typed import parse_length

NEITHER = (
    "Give the outline, such as --size “80x60 mm” --holes “4x M6; 22 mm”,"
    " or the code of a part that is to be made."
)


@click.command(cls=FigureCommand)
@click.argument("code", required=False, default="")
@click.option("--size", default="", help="Width and height: “80x60 mm”, “3 x 2-1/2 in”.")
@click.option("--holes", multiple=True, help="Bolts or diameters: “4x M6; 22 mm”.")
@click.option("--material", default="gasket paper", help="Paper, cork, fibre, …")
@click.option("--thickness", default="0.5mm", help="As the old one where it was clamped.")
@click.option("--copies", type=int, default=1, help="How many gaskets from the sheet.")
@click.option("--fit", type=click.Choice(get_args(Fit)), default="medium", help="Of the holes.")
@json_option
@pass_workplace
def gasket(
    workplace: Workplace,
    code: str,
    size: str,
    holes: tuple[str, ...],
    material: str,
    thickness: str,
    copies: int,
    fit: Fit,
    as_json: bool,
) -> None:
    """Say which punches and how much sheet a gasket takes; CODE reads it from a part to make.

    Lengths without a unit are in mm.
    """
    if code and size:
        raise BadInput("Give the code of a part or --size, not both.")
    if code:
        wanted = recorded(workplace, code)
    elif size:
        wanted = typed(size, holes, material, thickness)
    else:
        raise BadInput(NEITHER)
    plan = gasket_plan(wanted, copies, fit)
    print_json(plan) if as_json else print_lines(gasket_lines(plan))


def recorded(workplace: Workplace, code: str) -> Gasket:
    """The gasket of a part that is to be made by hand."""
    from tagbench.commands.fit import part_meant

    part = part_meant(workplace.book.records, code)
    if part.make is None:
        raise BadInput(f"{part.code} is not written down as a gasket to make; give its --size.")
    return part.make


def typed(size: str, holes: tuple[str, ...], material: str, thickness: str) -> Gasket:
    """The gasket that was typed."""
    width, height = parse_outline(size)
    thick = parse_length(thickness, "mm")
    if thick.value <= 0 or not material.strip():
        raise BadInput("A gasket has a material and a thickness, such as cork 1.5 mm.")
    return Gasket(
        material=material.strip(),
        thickness_mm=thick.number("mm"),
        width_mm=width.number("mm"),
        height_mm=height.number("mm"),
        holes=parse_holes(";".join(holes)),
    )
