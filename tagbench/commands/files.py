"""`tagbench import` and `history`: what came in, and what was done."""

from __future__ import annotations

from pathlib import Path

import click

from tagbench.commands.base import Workplace, json_option, pass_workplace, print_answer
from tagbench.commands.chosen import machine_option
from tagbench.commands.progress import long_work
from tagbench.rules.bin_contents import bin_of
from tagbench.rules.bins import kept_in
from tagbench.rules.describe.phrases import moment, plural


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@machine_option
@json_option
@pass_workplace
def import_csv(workplace: Workplace, file: Path, mark: str, as_json: bool) -> None:
    """Take in parts from a CSV file, all of them or none."""
    from tagbench.book.csv.reader import read_csv
    from tagbench.commands.base import part_json

    with long_work("Taking in parts", worth=400) as told:
        parts = read_csv(workplace.book, file, mark=mark.strip().upper(), progress=told)
    tables = workplace.book.records
    print_answer(
        as_json,
        [part_json(part, kept_in(bin_of(part), tables.bins)) for part in parts],
        [
            *(f"{part.code}  {part.said}" for part in parts),
            f"{plural(len(parts), 'part')} taken in.",
        ],
    )


@click.command()
@click.argument("code", default="")
@click.option("--limit", default=20, type=click.IntRange(min=1), help="How many at most.")
@json_option
@pass_workplace
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
