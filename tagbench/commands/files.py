"""`tagbench import`, `check`, `undo` and `history`: the book as a whole."""

from __future__ import annotations

from pathlib import Path

import click

from tagbench.commands.base import Workplace, json_option, pass_workplace, print_json
from tagbench.commands.chosen import machine_option
from tagbench.commands.progress import long_work
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
    if as_json:
        print_json([part_json(part, kept_in(part.bin, tables.bins)) for part in parts])
        return
    for part in parts:
        click.echo(f"{part.code}  {part.name}")
    click.echo(f"{plural(len(parts), 'part')} taken in.")


@click.command()
@click.option("--mend", is_flag=True, help="Mend the book from its newest good backup.")
@json_option
@pass_workplace
@click.pass_context
def check(ctx: click.Context, workplace: Workplace, mend: bool, as_json: bool) -> None:
    """Verify the book; with --mend put it right from its backups and history."""
    from tagbench.book.check import check as look, mend as put_right

    report = put_right(workplace.folder) if mend else look(workplace.folder)
    if as_json:
        print_json(
            {"ok": report.ok, "problems": list(report.problems), "mended": list(report.mended)}
        )
    else:
        for line in report.mended:
            click.echo(f"mended: {line}")
        for line in report.problems:
            click.echo(f"problem: {line}")
        click.echo("The book is sound." if report.ok else "The book needs a look, see above.")
    ctx.exit(0 if report.ok else 1)


@click.command()
@json_option
@pass_workplace
def undo(workplace: Workplace, as_json: bool) -> None:
    """Take back the last change."""
    change = workplace.book.undo()
    if as_json:
        print_json(change)
    else:
        click.echo(f"took back: {change.words}")


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
    if as_json:
        print_json(changes)
        return
    for change in changes:
        click.echo(f"{change.number:5}  {moment(change.at)}  {change.words}")
