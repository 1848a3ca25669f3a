"""`tagbench find`: looking for parts by words."""

from __future__ import annotations

import click

from tagbench.commands.base import Workplace, book_command, part_json, print_json
from tagbench.errors import BadInput, NotFound
from tagbench.records import Part, Tables
from tagbench.rules.describe.phrases import came_from, counted
from tagbench.rules.describe.where import where_fact


@click.command()
@click.argument("words", nargs=-1, required=True)
@click.option("--limit", default=10, type=click.IntRange(min=1), help="How many at most.")
@book_command
def find(workplace: Workplace, words: tuple[str, ...], limit: int, as_json: bool) -> None:
    """Find parts by any words: name, place, fasteners, number, bin, state, note."""
    from tagbench.rules.find.index import nothing_fits_all
    from tagbench.rules.find.numbers import CodeBook
    from tagbench.rules.find.once import find_once
    from tagbench.rules.find.query import LONGEST

    if sum(map(len, words)) > LONGEST:
        raise BadInput(f"Type at most {LONGEST} characters to find a part by.")
    tables = workplace.book.records
    found = find_once(tables, " ".join(words), limit)
    if as_json:
        print_json([part_json(one.part, tables.bins) for one in found])
        return
    unknown = CodeBook(tables.parts).unknown(" ".join(words))
    if not found:
        nothing = f"Nothing fits “{' '.join(words)}”; try fewer words."
        raise NotFound(f"{unknown}." if unknown else nothing)
    if unknown:
        click.echo(f"{unknown}; these are near it:")
    elif partly := nothing_fits_all(found, " ".join(words)):
        click.echo(f"{partly}; these fit in part:")
    for one in found:
        for line in found_lines(tables, one.part):
            click.echo(line)


def found_lines(tables: Tables, part: Part) -> list[str]:
    """A hit in two or three lines: what, where from, where it is."""
    from tagbench.trade.fasteners.spelling import spell

    fasteners = "; ".join(spell(fastener) for fastener in part.fasteners)
    where, place = where_fact(tables, part).words, came_from(part)
    what = f"{part.code}  {counted(part)}"
    lines = [f"{what}  —  {place}" if place else what]
    return [*lines, f"    {where}" + (f"   ({fasteners})" if fasteners else "")]
