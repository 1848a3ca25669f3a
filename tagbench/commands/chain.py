"""`tagbench chain`: how much a roller chain has stretched."""

from __future__ import annotations

import re
from fractions import Fraction

import click

from tagbench.commands.base import json_option, print_json
from tagbench.commands.figures import FigureCommand
from tagbench.errors import BadInput
from tagbench.trade.quantities.shown import show_length
from tagbench.trade.quantities.typed import parse_length, parse_number
from tagbench.trade.quantities.units import Quantity, exact
from tagbench.trade.wear.chain import chain_limit, chain_named, chain_wear


@click.command(cls=FigureCommand)
@click.argument("length", nargs=-1)
@click.option("--links", type=int, required=True, help="How many links LENGTH takes up.")
@click.option("--pitch", default="", help="Pin to pin when new: 12.7mm, “1/2 in”.")
@click.option("--name", default="", help="The chain by name instead: 428, 08B, “1/2 x 5/16”.")
@click.option(
    "--other-drive", is_flag=True, help="Not a vehicle's final drive: limit 3 %, not 2 %."
)
@click.option("--fixed-centres", is_flag=True, help="The chain cannot be adjusted: limit 1.5 %.")
@click.option("--teeth", type=int, help="Teeth of the larger sprocket: limit 200/N %.")
@click.option("--limit", default="", help="The maker's limit, e.g. “2 %”, for the usual one.")
@click.option("--uncertainty", default="", help="How far off the rule may be; else 0.5 mm.")
@json_option
def chain(
    length: tuple[str, ...],
    links: int,
    pitch: str,
    name: str,
    other_drive: bool,
    fixed_centres: bool,
    teeth: int | None,
    limit: str,
    uncertainty: str,
    as_json: bool,
) -> None:
    """Say how much longer than new a chain is: LENGTH over so many links, pulled tight.

    Lengths without a unit are in mm.
    """
    if not length:
        raise BadInput("Give the measured length first: chain “612 mm” --links 48 --pitch 12.7mm.")
    if bool(name) == bool(pitch):
        raise BadInput("Say which chain it is: --name 428 or --pitch 12.7mm, not both.")
    measured = parse_length(" ".join(length), "mm")
    found = chain_wear(
        measured,
        links,
        chain_named(name).pitch if name else parse_length(pitch, "mm"),
        percent(limit) if limit else chain_limit(fixed_centres, teeth, not other_drive),
        parse_length(uncertainty, "mm") if uncertainty else None,
    )
    if as_json:
        print_json(found)
        return
    click.echo(found.sentence)
    at_limit = show_length(Quantity(exact(found.limit_mm), "mm"), measured.unit)
    click.echo(f"At the limit {links} links measure {at_limit}.")


def percent(text: str) -> Fraction:
    """A limit in percent, `2 %` or `2`; BadInput for none."""
    value = parse_number(re.sub(r"\s*(?:%|percent)\s*$", "", text))
    if not 0 < value <= 10:
        raise BadInput(f"“{text}” is not a wear limit of a chain; write percent, such as 3 %.")
    return value
