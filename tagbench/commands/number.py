"""`tagbench number`: part numbers, what took their place, and where else the part is used."""

from __future__ import annotations

import click

from tagbench.book.operations import numbering
from tagbench.commands.base import Workplace, book_command, part_json, print_json
from tagbench.commands.chosen import part_meant
from tagbench.errors import BadInput
from tagbench.records import Part, PartNumber
from tagbench.rules.buying.part_numbers import known_numbers, plain_number, same_parts, to_order


@click.command()
@click.argument("code")
@click.argument("text", metavar="[NUMBER]", default="")
@click.option("--by", default="", help="The number that takes its place.")
@click.option("--obsolete", is_flag=True, help="It is no longer made.")
@click.option("--substitute", is_flag=True, help="It is a substitute, not the maker's part.")
@click.option("--differs", default="", help="What is different about the substitute.")
@click.option("--drop", is_flag=True, help="Take the number off the part.")
@book_command
def number(
    workplace: Workplace,
    code: str,
    text: str,
    by: str,
    obsolete: bool,
    substitute: bool,
    differs: str,
    drop: bool,
    as_json: bool,
) -> None:
    """The part numbers of a part, which one to order, and where else it is used.

    With a NUMBER: add it, or say what became of it.
    """
    book = workplace.book
    part = part_meant(book.records, code)
    if sum([bool(by), obsolete, substitute, drop]) > 1:
        raise BadInput("Choose one: --by, --obsolete, --substitute or --drop.")
    if not text and (by or obsolete or substitute or differs or drop):
        raise BadInput("Say which number is meant: number CODE NUMBER.")
    if by:
        part = numbering.supersede(book, part.code, text, by)
    elif obsolete:
        part = numbering.obsolete(book, part.code, text)
    elif drop:
        part = numbering.drop_number(book, part.code, text)
    elif substitute or differs:
        entry = PartNumber(number=text, status="substitute", differs=differs)
        part = numbering.add_number(book, part.code, entry)
    elif text and plain_number(text) not in known_numbers([part]):
        part = numbering.add_number(book, part.code, PartNumber(number=text))
    show_numbers(workplace, part, as_json)


def show_numbers(workplace: Workplace, part: Part, as_json: bool) -> None:
    """Prints the numbers of a part, the one to order, and the same part elsewhere."""
    tables = workplace.book.records
    order = to_order(part, known_numbers(tables.parts.values()))
    same = same_parts(tables, part)
    if as_json:
        plain = part_json(part, tables.bins)
        plain["to_order"] = order.number
        plain["chain"] = list(order.chain)
        plain["same_part"] = [other.code for other in same]
        print_json(plain)
        return
    for entry in part.part_numbers:
        after = f", superseded by {entry.superseded_by}" if entry.superseded_by else ""
        differs = f": {entry.differs}" if entry.differs else ""
        click.echo(f"  {entry.number}  {entry.status}{after}{differs}")
    click.echo(order.words)
    for other in same:
        click.echo(f"the same part: {other.code}  {other.name}  {other.assembly}")
