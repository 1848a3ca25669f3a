"""`tagbench gasket`: punches and sheet for a gasket cut by hand."""

from __future__ import annotations

import click

from tagbench.commands.base import Workplace, book_command, print_answer
from tagbench.commands.figures import FigureCommand
from tagbench.errors import BadInput
from tagbench.records import Gasket
from tagbench.rules.buying.gaskets import MATERIALS, cut_list, how_to_cut, parse_gasket
from tagbench.trade.gasket import gasket_plan

NEITHER = (
    "Give the outline, such as --size “80x60 mm” --holes “4x M6; 22 mm”,"
    " or the code of a part that is to be made."
)


@click.command(cls=FigureCommand)
@click.argument("code", required=False, default="")
@click.option("--size", default="", help="Outside width and height: “80x60 mm”, “3 x 2-1/2 in”.")
@click.option("--holes", multiple=True, help="Bolts or diameters: “4x M6; 22 mm”.")
@click.option("--material", default=MATERIALS[0], help="What it is cut from.")
@click.option("--thickness", default="0.5 mm", help="As the old one where it was clamped.")
@click.option("--copies", type=int, default=1, help="How many gaskets from the sheet.")
@book_command
def gasket(
    workplace: Workplace,
    code: str,
    size: str,
    holes: tuple[str, ...],
    material: str,
    thickness: str,
    copies: int,
    as_json: bool,
) -> None:
    """Say which punches and how much sheet a gasket takes; nothing is written down.

    Lengths without a unit are in mm. CODE reads the measures that `make` wrote down for a part.
    """
    if code and size:
        raise BadInput("Give the code of a part or --size, not both.")
    if code:
        wanted = recorded(workplace, code)
    elif size:
        wanted = parse_gasket(material, thickness, size, ";".join(holes))
    else:
        raise BadInput(NEITHER)
    plan = gasket_plan(wanted, copies)
    print_answer(as_json, plan, [*cut_list(wanted, copies), *how_to_cut(wanted)])


def recorded(workplace: Workplace, code: str) -> Gasket:
    """The gasket of a part that is to be made by hand."""
    from tagbench.commands.chosen import part_meant

    part = part_meant(workplace.book.records, code)
    if part.make is None:
        raise BadInput(f"{part.code} is not written down as a gasket to make; give its --size.")
    return part.make
