"""`tagbench import` and `history`: what came in, and what was done."""

from __future__ import annotations

from pathlib import Path

import click

from tagbench.commands.base import Workplace, book_command, print_answer
from tagbench.commands.chosen import machine_option
from tagbench.commands.progress import long_work
from tagbench.rules.describe.phrases import moment, plural


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@machine_option
@book_command
def import_csv(workplace: Workplace, file: Path, mark: str, as_json: bool) -> None:
    """Take in parts from a CSV file, all of them or none."""
    from tagbench.book.csv.reader import read_csv
    from tagbench.commands.base import part_json

    with long_work("Taking in parts", worth=400) as told:
        parts = read_csv(workplace.book, file, mark=mark.strip().upper(), progress=told)
    tables = workplace.book.records
    print_answer(
        as_json,
        [part_json(part, tables.bins) for part in parts],
        [
            *(f"{part.code}  {part.said}" for part in parts),
            f"{plural(len(parts), 'part')} taken in.",
        ],
    )


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
