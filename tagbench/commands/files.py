"""`tagbench import` and `history`: what came in, and what was done."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from tagbench.commands.base import Workplace, book_command, print_answer
from tagbench.commands.chosen import machine_option
from tagbench.commands.progress import long_work
from tagbench.rules.describe.phrases import first_few, moment, plural

if TYPE_CHECKING:
    from tagbench.book.csv.reader import TakenIn

NAMED = 8
"""How many parts are named before it only says how many more."""


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--again", is_flag=True, help="Rows of parts that are here already, too, as new.")
@machine_option
@book_command
def import_csv(workplace: Workplace, file: Path, again: bool, mark: str, as_json: bool) -> None:
    """Take in parts from a CSV file, all of them or none.

    A row whose ref is the code of a part of this book is left out: edit changes that part.
    """
    from tagbench.book.csv.reader import take_in_list
    from tagbench.commands.base import part_json

    with long_work("Taking in parts", worth=400) as told:
        taken = take_in_list(
            workplace.book, file, mark=mark.strip().upper(), again=again, progress=told
        )
    tables = workplace.book.records
    print_answer(
        as_json,
        [part_json(part, tables.bins) for part in taken.parts],
        [
            *(f"{part.code}  {part.said}" for part in taken.parts),
            f"{plural(len(taken.parts), 'part')} taken in.",
        ],
    )
    if taken.known:
        click.echo(_left_out(taken), err=as_json)


def _left_out(taken: TakenIn) -> str:
    """What was left out, and which of it says something else than the book."""
    rows = plural(len(taken.known), "row was", "rows were")
    said = f"{rows} left out as being in this book already, by the column “ref”."
    if taken.differing:
        codes = first_few([part.code for part in taken.differing], NAMED)
        said += f" What differs in them was not taken over ({codes}): use edit."
    return said


@click.command()
@click.argument("code", default="")
@click.option("--limit", default=20, type=click.IntRange(min=1), help="How many at most.")
@book_command
def history(workplace: Workplace, code: str, limit: int, as_json: bool) -> None:
    """What was done, newest first; with a code, what was done to that record."""
    from tagbench.rules.scan import typed_code

    key = typed_code(workplace.book.records, code) if code else ""
    changes = workplace.book.history(key, limit=limit)
    print_answer(
        as_json,
        changes,
        (f"{change.number:5}  {moment(change.at)}  {change.words}" for change in changes),
    )
