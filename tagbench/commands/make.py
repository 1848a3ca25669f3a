"""`tagbench make`: gaskets cut by hand, their cut list and the punches to have ready."""

from __future__ import annotations

from typing import Any

import click

from tagbench.book.operations import making
from tagbench.commands.base import Workplace, book_command, part_json, print_json
from tagbench.commands.chosen import machine_meant, machine_option, part_meant
from tagbench.errors import BadInput
from tagbench.records import Part
from tagbench.rules.buying.gaskets import cut_list, how_to_cut, parse_gasket


@click.command()
@click.argument("code", default="")
@click.option("--material", default="", help="What it is cut from.")
@click.option("--thickness", default="", help="Thickness, e.g. 0.5 mm.")
@click.option("--size", default="", help="Outside width x height, e.g. “120 x 80 mm”.")
@click.option("--holes", default="", help="How many of which, e.g. “4x M6; 1x 38 mm”.")
@click.option("--done", is_flag=True, help="It has been made and is here.")
@click.option("--buy", is_flag=True, help="It is bought after all.")
@machine_option
@book_command
def make(
    workplace: Workplace,
    code: str,
    material: str,
    thickness: str,
    size: str,
    holes: str,
    done: bool,
    buy: bool,
    mark: str,
    as_json: bool,
) -> None:
    """A gasket to make: its measures, cut list and punches. Without a CODE, all that are to make.

    For one gasket without a book, see the gasket command.
    """
    book = workplace.book
    measures = (material, thickness, size, holes)
    if not code:
        if any(measures) or done or buy:
            raise BadInput("Say for which part: make CODE --material … --thickness … --size ….")
        machine = machine_meant(book.records, mark).mark
        show_made(workplace, [p for p in book.records.parts_of(machine) if p.make], as_json)
        return
    part = part_meant(book.records, code)
    if sum([any(measures), done, buy]) > 1:
        raise BadInput("Choose one: the measures, --done or --buy.")
    if any(measures):
        gasket = parse_gasket(*measures)
        part = making.to_make(book, part.code, gasket)
    elif done:
        part = making.made(book, part.code)
    elif buy:
        part = making.buy_instead(book, part.code)
    if as_json:
        print_json(made_json(workplace, part))
    else:
        show_made(workplace, [part], as_json)


def show_made(workplace: Workplace, parts: list[Part], as_json: bool) -> None:
    """Prints parts with their cut lists."""
    if as_json:
        print_json([made_json(workplace, part) for part in parts])
        return
    for part in parts:
        state = "to make" if part.replacement != "here" else "made"
        click.echo(f"{part.code}  {part.said}: {state if part.make else 'not to make'}")
        for line in cut_list(part.make, part.quantity) if part.make else ():
            click.echo(f"  {line}")
        for sentence in how_to_cut(part.make) if part.make else ():
            click.echo(f"  - {sentence}")
    if not parts:
        click.echo("Nothing is to be made; put it down with: make CODE --material …")


def made_json(workplace: Workplace, part: Part) -> dict[str, Any]:
    """A part with its cut list."""
    plain = part_json(part, workplace.book.records.bins)
    plain["cut_list"] = cut_list(part.make, part.quantity) if part.make else []
    return plain
